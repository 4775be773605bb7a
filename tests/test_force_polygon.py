"""One body alone: all forces on it, and the polygon of them that closes where it rests."""

from __future__ import annotations

from itertools import pairwise
from math import hypot
from pathlib import Path

import numpy as np
import pytest
from scenes_at_rest import AT_REST
from small_frames import cantilever, frame

from simlab.frame.scene import read_scene
from simlab.pictures.acting import Acting, acting, is_open
from simlab.pictures.arrows import largest, scale_for
from simlab.pictures.camera import Camera
from simlab.pictures.force_polygon import (
    LEFT_OVER,
    SIDE_BY_SIDE,
    by_size,
    corners,
    factor_for,
    in_order,
    left_over,
)
from simlab.pictures.hand import hand_marks
from simlab.pictures.leaders import box_of
from simlab.pictures.marks import Arrow, Label, Mark
from simlab.pictures.obstacles import boxes_hit, segments
from simlab.pictures.one_body import BALANCE, MOVES, OPEN, WITH_HUNG, OneBody
from simlab.pictures.placement import place
from simlab.pictures.seating import meet
from simlab.results import Floats
from simlab.window.player import Player
from simlab.window.run import LETTING_ON

SCENES = Path(__file__).parent.parent / "scenes"
CLOSED = 1e-9  # of the largest force on the body: as well as a frame of the scenes rests
RECT = (40.0, 60.0, 1880.0, 980.0)  # [page units]
STILL_CAMERA = Camera((0.0, 0.0), (0.0, 0.0), 1.0, 1.0)
# From positions 1/600 s apart; the error of a second difference goes with the square of that.
BY_DIFFERENCES = 2e-4


def loaded(made, steps: int = 1200) -> Player:
    """A player with all of gravity on, and the frame at rest."""
    player = Player(made)
    player.run.do("begin", LETTING_ON, 0.0, steps)
    return player


def drawn(player: Player, body: str) -> list[Mark]:
    """What is drawn of a body alone, with the sizes of the forces."""
    plan, instant = player.plan, player.now()
    scale = scale_for(largest(plan, instant.forces))
    return OneBody(body).marks(plan, instant, RECT, scale, hand=player.hand, words=by_size)


def sides(marks: list[Mark]) -> list[Arrow]:
    """The sides of the polygon among some marks."""
    return [mark for mark in marks if isinstance(mark, Arrow) and mark.name.startswith("side ")]


def text(marks: list[Mark], name: str) -> str:
    """What a label says; "" where it is not there."""
    return next((mark.text for mark in marks if isinstance(mark, Label) and mark.name == name), "")


@pytest.mark.parametrize("name", [name for name in AT_REST if name != "quay_hoist"])
def test_the_polygon_of_every_body_at_rest_closes(name: str):
    """All forces on it add up to nothing, wherever rigid bodies leave none of them open."""
    player = loaded(AT_REST[name])
    plan, instant = player.plan, player.now()
    for body in plan.frame.bodies:
        forces = acting(plan, instant, body)
        if is_open(plan, instant, body):
            assert text(drawn(player, body), "heading of polygon") == OPEN
            continue
        assert hypot(*left_over(forces)) < CLOSED * max(one.size for one in forces)
        marks = drawn(player, body)
        assert text(marks, "heading of polygon") == BALANCE
        assert "left over" not in {mark.name for mark in marks}
        assert len(sides(marks)) == len(forces)


def test_the_gap_of_a_falling_rod_is_its_mass_times_its_acceleration():
    """Second differences of where the centres are, 600 a second, times W/g: for two canes of the kite."""
    player = loaded(read_scene(SCENES / "kite_lantern.toml"))
    player.release_or_restore()
    instants = []
    for _ in range(90):
        instants.append(player.now())
        player.run.step(1)
    poses = np.array([instant.poses[:, :2] for instant in instants])
    for body, weight in (("KL", 2.0), ("RB", 4.0)):
        place = poses[:, player.plan.order[body]]
        for k in (2, 40, 80):
            acceleration = (place[k + 1] - 2 * place[k] + place[k - 1]) * 600**2
            gap = left_over(acting(player.plan, instants[k], body))
            assert gap == pytest.approx(weight / 9.8 * acceleration, abs=BY_DIFFERENCES * weight)
    marks = drawn(player, "RB")
    assert text(marks, "heading of polygon") == MOVES
    assert text(marks, "words of left over").startswith(LEFT_OVER)


