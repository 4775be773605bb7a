"""The command line run as its users run it: a process of its own, with its outputs and its exit code.

The process is forked from one that has read the program already, so that not every run reads it anew. What
`python -m simlab` does from a cold start is checked by the tests that start it themselves.
"""

from __future__ import annotations

import multiprocessing
import os
import runpy
import sys
import tempfile
from pathlib import Path
from subprocess import CompletedProcess, TimeoutExpired

ROOT = Path(__file__).parent.parent
LONGEST = 120  # [s]
READ = [
    ".".join(path.relative_to(ROOT).with_suffix("").parts)
    for path in sorted((ROOT / "simlab").rglob("*.py"))
    if not {"__init__.py", "__main__.py"} & {path.name} and path.parent.name != "window"
]
PROCESSES = multiprocessing.get_context("forkserver")
PROCESSES.set_forkserver_preload(READ)


def simlab(*arguments: str | Path, cwd: Path | None = None) -> CompletedProcess[str]:
    """What `python -m simlab` prints and returns."""
    words = [str(argument) for argument in arguments]
    with tempfile.TemporaryDirectory() as folder:
        outputs = [Path(folder, name) for name in ("stdout", "stderr")]
        process = PROCESSES.Process(target=_run, args=(words, cwd or ROOT, outputs))
        process.start()
        process.join(LONGEST)
        if process.exitcode is None:
            process.kill()
            raise TimeoutExpired(words, LONGEST)
        return CompletedProcess(words, process.exitcode, *(path.read_text() for path in outputs))


def _run(arguments: list[str], folder: Path, outputs: list[Path]) -> None:
    """In the new process: the program, as if it had just been started there."""
    for number, path in enumerate(outputs, 1):
        os.dup2(os.open(path, os.O_WRONLY | os.O_CREAT), number)
    os.chdir(folder)
    sys.argv[1:] = arguments
    runpy.run_module("simlab", run_name="__main__", alter_sys=True)
