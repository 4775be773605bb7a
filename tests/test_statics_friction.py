"""Rough contacts: what friction they take, when they slip, what is so at the limit."""

from __future__ import annotations

import pytest
from dense import Dense
from lettered import Sketch, is_

from simlab.frame.model import Frame
from simlab.frame.quantity import FORCE, LENGTH, NUMBER
from simlab.results import Key
from simlab.statics.equations import Equations
from simlab.statics.solution import solve


def ladder(mu: str = "3/10", **at_foot: object) -> Frame:
    """A uniform ladder AB, its foot A on rough ground, its top B at a smooth wall to the left."""
    sketch = Sketch(
        {"A": ("2*a*cos(alpha)", 0), "B": (0, "2*a*sin(alpha)")},
        W=("2", FORCE),
        a=("1", LENGTH),
        alpha=("pi/3", NUMBER),
        mu=(mu, NUMBER),
    )
    sketch.rod("AB", "AB", "W")
    foot = sketch.contact(("AB", "A"), "quay", (0, 1), "mu", **at_foot)
    sketch.contact(("AB", "B"), "shed", (1, 0))
    sketch.ask("coefficient", "coefficient", foot)
    sketch.ask("friction", "friction", foot)
    sketch.ask("normal", "normal", foot)
    return sketch.frame()


def test_a_ladder_takes_half_the_cotangent_as_coefficient() -> None:
    """ladder-smooth-wall-least-mu: |F|/N = 1/(2 tan), F = W/(2 tan), N = W (universal textbook result)."""
    solved = solve(ladder())

    assert solved.verdict == "determined"
    assert is_(solved.answers["coefficient"], "1/(2*tan(alpha))", solved)
    assert is_(solved.answers["friction"], "W/(2*tan(alpha))", solved)
    assert is_(solved.answers["normal"], "W", solved)
    (grip,) = [c for c in solved.case.holds if c.words.startswith("friction")]
    assert grip.words == "friction at A is enough"
    assert is_(grip.positive, "mu*W - W/(2*tan(alpha))", solved)


def test_friction_acts_along_the_normal_turned_clockwise() -> None:
    """The floor pushes the foot up with W and towards the wall with W/(2 tan): one force, one key."""
    solved = solve(ladder())
    x, y = solved.case.forces.reactions[Key("AB", "quay at A", "quay")].force

    assert is_(x, "-W/(2*tan(alpha))", solved)
    assert is_(y, "W", solved)


def test_too_smooth_a_floor_lets_the_ladder_slip() -> None:
    """At 60 degrees it takes 1/(2 sqrt 3) = 0.29 (same source): 1/4 is too little."""
    solved = solve(ladder("1/4"))

    assert solved.verdict == "slips"
    assert (
        solved.advice
        == "It slips at A: to rest it would take a coefficient of friction of at least cot α / 2."
    )
    assert "(here it is not)" in solved.case.holds[-1].words
    assert is_(solved.answers["coefficient"], "1/(2*tan(alpha))", solved)


def test_just_enough_friction_is_enough_and_said() -> None:
    """At exactly mu = 1/(2 tan 60) the ladder rests and is about to slip (same source)."""
    solved = solve(ladder("sqrt(3)/6"))

    assert solved.verdict == "determined"
    assert solved.advice.endswith("At A friction is only just enough: it is about to slip.")


@pytest.mark.parametrize("slips", [("1", "0"), None])
def test_a_limiting_ladder_has_the_forces_of_the_limit(slips: tuple[str, str] | None) -> None:
    """mu N = F at the foot, towards the wall, whether or not the question says that it slips outwards."""
    solved = solve(ladder("sqrt(3)/6", about_to="slip", slips=slips))
    expected = Dense(ladder("sqrt(3)/6")).solved()
    x, y = solved.case.forces.reactions[Key("AB", "quay at A", "quay")].force

    assert solved.verdict == "determined"
    assert solved.advice.startswith("It is about to slip at A, and every force has one value.")
    assert solved.case.freedom.rest == "undecided"
    assert x.number(solved.values) == pytest.approx(expected["quay at A", "F"], rel=1e-12)
    assert y.number(solved.values) == pytest.approx(expected["quay at A", "N"], rel=1e-12)


def test_a_ladder_that_is_said_to_be_about_to_slip_but_is_not() -> None:
    """With mu = 1/2 it is far from slipping at 60 degrees: what the question says cannot be so."""
    solved = solve(ladder("1/2", about_to="slip", slips=("1", "0")))

    assert solved.verdict == "cannot rest"
    assert solved.advice.startswith("The forces cannot be as the question says, that A is about to slip")


def test_about_to_slip_both_ways_are_offered_where_the_question_does_not_say() -> None:
    """+1 is along the tangent; on the given way friction opposes the slipping."""
    unsaid, said = ladder(about_to="slip"), ladder(about_to="slip", slips=("1", "0"))

    assert list(Equations.senses_of(unsaid)) == [{"quay at A": 1}, {"quay at A": -1}]
    assert list(Equations.senses_of(said)) == [{}]
    assert Equations(said, said.shown).senses == {"quay at A": -1}


