"""What `simlab` offers is there, is listed, and costs nothing until it is used."""

from __future__ import annotations

import subprocess
import sys

import pytest

import simlab

HEAVY = (
    "sympy",
    "numpy",
    "pymunk",
    "pygame",
    "matplotlib",
    "av",
    "flint",
    "ziamath",
    "msgspec",
    "scipy",
    "typst",
)


@pytest.mark.parametrize("name", simlab.__all__)
def test_every_public_name_is_there_and_documented(name):
    """Each name of __all__ leads to something with a docstring."""
    assert (getattr(simlab, name).__doc__ or "").strip()


def test_the_list_of_names_is_what_dir_shows():
    """dir(simlab) is the list, in order, without repeats."""
    assert sorted(set(simlab.__all__)) == simlab.__all__ == dir(simlab)


def test_film_is_the_function_before_and_after_its_room_is_used():
    """A room of the house has the same name; the function can be called again and again."""
    code = (
        "import simlab; first = simlab.film; from simlab.film.sizes import SIZES; from simlab import film; "
        "print(callable(first), first is simlab.film is film, len(SIZES) > 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert done.stdout.split() == ["True"] * 3


def test_an_unknown_name_is_an_attribute_error():
    """A misspelt name fails as in any module."""
    with pytest.raises(AttributeError, match="sovle"):
        simlab.sovle  # noqa: B018


@pytest.mark.parametrize("module", ["simlab", "simlab.commands.cli"])
def test_importing_costs_nothing_heavy(module):
    """Neither the package nor the command line imports a heavy library before it needs it."""
    code = f"import sys, {module}; print([m for m in {HEAVY!r} if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert done.stdout.strip() == "[]"
