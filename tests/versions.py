"""The simulation's tests with an end of the range of pymunk versions that pyproject.toml declares.

python tests/versions.py oldest     or newest

In a fresh environment, everything else as in requirements.lock. Needs a package index. Nothing in the suite
runs it: it takes some minutes.
"""

from __future__ import annotations

import re
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parent.parent
RANGE = re.compile(r'"pymunk(>=([\d.]+),<([\d.]+))"')
WORKERS = "2"


def wanted(end: str) -> str:
    """What to install: the least version declared, or whatever the index has newest in the range."""
    declared = RANGE.search((ROOT / "pyproject.toml").read_text())
    if declared is None:
        raise ValueError('pyproject.toml declares no "pymunk>=...,<...": write it so, or mend this pattern')
    return {"oldest": f"pymunk=={declared[2]}", "newest": f"pymunk{declared[1]}"}[end]


def simulated() -> list[str]:
    """The test files that the simulation plays a part in, and its own examples."""
    tests = sorted(path for path in (ROOT / "tests").glob("*.py") if path.name != Path(__file__).name)
    return [
        *(str(path) for path in tests if "simlab.simulation" in path.read_text()),
        str(ROOT / "simlab" / "simulation"),
    ]


def run(end: str) -> int:
    """Make the environment, say which pymunk it has, run the tests."""
    with tempfile.TemporaryDirectory() as folder:
        python = Path(folder) / "bin" / "python"
        constraints = Path(folder) / "constraints.txt"
        subprocess.run([sys.executable, "-m", "venv", folder], check=True)
        others = (ROOT / "requirements.lock").read_text().split()
        constraints.write_text("\n".join(line for line in others if not line.startswith("pymunk==")))
        pip = [python, "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "-c", constraints]
        subprocess.run([*pip, "--upgrade", wanted(end), "-e", f"{ROOT}[test]"], check=True)
        subprocess.run([python, "-c", "import pymunk; print('pymunk', pymunk.version)"], check=True)
        command = [python, "-m", "pytest", "-q", "-n", WORKERS, *simulated()]
        return subprocess.run(command, cwd=ROOT, check=False).returncode


if __name__ == "__main__":
    sys.exit(run(sys.argv[1]))
