"""Curved supports, shapes near those found, answers of every measure, conditions in words."""

from __future__ import annotations

from fractions import Fraction

import pytest
import sympy as sp
from lettered import Sketch, is_

from simlab.frame.model import Frame, Support
from simlab.frame.quantity import FORCE, LENGTH, NUMBER, Quantity
from simlab.statics.solution import solve
from simlab.statics.virtual_work import by_virtual_work


def rod_in_a_circle(up: int, two_sided: bool = False, centre: str | None = "O") -> Frame:
    """A level rod 8 m long with its ends on a circle of radius 5 m, 3 m below or above the centre."""
    sketch = Sketch({"O": (0, 0), "A": (-4, 3 * up), "B": (4, 3 * up)}, W=("2", FORCE))
    sketch.rod("AB", "AB", "W")
    names = [
        sketch.contact(("AB", end), "ring", (across, -3 * up), two_sided=two_sided)
        for end, across in (("A", 4), ("B", -4))
    ]
    kind = "smooth wire" if two_sided else "smooth cylinder"
    sketch.supports["ring"] = Support("ring", kind, ("A", "B"), tuple(names), None, centre)
    sketch.ask("N", "normal", names[0])
    return sketch.frame()


@pytest.mark.parametrize(
    ("frame", "expected"),
    [
        (rod_in_a_circle(-1), "stable"),
        (rod_in_a_circle(1, two_sided=True), "unstable"),
        (rod_in_a_circle(-1, centre=None), "undecided"),
    ],
)
def test_a_rod_in_a_bowl_swings_like_a_pendulum(frame: Frame, expected: str) -> None:
    """Energy W d (1 - cos) about the centre of the circle: stable below it, unstable above (from memory).

    The ends press with 5 W/6 (two forces of slope 3/4 hold up W).
    """
    solved = solve(frame)

    assert solved.verdict == "determined"
    assert solved.case.freedom.rest == expected
    assert abs(solved.answers["N"].number(solved.values)) == pytest.approx(2 * 5 / 6)


def test_a_rod_standing_on_top_of_a_rough_cylinder_is_not_told() -> None:
    """Whether it rocks back depends on how its contact rolls, which is not looked into."""
    sketch = Sketch({"A": (-1, 0), "B": (1, 0), "C": (0, 0), "O": (0, -1)}, W=("2", FORCE))
    sketch.rod("AB", "ABC", "W")
    sketch.contact(("AB", "C"), "barrel", (0, 1), "1/2")
    solved = solve(sketch.frame())

    assert solved.verdict == "determined"
    assert solved.case.freedom.rest == "undecided"


def test_near_a_shape_that_was_found_what_is_left_over_is_nothing() -> None:
    """rod-on-peg-and-smooth-wall: cos^3 = c/a (Todhunter, Loney); here 1/2, the angle given to 30 figures.

    The peg presses with W/cos (resolve upwards).
    """
    angle = sp.acos(sp.Rational(1, 2) ** sp.Rational(1, 3)).evalf(32)
    sketch = Sketch(
        {
            "A": (0, "-c*tan(t)"),
            "C": ("c", 0),
            "B": ("2*a*cos(t)", "2*a*sin(t) - c*tan(t)"),
        },
        W=("2", FORCE),
        a=("2", LENGTH),
        c=("1", LENGTH),
        t=("1/2", NUMBER),
    )
    sketch.rod("AB", "ABC", "W")
    sketch.contact(("AB", "A"), "wall", (1, 0))
    peg = sketch.contact(("AB", "C"), "peg", ("-sin(t)", "cos(t)"))
    sketch.ask("peg", "normal", peg)
    values = {"t": Quantity.of(Fraction(str(angle)))}
    found = solve(sketch.frame(), values, near=True)

    assert found.verdict == "determined"
    assert is_(found.answers["peg"], "W/cos(t)", found)


