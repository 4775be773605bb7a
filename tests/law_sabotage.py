"""The comparison can say no: one road is spoiled by a millionth, and the verdict must turn.

The sound pair of roads is checked first, so that each spoiled pair differs by the spoiling alone.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from lettered import Sketch

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


def boom(more: Fraction | int = 0, mu: str = "1/4", peg: Fraction | int = 0) -> Frame:
    """A boom with a cord over a pulley at its end and an elastic rope, and a ladder about to slip."""
    sketch = Sketch(
        {
            "O": (0, 0), "B": (4, 0), "H": (0, 3), "L": (4, -2), "K": (0, -3), "S": (3, 3), "M": (2, 0),
            "P": (f"4 + {peg}", 0), "F": (6, 0), "T": (5, 2), "G": (8, 0), "N": ("16/3", "4/3"),
        }
    )  # fmt: skip
    sketch.rod("boom", "OBM", 2)
    sketch.bodies["boom"] = replace(
        sketch.bodies["boom"], points={**sketch.bodies["boom"].points, "P": sketch.points["P"]}
    )
    sketch.pin("O", "ground", "boom")
    sketch.pin("L")
    sketch.link("cord", "string", ("ground", "H"), ("boom", "P"), ("L", "L"))
    sketch.link("stay", "light rod", ("boom", "B"), ("ground", "K"))
    sketch.link(
        "rope", "elastic string", ("boom", "M"), ("ground", "S"), natural=1, stiffness=f"2 + {more}"
    )
    sketch.load("lantern", "weight", ("L", "L"), 3)
    sketch.rod("ladder", "FTN", 20)
    sketch.contact(("ladder", "F"), "quay", (0, 1), mu, about_to="slip", slips=(1, 0))
    sketch.contact(("ladder", "T"), "shed", (1, 0))
    sketch.link("tie", "light rod", ("ladder", "N"), ("ground", "G"))
    return sketch.frame()


HUNDREDTH_OF_A_MILLIONTH = Fraction(1, 10**8)


@pytest.mark.parametrize(
    "spoiled",
    [
        {"more": HUNDREDTH_OF_A_MILLIONTH},
        {"mu": f"1/4 + {HUNDREDTH_OF_A_MILLIONTH}"},
        {"peg": HUNDREDTH_OF_A_MILLIONTH},
    ],
    ids=["a stiffer rope", "a rougher quay", "a pulley beside its place"],
)
def test_a_hundredth_of_a_millionth_in_any_kind_of_member_turns_the_verdict(spoiled) -> None:
    """Elastic strings, contacts about to slip, strings over pulleys: spoiled on either road, it is seen."""
    sound, other = boom(), boom(**spoiled)

    assert "agree" == compare(solve(sound), settle(sound)).agreement
    assert "differ" == compare(solve(sound), settle(other)).agreement
    assert "differ" == compare(solve(other), settle(sound)).agreement


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
