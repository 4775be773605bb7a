"""Given angles and lengths, found from the letters of the question."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from seen import SCENES

from simlab.frame.quantity import Quantity
from simlab.frame.scene import read_scene
from simlab.pictures.angles import given_angles
from simlab.pictures.arcs import angle_arc
from simlab.pictures.dimensions import dimensions
from simlab.pictures.lengths import given_lengths
from simlab.pictures.marks import Label, Stroke
from simlab.pictures.plan import Plan


# Expected: read off the questions by hand.
@pytest.mark.parametrize(
    ("name", "angles", "lengths"),
    [
        ("kite_lantern", {"theta": "K", "alpha": "L"}, {("a", 1)}),
        ("stall_trestle", {"theta": "C"}, {("a", 5)}),
        ("ring_lantern", {"beta": "A", "gamma": "B"}, {("a", 1), ("a", Fraction(3, 4))}),
        ("five_cane_lantern", {}, {("a", 1)}),
        ("banner_bracket", {}, set()),
    ],
)
def test_letters_are_found_where_the_question_puts_them(name, angles, lengths):
    """Each angle is seen at the point where the question measures it; each length has its multiple."""
    frame = read_scene(SCENES / f"{name}.toml")
    plan = Plan.of(frame)
    found = [angle for angle in given_angles(plan) if angle.symbol]

    assert {a.symbol for a in found} == set(angles)
    for angle in found:
        x, y = (q.number(frame.shown) for q in frame.points[angles[angle.symbol]])
        assert angle.point == pytest.approx((x, y))
        assert np.hypot(*angle.direction) == pytest.approx(1.0)
    assert {(g.symbol, g.multiple) for g in given_lengths(plan)} == lengths


def test_an_angle_is_the_angle_that_is_drawn():
    """The arc runs from the vertical to the rod through whatever value the letter is given."""
    frame = read_scene(SCENES / "kite_lantern.toml")
    for degrees in (15, 40, 65):
        values = {**frame.shown, "theta": Quantity.pi() * Quantity.of(Fraction(degrees, 180))}
        (theta,) = (a for a in given_angles(Plan.of(frame, values)) if a.symbol == "theta")
        turn = np.degrees(np.arccos(np.dot(theta.reference, theta.direction)))
        assert turn == pytest.approx(degrees)


def test_equal_values_do_not_confuse_letters():
    """With theta and alpha at the same value each is still found on its own rod."""
    frame = read_scene(SCENES / "kite_lantern.toml")
    found = given_angles(Plan.of(frame, {"theta": frame.shown["alpha"]}))

    assert {(a.symbol, a.rod) for a in found} == {("theta", "KL"), ("alpha", "LB")}


def test_the_arc_lies_between_its_two_directions():
    """A quarter from down to the right: the arc begins below the point and ends to the right of it."""
    marks = list(angle_arc("a", (1.0, 2.0), (0.0, -1.0), (1.0, 0.0), r"$\alpha$", 0.01))
    (arc,) = (m for m in marks if isinstance(m, Stroke) and m.name == "arc of a")
    radius = np.hypot(*(arc.points - (1.0, 2.0)).T)

    assert radius == pytest.approx(radius[0])
    assert arc.points[0] == pytest.approx((1.0, 2.0 - radius[0]))
    assert arc.points[-1] == pytest.approx((1.0 + radius[0], 2.0))


def test_letters_are_typeset():
    """A Greek letter's name becomes the letter; a multiple is on one line."""
    frame = read_scene(SCENES / "ring_lantern.toml")
    texts = {m.text for m in dimensions(Plan.of(frame), 0.002) if isinstance(m, Label)}

    assert texts == {r"$\beta$", r"$\gamma$", r"$45^{\circ}$", "$a$", "$3a/4$"}