def test_what_hangs_on_a_hinge_is_moved_by_one_of_its_canes():
    """A lantern at B of the kite moves with LB: its mass times the acceleration of B is in that gap."""
    player = loaded(read_scene(SCENES / "kite_lantern.toml"), 300)
    player.hang_on("B")
    player.release_or_restore()
    instants = []
    for _ in range(60):
        instants.append(player.now())
        player.run.step(1)
    plan = player.plan
    centre = np.array([instant.poses[plan.order["LB"], :2] for instant in instants])
    corner = np.array([plan.joint("B", instant) for instant in instants])
    for k in (2, 40):
        own, hung = ((p[k + 1] - 2 * p[k] + p[k - 1]) * 600**2 for p in (centre, corner))
        gap = left_over(acting(plan, instants[k], "LB"))
        assert gap == pytest.approx((4.0 * own + 2.0 * hung) / 9.8, abs=4 * BY_DIFFERENCES * 6.0)
    heading = text(drawn(player, "LB"), "heading of polygon")
    assert heading == WITH_HUNG.format("$B$")
    assert text(drawn(player, "RB"), "heading of polygon") == MOVES


def test_sides_go_tip_to_tail_in_the_lengths_and_senses_of_the_forces():
    """Each side begins where the last one ends; the weight is first; all to one scale, y down the page."""
    player = loaded(read_scene(SCENES / "kite_lantern.toml"))
    forces = {one.name: one for one in acting(player.plan, player.now(), "LB")}
    marks = drawn(player, "LB")
    found = sides(marks)

    assert found[0].role == "weight"
    for one, after in zip(found, found[1:] + found[:1], strict=True):
        assert np.add(one.tail, one.vector) == pytest.approx(after.tail, abs=1e-6)
    scale = found[0].vector[1] / 4.0  # the cane weighs 4 N
    for one in found:
        x, y = forces[one.name.removeprefix("side ")].force
        assert one.vector == pytest.approx((x * scale, -y * scale), abs=1e-6)
    arrows = {mark.name: mark for mark in marks if isinstance(mark, Arrow)}
    for one in found:  # the same lengths as on the body itself
        assert arrows[one.name.removeprefix("side ")].vector == pytest.approx(one.vector, abs=1e-6)


def forces_of(*pairs: tuple[float, float]) -> list[Acting]:
    """Forces with no more to them than that."""
    return [Acting(str(i), "load", "x", (0.0, 0.0), pair) for i, pair in enumerate(pairs)]


def test_the_polygon_is_convex_and_does_not_jump_when_directions_change():
    """Random forces that add up to nothing: all turns one way. A force that turns past others: no leaps."""
    rng = np.random.default_rng(3)
    for _ in range(20):
        random = rng.normal(size=(6, 2))
        steps = np.diff(corners(forces_of(*random, tuple(-random.sum(axis=0)))), axis=0)
        after = np.roll(steps, -1, axis=0)
        assert (steps[:, 0] * after[:, 1] - steps[:, 1] * after[:, 0] > -1e-12).all()
    before = None
    for turn in np.linspace(0, 2 * np.pi, 721):
        c, s = float(np.cos(turn)), float(np.sin(turn))
        points = corners(forces_of((0.0, -1.0), (c, s), (0.3, 0.4), (-c - 0.3, 0.6 - s)))
        shape = points - points.min(axis=0) - np.ptp(points, axis=0) / 2
        if before is not None:
            assert off(shape, before) < 0.02
        before = shape


def off(points: Floats, line: Floats) -> float:
    """How far the farthest of some points is from a broken line."""
    along = np.linspace(0, 1, 201)[:, None]
    dense = np.concatenate([a + along * (b - a) for a, b in pairwise(line)])
    return float(np.hypot(*(points[:, None] - dense[None]).transpose(2, 0, 1)).min(axis=1).max())


