"""simlab demo: check and film the flagship scene."""

from __future__ import annotations

from pathlib import Path

from simlab.commands.edge import gravest, guarded, outcome
from simlab.errors import BadInput

FLAGSHIP = "kite_lantern.toml"


@guarded
def command() -> int:
    """Check the kite lantern, and record its film in recordings/."""
    from simlab.commands import check
    from simlab.commands.film_output import record
    from simlab.commands.filming import Filming

    scene = flagship()
    return gravest([outcome(lambda: check.one(scene)), outcome(lambda: record(Filming(scene)))])


def flagship() -> Path:
    """The flagship scene: in the repository, or in the installed package; from here, if it is below."""
    package = Path(__file__).parent.parent
    for folder in (package.parent / "scenes", package / "scenes"):
        scene = folder / FLAGSHIP
        if scene.is_file():
            return scene.relative_to(Path.cwd()) if scene.is_relative_to(Path.cwd()) else scene
    raise BadInput(f"the scene {FLAGSHIP} is not there; run simlab from its repository.")
