"""What bodies rest on, in marks: on the right side, just touching, rough and smooth told apart by shape."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from simlab.frame.scene import parse_scene, read_scene
from simlab.pictures.marks import Mark, Ring, Stroke
from simlab.pictures.members import ROD
from simlab.pictures.plan import Plan
from simlab.pictures.rests import PEG, RING
from simlab.pictures.structure import structure
from simlab.pictures.supports import facing, supports
from simlab.results.forces import Forces
from simlab.results.trace import Instant

PICTURED = Path(__file__).parent / "pictured"
GRAIN = 0.004  # [m/page unit]
PEGS = """
title = "An oar on two thole pins"
question = "An oar AB of weight W lies on a pin at C and under a pin at D."
source = "our own"
[symbols]
W = { meaning = "weight", shown = "30 N" }
[points]
A = ["0", "0"]
B = ["4 m", "3 m"]
C = { from = "A", towards = "B", length = "2 m" }
D = { from = "A", towards = "B", length = "1 m" }
[rods]
AB = { ends = ["A", "B"], weight = "W", through = ["C", "D"] }
[supports]
low = { kind = "rough peg", at = "C" }
high = { kind = "smooth peg", at = "D", side = "above" }
"""


def plan_of(name: str) -> Plan:
    """The plan of a scene made for these tests."""
    return Plan.of(read_scene(PICTURED / f"{name}.toml"))


def stroke(marks: list[Mark], name: str) -> Stroke:
    """The one stroke of a name."""
    (found,) = (mark for mark in marks if mark.name == name and isinstance(mark, Stroke))
    return found


def gap(point: np.ndarray, a: np.ndarray, b: np.ndarray) -> float:
    """The distance of a point from the line ab."""
    (ux, uy), (x, y) = (b - a) / np.hypot(*(b - a)), point - a
    return float(abs(ux * y - uy * x))


def test_a_ring_is_in_the_ground_if_what_is_tied_to_it_goes_up():
    """The hoist's tie comes down to its ring: stone is below it; the kite hangs from a beam."""
    scenes = PICTURED.parent.parent / "scenes"
    for scene, support, point, out in (
        ("quay_hoist", "ring", "Z", (0.0, 1.0)),
        ("kite_lantern", "hook", "K", (0.0, -1.0)),
    ):
        plan = Plan.of(read_scene(scenes / f"{scene}.toml"))
        assert facing(plan, plan.frame.supports[support], point) == out


def test_a_peg_touches_its_own_side_of_the_rod():
    """A smooth peg said to be above touches the upper side: its centre is half a rod and a radius away."""
    plan = Plan.of(parse_scene(PEGS))
    (peg,) = (m for m in supports(plan, GRAIN) if isinstance(m, Ring) and m.role == "peg")
    away = np.array(peg.centre) - plan.points["D"]

    assert away @ (-0.6, 0.8) == pytest.approx((ROD / 2 + PEG) * GRAIN)
    assert away @ (0.8, 0.6) == pytest.approx(0, abs=1e-12)
    assert peg.radius == pytest.approx(PEG * GRAIN)


def test_a_rough_peg_has_teeth_and_is_below():
    """The rough peg's outline goes in and out between two radii; all of it is below the rod."""
    plan = Plan.of(parse_scene(PEGS))
    rim = stroke(supports(plan, GRAIN), "low at C").points
    centre = plan.points["C"] - np.array([-0.6, 0.8]) * (ROD / 2 + PEG) * GRAIN
    radii = np.hypot(*(rim - centre).T) / GRAIN

    assert radii.max() == pytest.approx(PEG, abs=0.2)
    assert radii.min() < 0.8 * PEG
    assert ((rim - plan.points["C"]) @ (-0.6, 0.8) < -0.9 * ROD / 2 * GRAIN).all()


