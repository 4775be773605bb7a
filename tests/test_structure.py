"""Frames in marks: canes, members, supports, at rest and in motion."""

from __future__ import annotations

import cmath

import numpy as np
import pytest
from seen import SCENES

from simlab.frame.change import with_weight
from simlab.frame.model import Place
from simlab.frame.quantity import FORCE, Quantity
from simlab.frame.scene import parse_scene, read_scene
from simlab.pictures.marks import Label, Ring, Stroke
from simlab.pictures.members import ROD
from simlab.pictures.paths import PIECES, fading_path
from simlab.pictures.plan import Plan
from simlab.pictures.structure import structure
from simlab.pictures.supports import facing, supports
from simlab.pictures.weights import CORD, LANTERN, foot_of
from simlab.results.forces import Forces
from simlab.results.trace import Instant

GRAIN = 0.002  # [m/page unit]: half a metre on 250 units
NAMES = sorted(path.stem for path in SCENES.glob("*.toml"))
BUILT_IN = """
title = "A mooring post"
question = "A post AB of weight W is built in at A."
source = "our own"
[symbols]
W = { meaning = "weight", shown = "2 N" }
[points]
A = ["0", "0"]
B = ["2 m", "0"]
[rods]
AB = { ends = ["A", "B"], weight = "W" }
[supports]
quay = { kind = "built-in", at = "A" }
"""


def plan_of(name: str) -> Plan:
    """The plan of one of our scenes at its demonstration values."""
    return Plan.of(read_scene(SCENES / f"{name}.toml"))


def instant(poses: np.ndarray, absent: frozenset[str] = frozenset()) -> Instant:
    """A moment at which the bodies have these poses."""
    return Instant(0.0, poses, Forces({}, {}), (0.0, 0.0), 1.0, absent)


def drawn_poses(plan: Plan) -> np.ndarray:
    """The poses in which the frame is drawn."""
    return np.array([[*plan.centres[name], 0.0] for name in plan.order])


@pytest.mark.parametrize("name", NAMES)
def test_every_part_of_a_frame_is_drawn(name):
    """Each rod, member, pin, hung weight and point has its mark, and no two marks share a name."""
    plan = plan_of(name)
    marks = [*supports(plan, GRAIN), *structure(plan, GRAIN)]
    names = [mark.name for mark in marks]

    assert len(names) == len(set(names))
    assert {*plan.frame.bodies, *plan.frame.links} <= set(names)
    assert {f"hinge {j.name}" for j in plan.frame.joints.values() if j.kind == "pin"} <= set(names)
    assert {load for load, entry in plan.frame.loads.items() if entry.kind == "weight"} <= set(names)
    assert {f"name {point}" for point in plan.frame.points} <= set(names)


def test_canes_have_real_thickness_and_end_at_their_points():
    """A cane is ROD page units thick in metres, from end to end."""
    plan = plan_of("kite_lantern")
    (cane,) = (mark for mark in structure(plan, GRAIN) if mark.name == "LB")

    assert isinstance(cane, Stroke)
    assert cane.width == ROD * GRAIN
    assert cane.points.tolist() == [plan.points["L"].tolist(), plan.points["B"].tolist()]


def test_points_are_carried_along_by_the_poses():
    """A body moved and turned carries its points as complex numbers say: z -> c' + (z - c) e^(i turn)."""
    plan = plan_of("kite_lantern")
    poses = drawn_poses(plan)
    poses[plan.order["LB"]] += (0.3, -0.2, 0.7)
    x, y, turn = poses[plan.order["LB"]]
    arm = complex(*plan.points["P"]) - complex(*plan.centres["LB"])
    expected = complex(x, y) + arm * cmath.exp(1j * turn)

    assert plan.at(Place("LB", "P"), instant(poses)) == pytest.approx([expected.real, expected.imag])


def test_the_drawn_pose_is_the_drawn_frame():
    """With every body in its drawn pose the marks are those of the drawn frame."""
    plan = plan_of("ring_lantern")
    still, moment = structure(plan, GRAIN), structure(plan, GRAIN, instant(drawn_poses(plan)))

    assert [mark.name for mark in still] == [mark.name for mark in moment]
    for a, b in zip(still, moment, strict=True):
        if isinstance(a, Stroke) and isinstance(b, Stroke):
            assert np.allclose(a.points, b.points, atol=1e-12, equal_nan=True)
        if isinstance(a, Ring) and isinstance(b, Ring):
            assert a.centre == pytest.approx(b.centre)


def test_a_taut_string_is_straight_and_a_slack_one_hangs():
    """With its ends a tenth nearer a string hangs below them; its length stays as drawn to 1 %."""
    plan = plan_of("stall_trestle")
    poses = drawn_poses(plan)
    rope = plan.frame.links["rope"]
    drawn = float(np.hypot(*(plan.at(rope.ends[1], None) - plan.at(rope.ends[0], None))))
    poses[plan.order["CA"], 0] += 0.1 * drawn

    def points(absent: frozenset[str]) -> np.ndarray:
        marks = structure(plan, GRAIN, instant(poses, absent))
        return next(mark.points for mark in marks if mark.name == "rope" and isinstance(mark, Stroke))

    taut, slack = points(frozenset()), points(frozenset({"rope"}))

    assert len(taut) == 2
    assert slack[[0, -1]] == pytest.approx(taut)
    assert (slack[1:-1, 1] < taut[0, 1]).all()
    assert np.hypot(*np.diff(slack, axis=0).T).sum() == pytest.approx(drawn, rel=0.01)