def test_two_limiting_ends_settle_what_two_rough_ends_do_not() -> None:
    """ladder-two-coefficients: tan theta = (1 - mu1 mu2)/(2 mu1) (Loney, Lamb); else one force too many."""

    def frame(**limit: object) -> Frame:
        sketch = Sketch({"A": ("12", 0), "B": (0, "10")}, W=("2", FORCE))
        sketch.rod("AB", "AB", "W")
        foot, top = ({**limit, "slips": way} if limit else {} for way in ((1, 0), (0, -1)))
        sketch.contact(("AB", "A"), "quay", (0, 1), "1/2", **foot)
        sketch.contact(("AB", "B"), "shed", (1, 0), "1/3", **top)
        return sketch.frame()

    rough, limiting = frame(), frame(about_to="slip")
    solved = solve(limiting)
    expected = Dense(rough).solved(
        ({("quay at A", "F"): 1, ("quay at A", "N"): 1 / 2}, 0),
        ({("shed at B", "F"): 1, ("shed at B", "N"): 1 / 3}, 0),
    )

    assert solve(rough).verdict == "not determined"
    assert solved.verdict == "determined"
    for name, (i, sign) in {"quay at A": (0, 1), "shed at B": (1, -1)}.items():
        force = solved.case.forces.reactions[Key("AB", name, name.split()[0])].force
        assert force[i].number(solved.values) == pytest.approx(sign * expected[name, "F"], rel=1e-12)
        assert force[1 - i].number(solved.values) == pytest.approx(expected[name, "N"], rel=1e-12)


def test_a_plank_on_two_rough_trestles_has_its_normal_reactions_settled() -> None:
    """W/2 at either end (by symmetry); of the frictions only the sum is known."""
    sketch = Sketch({"A": (0, 0), "B": ("a", 0)}, W=("2", FORCE), a=("1", LENGTH))
    sketch.rod("AB", "AB", "W")
    left = sketch.contact(("AB", "A"), "trestle", (0, 1), "1/2")
    sketch.contact(("AB", "B"), "stand", (0, 1), "1/2")
    sketch.ask("normal", "normal", left)
    sketch.ask("friction", "friction", left)
    solved = solve(sketch.frame())

    assert solved.verdict == "not determined"
    assert set(solved.answers) == {"normal"}
    assert is_(solved.answers["normal"], "W/2", solved)
    assert "Settled all the same: normal reaction W/2 at A, normal reaction W/2 at B." in solved.advice


def test_horizontal_and_sloping_rod_between_wall_and_floor() -> None:
    """mu >= 1/2, N_C = 13 m g/2, F_C = 3 m g.

    horizontal-and-sloping-rod-wall-floor, CAIE FP2 June 2012 Q5.
    """
    sketch = Sketch({"A": (0, 0), "B": ("3*a", 0), "C": ("6*a", "-4*a")}, w=("10", FORCE), a=("1", LENGTH))
    sketch.rod("AB", "AB", "3*w")
    sketch.rod("BC", "BC", "5*w")
    sketch.pin("B", "AB", "BC")
    wall = sketch.contact(("AB", "A"), "wall", (1, 0), rough=True)
    floor = sketch.contact(("BC", "C"), "floor", (0, 1), rough=True)
    sketch.ask("at A", "coefficient", wall)
    sketch.ask("at C", "coefficient", floor)
    sketch.ask("N", "normal", floor)
    sketch.ask("F", "friction", floor)
    solved = solve(sketch.frame())

    assert solved.verdict == "determined"
    assert is_(solved.answers["at A"], "1/2", solved)
    assert is_(solved.answers["at C"], "6/13", solved)
    assert is_(solved.answers["N"], "13*w/2", solved)
    assert is_(solved.answers["F"], "3*w", solved)


def test_two_rods_between_rough_walls() -> None:
    """two-rods-between-rough-walls (CAIE FP2 June 2010 Q11): mu >= 7 cot(beta)/3, friction 5W/4 at B."""
    sketch = Sketch(
        {
            "A": (0, 0),
            "B": ("-2*a*sin(beta)", "-2*a*cos(beta)"),
            "C": ("4*a*sin(beta)", "-4*a*cos(beta)"),
        },
        W=("2", FORCE),
        a=("1", LENGTH),
        beta=("11*pi/30", NUMBER),
        mu=("1", NUMBER),
    )
    sketch.rod("AB", "AB", "W")
    sketch.rod("AC", "AC", "2*W")
    sketch.pin("A", "AB", "AC")
    left = sketch.contact(("AB", "B"), "left wall", (1, 0), "mu")
    right = sketch.contact(("AC", "C"), "right wall", (-1, 0), "mu")
    sketch.ask("F", "friction", left)
    sketch.ask("least", "coefficient", right)
    solved = solve(sketch.frame())

    assert is_(solved.answers["F"], "5*W/4", solved)
    assert is_(solved.answers["least"], "7/(3*tan(beta))", solved)
    assert solved.verdict == "slips"
    assert solved.advice.count("It slips at") == 1  # 5/3 cot(66 deg) is below 1, 7/3 cot(66 deg) is not


