"""How published frames rest, by their potential energy: a second opinion on the exact second variation.

The entries are those of published/statics.json that ask for forces in a given shape, apart from those whose
surfaces or pegs leave it undecided. Their answers are compared in published_statics.py.
"""

from __future__ import annotations

import pytest
from published.entries import read_entries
from published.frames import frame_of
from test_statics_rest import FLAT, Energy

from simlab.statics.solution import solve

DECIDED = (
    "rhombus-hung-horizontal-diagonal",
    "rhombus-hung-vertical-string",
    "rhombus-standing-horizontal-string",
    "rhombus-on-table-two-strings-ratio",
    "light-rhombus-general-diagonal",
    "kite-right-angled-vertical-string",
    "square-hung-adjacent-midpoints-string",
    "pentagon-hung-BE-rod",
    "pentagon-hung-midpoint-rod",
    "pentagon-hung-two-strings-AC-AD",
    "pentagon-on-table-BE-string",
    "hexagon-hung-two-light-rods",
    "hexagon-hung-general-angles",
    "hexagon-top-rod-fixed-CF-rod",
    "hexagon-on-table-CF-string",
    "hexagon-on-table-CF-string-loaded",
    "octagon-hung-three-light-rods",
    "triangle-hung-hinge-force",
    "light-hexagon-three-stays",
    "arch-one-sided-point-load",
    "arch-supports-at-two-levels",
    "arch-two-loads-and-half-uniform",
    "two-heavy-rods-hinged-load-at-top",
    "two-unequal-heavy-rods-hinged",
    "jib-crane-heavy-jib",
    "wall-bracket-two-heavy-rods",
    "horizontal-rod-wall-hinge-and-stay",
    "beam-on-wall-strut",
    "beam-two-pegs-600N",
    "a-frame-load-part-way-up",
    "a-ladder-bar-weight-part-way-up",
    "ncert-stepladder-rope",
    "stepladder-one-heavy-side-man",
    "stepladder-virtual-work-man-two-thirds",
    "trestle-unequal-legs-midpoint-string",
    "two-rods-13-15-on-floor",
    "rod-hung-at-A-string-perpendicular",
    "five-bar-truss-mei",
    "seven-rod-rigid-frame-pivoted",
    "simple-roof-truss-apex-load",
)
ENTRIES = read_entries()


@pytest.mark.parametrize("name", DECIDED)
def test_the_frame_rests_as_its_energy_says(name: str) -> None:
    """Stable, unstable or neutral by the numeric curvature of the potential energy along the motions."""
    frame = frame_of(ENTRIES[name])
    shown = frame.shown
    weights = [b.weight.number(shown) for b in frame.bodies.values()]
    loads = [abs(part.number(shown)) for load in frame.loads.values() for part in load.force]
    flat = FLAT * max(*weights, *loads, 0.0)
    curvatures = Energy(frame).curvatures()
    if not len(curvatures):
        expected = "fixed"
    elif min(curvatures) < -flat:
        expected = "unstable"
    else:
        expected = "stable" if min(curvatures) > flat else "neutral"

    assert solve(frame).case.freedom.rest == expected
