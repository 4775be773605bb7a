"""Forces as arrows, to one scale."""

from __future__ import annotations

import numpy as np
import pytest
from published.balance import Balance
from seen import SCENES

from simlab.frame.scene import parse_scene, read_scene
from simlab.pictures.arrows import (
    KINDS,
    arrow_name,
    force_arrows,
    in_newtons,
    largest,
    scale_for,
)
from simlab.pictures.camera import Camera
from simlab.pictures.given_loads import given_weights
from simlab.pictures.legend import legend, scale_bar
from simlab.pictures.marks import Arrow, Label, Mark, Stroke
from simlab.pictures.obstacles import arrows_on_page
from simlab.pictures.plan import Plan
from simlab.results.forces import Forces, Key
from simlab.results.trace import Instant

CAMERA = Camera((0.0, -0.5), (960.0, 540.0), 600.0)
NAMES = sorted(path.stem for path in SCENES.glob("*.toml"))


def drawn(name: str, **options: object) -> tuple[Plan, Forces[float], Camera, dict[str, Arrow]]:
    """A scene's forces by the tests' own numeric balance, and the arrows of the kinds asked for."""
    frame = read_scene(SCENES / f"{name}.toml")
    plan, forces = Plan.of(frame), Balance(frame).forces
    camera = CAMERA.with_forces(scale_for(largest(plan, forces)))
    marks = force_arrows(plan, forces, camera, **options)
    return plan, forces, camera, {mark.name: mark for mark in marks if isinstance(mark, Arrow)}


@pytest.mark.parametrize("name", NAMES)
def test_all_arrows_have_one_scale_and_the_largest_fits(name):
    """Length on the page over newtons is the same for every arrow; the largest is a sixth of the page."""
    plan, forces, camera, arrows = drawn(name)
    tails, tips = arrows_on_page(arrows.values(), camera)
    lengths = np.hypot(*(tips - tails).T)
    newtons = np.array([np.hypot(*arrow.vector) for arrow in arrows.values()])

    assert lengths == pytest.approx(newtons * camera.per_newton)
    assert lengths.max() == pytest.approx(190.0)
    for key, reaction in forces.reactions.items():
        if arrow_name(key) in arrows:
            assert arrows[arrow_name(key)].vector == reaction.force
    assert all(arrow.measure == "force" for arrow in arrows.values())
    assert largest(plan, forces) == pytest.approx(newtons.max())


def test_a_thrust_is_drawn_on_the_rods_outwards_from_the_brace():
    """The spreader pushes P to the left and Q to the right, from P and from Q."""
    plan, forces, _, arrows = drawn("kite_lantern", kinds=("members",))
    left, right = (arrows[arrow_name(key)] for key in forces.reactions if key.by == "spreader")

    assert {left.role, right.role} == {"thrust"}
    assert left.tail == pytest.approx(tuple(plan.points["P"]))
    assert right.tail == pytest.approx(tuple(plan.points["Q"]))
    assert left.vector[0] < 0 < right.vector[0]


def test_a_tension_is_drawn_on_the_rods_inwards_along_the_string():
    """The rope pulls U to the right and V to the left."""
    _, forces, _, arrows = drawn("stall_trestle", kinds=("members",))
    left, right = (arrows[arrow_name(key)] for key in forces.reactions if key.by == "rope")

    assert {left.role, right.role} == {"tension"}
    assert right.vector[0] < 0 < left.vector[0]


def test_the_two_forces_at_a_hinge_are_drawn_apart_on_their_rods():
    """At L each rod has its own arrow, opposite, one end of it on that rod; neither crosses the hinge."""
    plan, _, camera, arrows = drawn("kite_lantern", kinds=("hinges",))
    upper, lower = (arrows[arrow_name(Key(rod, "L", "L"))] for rod in ("KL", "LB"))

    assert np.add(upper.vector, lower.vector) == pytest.approx((0, 0), abs=1e-9)
    for arrow, rod in ((upper, "KL"), (lower, "LB")):
        hinge, inwards = plan.points["L"], plan.centres[rod] - plan.points["L"]
        tail = np.array(arrow.tail) - hinge
        tip = tail + np.array(arrow.vector) * camera.per_newton * camera.grain
        beside = [abs(inwards[0] * p[1] - inwards[1] * p[0]) for p in (tail, tip)]

        assert min(beside) == pytest.approx(0, abs=1e-9)
        assert min(tail @ inwards, tip @ inwards) > 0