def test_a_rod_leaning_on_a_ball_pushes_it_back() -> None:
    """rod-leaning-on-sphere: N_A = 10 N, every friction 4 N, mu = 1 needed at B."""
    sketch = Sketch({"A": ("-7/5", 0), "B": ("-3/5", "3/5"), "C": (0, 0), "O": (0, "3/5")})
    sketch.rod("AB", "AB", 14)
    sketch.disc("ball", "OBC", "3/5", 36)
    names = [
        sketch.contact(("AB", "A"), "ground", (0, 2), rough=True),
        sketch.contact(("ball", "C"), "floor", (0, 1), rough=True),
        sketch.contact(("AB", "B"), "ball", (-3, 0), rough=True),
    ]
    for name in names:
        sketch.ask(f"F {name}", "friction", name)
        sketch.ask(f"N {name}", "normal", name)
    sketch.ask("mu", "coefficient", names[2])
    frame = sketch.frame()
    solved, expected = solve(frame), Dense(frame).solved()

    assert solved.verdict == "determined"
    assert [str(solved.answers[f"F {name}"]) for name in names] == ["4", "4", "4"]
    assert str(solved.answers[f"N {names[0]}"]) == "10"
    assert str(solved.answers["mu"]) == "1"
    for name in names:
        assert solved.answers[f"N {name}"].number() == pytest.approx(expected[name, "N"], rel=1e-12)
    assert solved.case.freedom.rest == "fixed"


def test_a_ring_on_a_rail_may_press_either_way() -> None:
    """rod-with-ring-on-rail (STEP): |F|/N = (1 + 2k) cot/(3 + 2k); no condition on the side of the wire."""
    sketch = Sketch(
        {"A": (0, 0), "B": ("2*a*cos(t)", "-2*a*sin(t)"), "C": ("4*a*cos(t)", 0)},
        W=("2", FORCE),
        a=("1", LENGTH),
        k=("1/2", NUMBER),
        t=("pi/4", NUMBER),
    )
    sketch.rod("AB", "AB", "W")
    ring = sketch.contact(("AB", "A"), "rail", (0, 1), rough=True, two_sided=True)
    sketch.link("cord", "string", ("AB", "B"), ("ground", "C"))
    sketch.load("lantern", "weight", ("AB", "B"), "k*W")
    sketch.ask("mu", "coefficient", ring)
    solved = solve(sketch.frame())

    assert solved.verdict == "determined"
    assert is_(solved.answers["mu"], "(1 + 2*k)/(tan(t)*(3 + 2*k))", solved)
    assert [c.about for c in solved.case.holds] == ["cord"]


def test_a_ring_that_the_wire_holds_down_slips_as_one_that_it_holds_up() -> None:
    """A see-saw pulls its ring up against the rail with 1 N and along it with 1/2 N: mu = 1/2, N < 0.

    The normal force on the ring is downwards; friction opposes the slipping to the right all the same.
    """
    sketch = Sketch({"A": (0, 0), "B": (2, 0), "C": (2, -1), "D": (3, -1)}, P=("1", FORCE))
    sketch.rod("AB", "AB")
    sketch.link("stay", "light rod", ("AB", "B"), ("ground", "C"))
    sketch.link("prop", "light rod", ("AB", "B"), ("ground", "D"))
    sketch.load("kite", "force", ("AB", "A"), "P/2", "P")
    ring = sketch.contact(("AB", "A"), "rail", (0, 1), "1/2", two_sided=True, about_to="slip", slips=(1, 0))
    frame = sketch.frame()
    solved = solve(frame)
    x, y = solved.case.forces.reactions[Key("AB", ring, "rail")].force

    assert list(Equations.senses_of(frame)) == [{ring: 1}, {ring: -1}]
    assert solved.verdict == "determined"
    assert is_(y, "-P", solved)
    assert is_(x, "-P/2", solved)


def test_a_contact_about_to_lift_carries_nothing() -> None:
    """A plank with its centre right above the inner trestle: all of W there (law of the lever)."""
    sketch = Sketch({"A": (0, 0), "C": ("2*a", 0), "B": ("4*a", 0)}, W=("2", FORCE), a=("1", LENGTH))
    sketch.rod("AB", "ABC", "W")
    lifting = sketch.contact(("AB", "A"), "quay", (0, 1), rough=True, about_to="lift")
    other = sketch.contact(("AB", "C"), "trestle", (0, 1), rough=True)
    sketch.ask("N", "normal", lifting)
    sketch.ask("other", "normal", other)
    sketch.ask("F", "friction", other)
    solved = solve(sketch.frame())

    assert solved.verdict == "determined"
    assert [str(solved.answers[words]) for words in ("N", "other", "F")] == ["0", "W", "0"]
