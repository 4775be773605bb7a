"""The comparison can say no: one road is spoiled by a millionth, and the verdict must turn.

The sound pair of roads is checked first, so that each spoiled pair differs by the spoiling alone.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from simlab.comparison import compare
from simlab.errors import SimlabFault
from simlab.frame.model import Body, Frame
from simlab.frame.quantity import Quantity
from simlab.frame.scene import read_scene
from simlab.simulation import impulses
from simlab.simulation.settle import settle
from simlab.statics.solution import solve

SCENES = Path(__file__).parent.parent / "scenes"
MILLIONTH = Quantity.of(1) + Quantity.of(Fraction(1, 10**6))


def with_body(frame: Frame, body: Body) -> Frame:
    """The frame with one body exchanged."""
    return replace(frame, bodies={**frame.bodies, body.name: body})


def heavier(frame: Frame) -> Frame:
    """One rod a millionth heavier."""
    body = next(iter(frame.bodies.values()))
    return with_body(frame, replace(body, weight=body.weight * MILLIONTH))


def off_centre(frame: Frame) -> Frame:
    """One rod's centre of mass a millionth of the way from its middle to an end."""
    body = next(iter(frame.bodies.values()))
    share = MILLIONTH - Quantity.of(1)
    x, y = (c + (e - c) * share for c, e in zip(body.centre, body.outline[1], strict=True))
    return with_body(frame, replace(body, centre=(x, y)))


def brace_tied_elsewhere(frame: Frame) -> Frame:
    """The brace's first end a millionth of the rod's length farther along its rod."""
    place = frame.links[frame.brace].ends[0]
    body = frame.bodies[place.body]
    start, end = body.outline
    share = MILLIONTH - Quantity.of(1)
    point = tuple(
        p + (b - a) * share for p, a, b in zip(frame.points[place.point], start, end, strict=True)
    )
    moved = with_body(frame, replace(body, points={**body.points, place.point: point}))
    return replace(moved, points={**frame.points, place.point: point})


def moved_corner(frame: Frame) -> Frame:
    """One hinge of the drawing a millionth of a metre to the side, on both its rods."""
    name = next(j.name for j in frame.joints.values() if "ground" not in j.bodies)
    x, y = frame.points[name]
    point = (x + Quantity.of(Fraction(1, 10**6), (0, 1, 0)), y)
    changed = replace(frame, points={**frame.points, name: point})
    for body in frame.joints[name].bodies:
        old = frame.bodies[body]
        outline = tuple(point if corner == frame.points[name] else corner for corner in old.outline)
        points = {n: point if n == name else p for n, p in old.points.items()}
        changed = with_body(changed, replace(old, outline=outline, points=points))
    return changed


@pytest.fixture(scope="module", params=["kite_lantern", "stall_trestle"])
def frame(request) -> Frame:
    """A frame with a free angle, at its demonstration values."""
    return read_scene(SCENES / f"{request.param}.toml")


def test_the_sound_roads_agree(frame):
    """Unspoiled, both roads agree."""
    assert "agree" == compare(solve(frame), settle(frame)).agreement


SPOILED = [heavier, off_centre, brace_tied_elsewhere, moved_corner]


@pytest.mark.parametrize("spoil", SPOILED)
def test_a_millionth_on_the_simulated_road_turns_the_verdict(frame, spoil: Callable[[Frame], Frame]):
    """The simulation of a slightly other frame does not agree with the exact forces."""
    comparison = compare(solve(frame), settle(spoil(frame)))

    assert "differ" == comparison.agreement


@pytest.mark.parametrize("spoil", SPOILED)
def test_a_millionth_on_the_exact_road_turns_the_verdict(frame, spoil: Callable[[Frame], Frame]):
    """The exact forces of a slightly other frame do not agree with the simulation."""
    comparison = compare(solve(spoil(frame)), settle(frame))

    assert "differ" == comparison.agreement


def test_an_impulse_read_at_the_wrong_place_is_noticed(frame, monkeypatch):
    """One word beside the right place, the published length no longer fits: a fault, not a number."""
    word, sign = impulses.calibrated("PivotJoint")
    right = impulses.calibrated
    monkeypatch.setattr(
        impulses, "calibrated", lambda kind: (word - 1, sign) if kind == "PivotJoint" else right(kind)
    )

    with pytest.raises(SimlabFault, match=r"pymunk \d"):
        settle(frame)


def test_an_impulse_with_the_wrong_sign_is_noticed(frame, monkeypatch):
    """A turned sign keeps every length; the balance of the rods gives it away, and nothing is read."""
    word, sign = impulses.calibrated("PivotJoint")
    right = impulses.calibrated
    monkeypatch.setattr(
        impulses, "calibrated", lambda kind: (word, -sign) if kind == "PivotJoint" else right(kind)
    )
    reading = settle(frame)

    assert "not settled" == reading.verdict
    assert reading.forces is None
    assert "differ" == compare(solve(frame), reading).agreement