def test_every_measure_of_a_force_has_an_answer() -> None:
    """A bracket built in at A, of weight W, with a pull P across at its end: handbook reactions."""
    sketch = Sketch({"A": (0, 0), "B": ("a", "a")}, W=("2", FORCE), P=("3", FORCE), a=("1", LENGTH))
    sketch.rod("AB", "AB", "W")
    sketch.pin("A", "ground", "AB")
    sketch.joints["A"] = sketch.joints["A"].__class__("A", "built-in", "A", ("ground", "AB"))
    sketch.load("pull", "force", ("AB", "B"), "P", 0)
    for measure in ("across", "upwards", "moment", "reaction"):
        sketch.ask(measure, measure, "A")
    sketch.ask("value", "value", "", value="2*a*sin(pi/6)")
    solved = solve(sketch.frame())
    expected = {
        "across": "-P",
        "upwards": "W",
        "moment": "P*a + W*a/2",
        "reaction": "sqrt(P**2 + W**2)",
        "value": "a",
    }

    for words, answer in expected.items():
        assert is_(solved.answers[words], answer, solved), words


@pytest.mark.parametrize("value", ["1", "3"])
def test_a_level_member_is_told_by_how_its_ends_lie(value: str) -> None:
    """A tie from T, b from the corner, to U, 2 m from it: which of the two is to the left depends on b."""
    sketch = Sketch(
        {"A": (0, 0), "T": ("b", 0), "U": (2, 0), "P": ("(b + 2)/2", -1)}, W=("2", FORCE), b=(value, LENGTH)
    )
    for pin in "TU":
        sketch.pin(pin)
    sketch.pin("P")
    sketch.link("tie", "light rod", ("T", "T"), ("U", "U"))
    for pin in "TU":
        sketch.link(f"{pin}P", "light rod", (pin, pin), ("P", "P"))
        sketch.contact((pin, pin), f"post {pin}", (0, 1))
    sketch.contact(("P", "P"), "groove", (1, 0), two_sided=True)
    sketch.load("lantern", "weight", ("P", "P"), "W")
    solved = solve(sketch.frame())
    words = [condition.words for condition in solved.case.holds if condition.about == "tie"]

    assert words == ["T is to the left of U" if value == "1" else "T is to the right of U"]


@pytest.mark.parametrize("part", ["normal", "friction"])
def test_virtual_work_agrees_on_a_rough_contact(part: str) -> None:
    """Two roads that share no equations: a ladder with a lantern on it, held by a cord."""
    sketch = Sketch(
        {"A": ("3*a", 0), "B": (0, "4*a"), "C": ("3*a/2", "2*a"), "O": (0, 0)},
        W=("2", FORCE),
        P=("3", FORCE),
        a=("1", LENGTH),
    )
    sketch.rod("AB", "ABC", "W")
    foot = sketch.contact(("AB", "A"), "quay", (0, 2), "9/10")
    sketch.contact(("AB", "B"), "shed", (3, 0))
    sketch.link("cord", "elastic string", ("AB", "C"), ("ground", "O"), natural="a", stiffness="P/a")
    sketch.load("lantern", "weight", ("AB", "C"), "P")
    sketch.ask(part, part, foot)
    frame = sketch.frame()
    solved = solve(frame)
    other = by_virtual_work(frame, frame.shown, foot, part)  # type: ignore[arg-type]

    assert solved.verdict == "determined"
    assert other.force is not None
    size = abs(other.force.number(solved.values))
    assert solved.answers[part].number(solved.values) == pytest.approx(size, rel=1e-12)


def test_beside_a_shape_that_was_found_nothing_rests() -> None:
    """At an angle to 30 figures a rod upright on its hinge does not rest: said at once."""
    sketch = Sketch(
        {"A": (0, 0), "B": ("2*a*sin(t)", "2*a*cos(t)")}, W=("2", FORCE), a=("2", LENGTH), t=("1/2", NUMBER)
    )
    sketch.rod("AB", "AB", "W")
    sketch.pin("A", "ground", "AB")
    values = {"t": Quantity.of(Fraction(str(sp.pi.evalf(32))))}

    assert solve(sketch.frame(), values).verdict == "cannot rest"
    assert solve(sketch.frame(), values, near=True).verdict == "determined"
