"""The repository's scenes in the shape in which they rest, for tests of the simulation."""

from __future__ import annotations

from pathlib import Path

import pytest
from solved import at_rest

from simlab.frame.model import Frame

SCENES = sorted((Path(__file__).parent.parent / "scenes").glob("*.toml"))
AT_REST: dict[str, Frame] = {path.stem: at_rest(path) for path in SCENES}

SETTLED = AT_REST
SHOWN = AT_REST

each_settled = pytest.mark.parametrize("of", SETTLED.values(), ids=SETTLED)
each_shown = pytest.mark.parametrize("of", SHOWN.values(), ids=SHOWN)