def test_the_caller_chooses_what_is_shown():
    """Kinds and keys limit the arrows; a pin that only hands a support's force on is not drawn twice."""
    _, _, _, weights = drawn("kite_lantern", kinds=("weights",))
    _, _, _, one = drawn("kite_lantern", only=[Key("LB", "L", "L")])
    _, _, _, gangway = drawn("gangway")

    assert {arrow.role for arrow in weights.values()} == {"weight"}
    assert list(one) == ["force on LB at L by L"]
    assert "force on A at A by ground" in gangway
    assert "force on AC at A by A" not in gangway


def test_weights_follow_the_share_of_gravity():
    """At 40 % of gravity a weight's arrow is 40 % as long."""
    frame = read_scene(SCENES / "kite_lantern.toml")
    plan = Plan.of(frame)
    poses = np.array([[*plan.centres[name], 0.0] for name in plan.order])
    moment = Instant(0.0, poses, Forces({}, {}), (0.0, 0.0), 0.4, frozenset())
    marks = force_arrows(plan, None, CAMERA.with_forces(40.0), instant=moment)

    assert [m.vector[1] for m in marks if isinstance(m, Arrow)] == pytest.approx([-0.8, -0.8, -1.6, -1.6])


def test_given_weights_are_named_and_of_one_length():
    """Without forces, weights are arrows of one length with the letters of the question beside them."""
    marks = given_weights(Plan.of(read_scene(SCENES / "kite_lantern.toml")), 0.002)
    arrows = [m for m in marks if isinstance(m, Arrow)]

    assert [m.text.replace(" ", "") for m in marks if isinstance(m, Label)] == [
        "$W$",
        "$W$",
        "$2W$",
        "$2W$",
    ]
    assert {arrow.measure for arrow in arrows} == {"length"}
    assert len({arrow.vector for arrow in arrows}) == 1


def test_masses_are_written_with_g():
    """A banner of 3 kg weighs 3g newtons, as a class writes it."""
    marks = given_weights(Plan.of(read_scene(SCENES / "banner_bracket.toml")), 0.002)

    assert {m.text for m in marks if isinstance(m, Label)} == {"$6g$ N", "$3g$ N", "$g$ N"}


def test_sizes_in_newtons_have_three_figures():
    """The thrust as the numeric balance has it, a weight as the question has it: three figures, newtons."""
    plan, forces, _, _ = drawn("kite_lantern")
    words = in_newtons(plan, forces, KINDS)
    (key,) = (k for k in forces.reactions if k.by == "spreader" and k.on == "LB")
    size = np.hypot(*forces.reactions[key].force)

    assert words[key] == f"{size:.1f} N"
    assert words["KL"] == "2.00 N"


@pytest.mark.parametrize("per_newton", [0.0037, 0.19, 1.0, 19.0, 4321.0])
def test_the_scale_bar_is_a_round_number_of_newtons_to_scale(per_newton):
    """The bar's length is its number of newtons times the scale; the number is 1, 2 or 5 times 10^n."""
    bar, words = scale_bar(CAMERA.with_forces(per_newton), (100.0, 900.0))
    assert isinstance(bar, Stroke)
    assert isinstance(words, Label)
    newtons = float(words.text.removesuffix(" N"))
    long = float(np.nanmax(bar.points[:, 0]) - np.nanmin(bar.points[:, 0]))

    assert long == pytest.approx(newtons * per_newton)
    assert 70 <= long <= 200
    assert f"{newtons:e}"[0] in "125"


def test_the_legend_names_the_kinds_that_are_there():
    """Each kind of force in the picture has one sample; none has that is not there."""
    _, _, camera, arrows = drawn("stall_trestle")
    marks: list[Mark] = legend(arrows.values(), camera, (56, 0, 1864, 1024))
    samples = {mark.role for mark in marks if isinstance(mark, Arrow)}

    assert samples == {"weight", "support force", "tension", "hinge force"}


def test_a_moment_is_an_arc_in_its_sense():
    """A rod built in at its left end is held by an anticlockwise moment W a: the arc ends on the left."""
    text = """
title = "A post"
question = "A post."
source = "our own"
[points]
A = ["0", "0"]
B = ["2 m", "0"]
[rods]
AB = { ends = ["A", "B"], weight = "3 N" }
[supports]
quay = { kind = "built-in", at = "A" }
"""
    frame = parse_scene(text)
    plan, forces = Plan.of(frame), Balance(frame).forces
    marks = force_arrows(plan, forces, CAMERA.with_forces(20.0), words=in_newtons(plan, forces))
    (arc,) = (m for m in marks if isinstance(m, Stroke))
    (head,) = (m for m in marks if isinstance(m, Arrow) and m.name.startswith("moment"))

    assert arc.points[0, 0] > 0 > arc.points[-1, 0]
    assert head.vector[1] < 0
    assert "3.00 N m" in {m.text for m in marks if isinstance(m, Label)}
