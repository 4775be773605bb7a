"""The command line. Everything heavy is imported by the command that needs it."""

from __future__ import annotations

import os
import sys
from typing import Annotated

import typer

from simlab.commands import check, demo, film, forces, picture, schema, sheet, watch, working
from simlab.commands.edge import run

app = typer.Typer(
    name="simlab",
    help="Plane frames of jointed heavy rods for the statics lesson: solved exactly, simulated, compared, "
    "shown. For teaching only: no basis for building or hanging anything.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)
for command in (check, forces, working, film, watch, picture, sheet, schema, demo):
    app.command(name=command.__name__.rpartition(".")[2])(command.command)


def _version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        typer.echo(f"simlab {version('simlab')}")
        raise typer.Exit


@app.callback()
def options(
    version: Annotated[
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Print the version and exit."),
    ] = False,
) -> None:
    """Options of simlab itself."""


def main() -> None:
    """Run the command line."""
    # Matrices here are small: threads that wait for one another cost more than they give, and one thread
    # adds up in one order. Said before numpy is imported.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # Sums and products remembered by sympy, each function for itself: a thousand are too few for a working.
    os.environ.setdefault("SYMPY_CACHE_SIZE", "20000")
    sys.exit(run(app))
