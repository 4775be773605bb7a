"""The repository's scenes in the shape in which they rest, for tests of the simulation."""

from __future__ import annotations

from pathlib import Path

import pytest

from simlab.frame.model import Frame
from simlab.frame.scene import read_scene
from simlab.statics.shape import find

SCENES = sorted((Path(__file__).parent.parent / "scenes").glob("*.toml"))
AT_REST: dict[str, Frame] = {path.stem: find(read_scene(path)).shapes[0].frame for path in SCENES}

SETTLED = AT_REST
SHOWN = AT_REST

each_settled = pytest.mark.parametrize("of", SETTLED.values(), ids=SETTLED)
each_shown = pytest.mark.parametrize("of", SHOWN.values(), ids=SHOWN)