def test_what_is_removed_or_has_fallen_out_is_not_drawn():
    """A removed string and an absent strut leave no mark; a marked member glows."""
    trestle, kite = plan_of("stall_trestle"), plan_of("kite_lantern")

    assert not any("rope" in mark.name for mark in structure(trestle, GRAIN, removed=["rope"]))
    fallen = structure(kite, GRAIN, instant(drawn_poses(kite), frozenset({"spreader"})))
    assert not any("spreader" in mark.name for mark in fallen)
    assert any(mark.role == "glow" for mark in structure(kite, GRAIN, marked=["spreader"]))


def test_lanterns_hang_plumb_below_their_points():
    """The foot of a lantern is straight below the point that carries it, cord and lantern down."""
    plan = plan_of("stall_trestle")
    load = plan.frame.loads["lanterns"]
    foot = foot_of(plan, load, GRAIN, None)

    assert foot[0] == pytest.approx(plan.points["S"][0])
    assert plan.points["S"][1] - foot[1] > (CORD + 2 * LANTERN[1]) * GRAIN


def test_weights_at_one_point_hang_side_by_side():
    """A lantern hung where the hoist's chest hangs is beside it: neither is drawn on the other."""
    plan = plan_of("quay_hoist")
    frame = with_weight(plan.frame, "lantern_at_Q", "Q", Quantity.of(5, FORCE))
    both = Plan.of(frame)
    outlines = {m.name: m.points for m in structure(both, GRAIN) if m.name in ("chest", "lantern_at_Q")}
    feet = [foot_of(both, load, GRAIN, None) for load in frame.loads.values()]

    assert outlines["chest"][:, 0].max() < outlines["lantern_at_Q"][:, 0].min()
    assert feet[0][0] == plan.points["Q"][0]
    assert outlines["lantern_at_Q"][:, 0].min() < feet[1][0] < outlines["lantern_at_Q"][:, 0].max()


def test_supports_face_what_they_hold():
    """A lantern's hook hangs from a beam; the bracket's hinge and its hook are on one wall; quays carry."""

    def face(name: str, support: str) -> tuple[float, float]:
        plan = plan_of(name)
        held = plan.frame.supports[support]
        return facing(plan, held, held.points[0])

    assert face("kite_lantern", "hook") == (0.0, -1.0)
    assert face("banner_bracket", "wall_hinge") == face("banner_bracket", "wall_hook") == (1.0, 0.0)
    assert face("gangway", "west_quay") == face("gangway", "east_quay") == (0.0, 1.0)


def test_one_wall_is_drawn_for_all_that_is_on_it():
    """The two supports of the bracket share one face of stone, which reaches past both points."""
    plan = plan_of("banner_bracket")
    faces = [mark for mark in supports(plan, GRAIN) if mark.role == "ground line"]

    assert len(faces) == 1
    assert isinstance(faces[0], Stroke)
    assert faces[0].points[:, 1].min() < plan.points["P"][1]
    assert faces[0].points[:, 1].max() > plan.points["Z"][1]


def test_a_floor_lies_under_its_points():
    """The floor's face is level, half a rod's thickness below the feet, and goes on past the frame."""
    plan = plan_of("stall_trestle")
    (floor,) = (mark for mark in supports(plan, GRAIN) if mark.role == "ground line")
    left, _, right, _ = plan.bounds

    assert isinstance(floor, Stroke)
    assert floor.points[:, 1] == pytest.approx([-ROD / 2 * GRAIN] * 2, abs=1e-12)
    assert floor.points[:, 0].min() < left
    assert floor.points[:, 0].max() > right


def test_a_built_in_end_stands_in_its_wall():
    """A rod built in at its left end has stone to the left of that point."""
    plan = Plan.of(parse_scene(BUILT_IN))
    (stone,) = (mark for mark in supports(plan, GRAIN) if mark.role == "stone")

    assert isinstance(stone, Stroke)
    assert stone.points[:, 0].max() == pytest.approx(0.0, abs=1e-12)
    assert stone.points[:, 0].min() < 0


def test_names_of_points_are_mathematics_and_large():
    """A letter is set as one writes it, and can be read from the back."""
    names = [m for m in structure(plan_of("gangway"), GRAIN) if isinstance(m, Label)]

    assert {label.text for label in names} == {"$A$", "$B$", "$C$", "$F$"}
    assert all(label.size >= 34 for label in names)


def test_paths_fade_with_age_and_hang_together():
    """The pieces follow one another without gaps, each at least as strong as the one before."""
    points = np.stack([np.linspace(0, 1, 100), np.linspace(0, 2, 100) ** 2], axis=1)
    pieces = fading_path("B", points)

    assert len(pieces) == PIECES
    assert [p.opacity for p in pieces] == sorted(p.opacity for p in pieces)
    joined = np.concatenate([p.points[:-1] for p in pieces if isinstance(p, Stroke)] + [points[-1:]])
    assert np.array_equal(joined, points)
    assert fading_path("B", points[:1]) == []


def test_bounds_of_a_run_hold_every_pose():
    """What a swinging rod sweeps is inside the bounds: a full turn reaches its length to every side."""
    plan = Plan.of(parse_scene(BUILT_IN))
    turns = np.linspace(0, 2 * np.pi, 361)
    poses = np.stack([np.cos(turns), np.sin(turns), turns], axis=1)[:, None, :]

    assert plan.swept(poses) == pytest.approx((-2.0, -2.0, 2.0, 2.0))