def test_the_order_is_anticlockwise_from_straight_down():
    """Down, right, up, left."""
    order = in_order(forces_of((-1.0, 0.0), (0.0, 1.0), (0.0, -1.0), (1.0, 0.0)))
    assert [one.force for one in order] == [(0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0)]


def test_forces_along_one_line_are_drawn_side_by_side():
    """A level rod hung by two strings: its weight down on the left, the tensions up on the right of it."""
    points = {"A": (0.0, 0.0), "B": (1.0, 0.0), "Y": (0.0, 1.0), "Z": (1.0, 1.0)}
    cords = {"one": ("string", "AY"), "other": ("string", "BZ")}
    marks = drawn(loaded(frame(points, {"AB": ("AB", 10.0)}, cords, hooks="YZ")), "AB")
    weight, *tensions = sides(marks)

    assert weight.role == "weight"
    assert [one.role for one in tensions] == ["tension", "tension"]
    for one in tensions:
        assert one.tail[0] - weight.tail[0] == pytest.approx(SIDE_BY_SIDE)
        assert one.vector[1] < 0 < weight.vector[1]


def test_the_moment_of_a_wall_is_drawn_on_the_rod_though_it_is_no_force():
    """A rod built into a wall: weight and the wall's force close the polygon, the moment is an arc at A."""
    points = {"A": (0.0, 0.0), "B": (1.0, 0.0)}
    marks = drawn(loaded(frame(points, {"AB": ("AB", 10.0)}, built_in="A")), "AB")

    assert len(sides(marks)) == 2
    assert text(marks, "heading of polygon") == BALANCE
    assert any(mark.name.startswith("moment at A") for mark in marks)


def test_the_pull_of_a_hand_is_among_the_forces():
    """A cantilever's rod, pulled at its end: the hand in the frame's picture, on it, in the polygon."""
    player = loaded(cantilever(1))
    player.isolate("Bb")
    x, y = (float(v) for v in player.plan.joint("b", player.now()))
    player.grab((x, y), 0.05)
    player.pull_to((x + 0.05, y - 0.02))
    for _ in range(120):
        player.advance(1 / 60)
    hand = player.hand
    assert hand is not None
    marks = drawn(player, "Bb")

    assert hand.body == "Bb"
    assert "side pull of the hand" in {mark.name for mark in sides(marks)}
    assert text(marks, "heading of polygon") == BALANCE
    words = f"hand {hypot(*hand.force):.3g} N"
    assert text(marks, "words of pull of the hand") == "hand"
    assert text(marks, "words of side pull of the hand") == words
    assert text(hand_marks(player.plan, hand, STILL_CAMERA), "words of pull of the hand") == words


def test_the_scale_is_the_picture_s_own_where_that_serves():
    """Once, if it fits and can be seen; else the nearest round multiple, kept as long as it fits."""
    room = (400.0, 300.0)
    assert factor_for(((3.0, 2.0), room), 100.0) == 1.0
    assert factor_for(((30.0, 2.0), room), 100.0) == 0.1
    assert factor_for(((0.3, 0.2), room), 100.0) == 10.0
    assert factor_for(((3.0, 2.0), room), 100.0, before=1.0) == 1.0
    assert factor_for(((0.5, 0.2), room), 100.0, before=5.0) == 5.0


@pytest.mark.parametrize("name", ["kite_lantern", "stall_trestle", "sign_board"])
def test_no_word_lies_on_another_or_on_an_arrow(name: str):
    """Every label of every body alone, placed: measured boxes against all others, and against all lines."""
    player = loaded(AT_REST[name], 300)
    for body in player.plan.frame.bodies:
        marks = drawn(player, body)
        placement = place(marks, STILL_CAMERA)
        labels = [mark for mark in marks if isinstance(mark, Label)]
        boxes = np.array([box_of(label, placement) for label in labels])
        chosen = np.array([bool(label.sides) for label in labels])
        assert not (meet(boxes, boxes) & ~np.eye(len(boxes), dtype=bool)).any()
        assert not boxes_hit(boxes[chosen], segments(marks, STILL_CAMERA)).any()
        assert (boxes[:, :2] > 0).all()
        assert (boxes[:, 2:] < (1920.0, 1080.0)).all()