def test_rough_and_smooth_faces_differ_in_shape():
    """The ladder's rough floor is saw-toothed and never rises above its face; its wall is straight."""
    marks = supports(plan_of("net_loft_ladder"), GRAIN)
    floor, wall = stroke(marks, "face of cobbles"), stroke(marks, "face of loft")
    heights = floor.points[:, 1]

    assert len(wall.points) == 2
    assert len(floor.points) > 20
    assert heights.max() == pytest.approx(-ROD / 2 * GRAIN)
    assert len(set(np.round(heights, 9))) == 2


def test_a_wall_and_a_floor_end_where_they_meet():
    """The corner of the ladder's wall and floor is the end of both faces, and the wall is to the right."""
    plan = plan_of("net_loft_ladder")
    marks = supports(plan, GRAIN)
    floor, wall = stroke(marks, "face of cobbles").points, stroke(marks, "face of loft").points
    corner = (plan.points["B"][0] + ROD / 2 * GRAIN, -ROD / 2 * GRAIN)

    assert floor[floor[:, 0].argmax()] == pytest.approx(corner, abs=1e-9)
    assert wall[wall[:, 1].argmin()] == pytest.approx(corner, abs=1e-9)
    stone = stroke(marks, "stone of loft").points
    assert stone[:, 0].min() == pytest.approx(corner[0])


def test_a_slope_rises_as_it_should():
    """The slip's face makes its angle with the level, and lies on the cask's lowest point."""
    plan = plan_of("cask_on_slip")
    face = stroke(supports(plan, GRAIN), "stone of slip").points[:2]
    dx, dy = face[1] - face[0]

    assert np.degrees(np.arctan2(abs(dy), abs(dx))) == pytest.approx(20.0)
    assert dx * dy > 0
    assert gap(plan.points["C"], *face) == pytest.approx(0, abs=1e-9)


def test_a_plank_touches_the_drum_that_it_rests_on():
    """The drawn drum's edge is half a plank's thickness from the plank's line."""
    plan = plan_of("plank_over_drum")
    rim = stroke(supports(plan, GRAIN), "stone of drum").points
    radius = np.hypot(*(rim - plan.points["O"]).T)

    assert radius == pytest.approx(1.0 - ROD / 2 * GRAIN)  # the question's radius is 1 m


def test_a_bowl_lies_under_what_is_in_it():
    """The kettle's face is half a rod's thickness outside the ladle's end, and reaches from rim to rim."""
    plan = plan_of("ladle_in_kettle")
    marks = supports(plan, 0.0004)
    face = stroke(marks, "face of kettle").points

    assert np.hypot(*(face - plan.points["O"]).T) == pytest.approx(0.1 + ROD / 2 * 0.0004)
    assert face[:, 1].max() <= 1e-9
    assert np.ptp(face[:, 0]) > 0.19
    assert not any(mark.role == "peg" for mark in marks)  # the rim is the bowl's own


def test_rings_go_with_their_rods_and_wires_stay():
    """A rod moved to the right takes its ring with it; the wire is where it was."""
    plan = plan_of("lantern_on_wire")
    poses = np.array([[*plan.centres[name], 0.0] for name in plan.order])
    poses[plan.order["AK"], 0] += 0.2
    moment = Instant(0.0, poses, Forces({}, {}), (0.0, 0.0), 1.0, frozenset())
    (ring,) = (m for m in structure(plan, GRAIN, moment) if m.name == "ring wire at A")

    assert isinstance(ring, Ring)
    assert ring.centre == pytest.approx(tuple(plan.points["A"] + (0.2, 0)))
    assert ring.radius == RING * GRAIN
    wire = stroke(supports(plan, GRAIN), "wire").points
    assert wire[:, 0].min() < plan.points["A"][0] < plan.points["B"][0] < wire[:, 0].max()


def test_a_hinge_on_a_floor_has_no_other_floor():
    """The drum's pin, level with the ground that the plank stands on, is fixed to that ground."""
    faces = [m.name for m in supports(plan_of("plank_over_drum"), GRAIN) if m.role == "ground line"]

    assert sorted(faces) == ["face of drum", "face of quay"]
