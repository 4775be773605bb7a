"""Strings over pegs, elastic members, given tensions, strained members; couples and spread loads."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest
import sympy as sp
from dense import Dense
from lettered import Sketch, is_
from scipy.optimize import LinearConstraint, minimize

from simlab.frame.model import Frame
from simlab.frame.quantity import FORCE, FORCE_PER_LENGTH, LENGTH, NUMBER
from simlab.results import Key
from simlab.statics.solution import solve

# strings over pegs


def test_a_string_over_a_pulley_pulls_alike_on_either_side() -> None:
    """A lantern on a string over a pulley at the end of a boom: tension P, on the pulley two pulls.

    (Common practice: a light string over a smooth pulley has one tension.)
    """
    sketch = Sketch(
        {"O": (0, 0), "B": ("4*a", 0), "H": (0, "3*a"), "L": ("4*a", "-2*a"), "K": (0, "-3*a")},
        P=("3", FORCE),
        W=("2", FORCE),
        a=("1", LENGTH),
    )
    sketch.rod("boom", "OB", "W")
    sketch.pin("O", "ground", "boom")
    sketch.pin("L")
    sketch.link("cord", "string", ("ground", "H"), ("boom", "B"), ("L", "L"))
    sketch.link("stay", "light rod", ("boom", "B"), ("ground", "K"))
    sketch.load("lantern", "weight", ("L", "L"), "P")
    sketch.ask("cord", "tension", "cord")
    frame = sketch.frame()
    solved, expected = solve(frame), Dense(frame).solved()
    x, y = solved.case.forces.reactions[Key("boom", "cord at B", "cord")].force

    assert solved.verdict == "determined"
    assert is_(solved.answers["cord"], "P", solved)
    assert is_(x, "-4*P/5", solved)
    assert is_(y, "3*P/5 - P", solved)
    assert {key.at for key in solved.case.forces.reactions if key.by == "cord"} == {
        "cord at B",
        "cord at L",
    }
    assert solved.case.forces.tensions["stay"].number(solved.values) == pytest.approx(expected["stay", "T"])
    assert solved.case.freedom.rest == "stable"


def test_the_oblique_rod_on_a_string_over_a_pulley_is_unstable() -> None:
    """hinged-rod-string-over-pulley (UPSC): sin(theta/2) = S/(2 W), and it is the unstable position."""
    sketch = Sketch(
        {
            "A": (0, 0),
            "B": ("2*a*sin(theta)", "2*a*cos(theta)"),
            "G": ("a*sin(theta)", "a*cos(theta)"),
            "C": (0, "a"),
            "M": (0, "-a"),
        },
        W=("2", FORCE),
        S=("2", FORCE),
        a=("1", LENGTH),
        theta=("pi/3", NUMBER),
    )
    sketch.rod("AB", "ABG", "W")
    sketch.pin("A", "ground", "AB")
    sketch.pin("M")
    sketch.link("cord", "string", ("AB", "G"), ("ground", "C"), ("M", "M"))
    sketch.load("weight", "weight", ("M", "M"), "S")
    solved = solve(sketch.frame())
    other = solve(sketch.frame(), {"theta": solved.values["theta"] * solved.values["theta"]})

    assert solved.verdict == "determined"
    assert solved.only_here
    assert solved.case.freedom.rest == "unstable"
    assert other.verdict == "cannot rest"


# given tensions


def test_a_tightened_string_settles_a_frame_with_one_member_too_many() -> None:
    """Square of light rods, one diagonal tightened to T: the other pulls with T, sides push T/sqrt 2.

    (Common practice: resolve at a corner.)
    """
    corners = {"A": (0, 0), "B": ("a", 0), "C": ("a", "a"), "D": (0, "a")}

    def square(**tight: str) -> Frame:
        sketch = Sketch(corners, T=("5", FORCE), a=("1", LENGTH))
        for corner in "BC":
            sketch.pin(corner)
        sketch.pin("A", "ground")
        sketch.pin("D")
        sketch.contact(("B", "B"), "quay", (0, 1))
        for ends in ("AB", "BC", "CD", "DA", "BD"):
            sketch.link(ends, "light rod", (ends[0], ends[0]), (ends[1], ends[1]))
        sketch.link("AC", "string", ("A", "A"), ("C", "C"), **tight)
        return sketch.frame()

    solved = solve(square(tension="T"))

    assert solve(square()).verdict == "not determined"
    assert solved.verdict == "determined"
    assert is_(solved.case.forces.tensions["AC"], "T", solved)
    assert is_(solved.case.forces.tensions["BD"], "T", solved)
    for side in ("AB", "BC", "CD", "DA"):
        assert is_(solved.case.forces.tensions[side], "-T/sqrt(2)", solved)


# elastic members


def second_derivative(energy: str, angle: str, at: Mapping[str, object]) -> float:
    """V''(angle) of an energy written with letters, by sympy; V' must vanish there."""
    letters = {name: sp.Symbol(name) for name in [*at, angle]}
    v, u = sp.sympify(energy, letters), letters[angle]
    put = {letters[name]: value for name, value in at.items()}
    assert abs(sp.N(v.diff(u).subs(put))) < 1e-12
    return float(v.diff(u, 2).subs(put))


def test_a_rod_held_up_by_an_elastic_string() -> None:
    """hinged-rod-elastic-to-hook-above (Cambridge 1961): BD = 4 a lam l/(4 a lam - W l); 4/3 for ones.

    Whether it is stable: the second derivative of W a cos(u) + lam (4 a sin(u/2) - l)^2/(2 l).
    """
    u = 2 * sp.asin(sp.Rational(1, 3))
    sketch = Sketch(
        {"A": (0, 0), "B": ("2*a*sin(u)", "2*a*cos(u)"), "D": (0, "2*a")},
        W=("1", FORCE),
        lam=("1", FORCE),
        a=("1", LENGTH),
        l=("1", LENGTH),
        u=(str(u), NUMBER),
    )
    sketch.rod("AB", "AB", "W")
    sketch.pin("A", "ground", "AB")
    sketch.link("cord", "elastic string", ("AB", "B"), ("ground", "D"), natural="l", stiffness="lam/l")
    sketch.ask("T", "tension", "cord")
    solved = solve(sketch.frame())
    energy = "W*a*cos(u) + lam*(4*a*sin(u/2) - l)**2/(2*l)"
    curved = second_derivative(energy, "u", {"W": 1, "lam": 1, "a": 1, "l": 1, "u": u})

    assert solved.verdict == "determined"
    assert solved.only_here
    assert is_(solved.answers["T"], "1/3", solved)
    assert solved.case.freedom.rest == ("stable" if curved > 0 else "unstable")
    assert len(solved.case.freedom.motions) == 1


def test_an_upright_rod_with_a_level_elastic_string_to_a_ring() -> None:
    """upright-rod-horizontal-elastic-ring (OCR M4 June 2004): cos(theta) = 1/4, energy mga(2 sin^2 + cos).

    Its second derivative there, 4 cos(2 theta) - cos(theta) = -15/4, says unstable.
    """
    theta = sp.acos(sp.Rational(1, 4))
    sketch = Sketch(
        {
            "A": (0, 0),
            "B": ("2*a*sin(t)", "2*a*cos(t)"),
            "H": (0, "2*a*cos(t)"),
        },
        W=("3", FORCE),
        a=("2", LENGTH),
        t=(str(theta), NUMBER),
    )
    sketch.rod("AB", "AB", "W")
    sketch.pin("A", "ground", "AB")
    sketch.pin("H")
    sketch.contact(("H", "H"), "wire", (1, 0), two_sided=True)
    sketch.link("cord", "elastic string", ("AB", "B"), ("H", "H"), natural=0, stiffness="W/a")
    solved = solve(sketch.frame())
    curved = second_derivative("2*sin(t)**2 + cos(t)", "t", {"t": theta})

    assert curved == pytest.approx(-15 / 4)
    assert solved.verdict == "determined"
    assert len(solved.case.freedom.motions) == 2
    assert solved.case.freedom.rest == "unstable"


def test_a_rhombus_on_two_elastic_diagonals_is_stable() -> None:
    """rhombus-two-elastic-diagonals (Chirgwin and Plumpton): AC = 4a/sqrt 5; stable by its energy.

    V = -4 W a cos(u) + W/l ((2 a cos u - l)^2 + (2 a sin u - l)^2), AC = 2 a cos(u).
    """
    u = sp.acos(2 / sp.sqrt(5))
    sketch = Sketch(
        {
            "A": (0, 0),
            "B": ("a*sin(u)", "-a*cos(u)"),
            "C": (0, "-2*a*cos(u)"),
            "D": ("-a*sin(u)", "-a*cos(u)"),
        },
        W=("2", FORCE),
        a=("1", LENGTH),
        l=("1/2", LENGTH),
        u=(str(u), NUMBER),
    )
    for ends in ("AB", "BC", "CD", "DA"):
        sketch.rod(ends, ends, "W")
    sketch.pin("A", "ground", "AB", "DA")
    for pin, rods in {"B": ("AB", "BC"), "C": ("BC", "CD"), "D": ("CD", "DA")}.items():
        sketch.pin(pin, *rods)
    for ends in ("AC", "BD"):
        places = ((ends[0], ends[0]), (ends[1], ends[1]))
        sketch.link(ends, "elastic string", *places, natural="l", stiffness="2*W/l")
    solved = solve(sketch.frame())
    energy = "-4*W*a*cos(u) + W/l*((2*a*cos(u) - l)**2 + (2*a*sin(u) - l)**2)"
    curved = second_derivative(energy, "u", {"W": 2, "a": 1, "l": sp.Rational(1, 2), "u": u})

    assert curved > 0
    assert solved.verdict == "determined"
    assert is_(solved.case.forces.tensions["AC"], "2*W*(4/sqrt(5)*a - l)/l", solved, solved.values)
    assert solved.case.freedom.rest == "stable"


def test_an_elastic_string_over_less_than_its_natural_length_is_slack() -> None:
    """Natural length 3 m over 2 m: a thrust of k * 1 m bears the kite on a spring, which no string has."""

    def frame(kind: str) -> Frame:
        sketch = Sketch({"A": (0, 0), "L": (0, -2)}, k=("1", FORCE_PER_LENGTH))
        sketch.pin("L")
        sketch.link("cord", kind, ("ground", "A"), ("L", "L"), natural=3, stiffness="k")
        sketch.load("kite", "force", ("L", "L"), 0, "k")
        return sketch.frame()

    slack, spring = solve(frame("elastic string")), solve(frame("spring"))

    assert slack.verdict == "cannot rest"
    assert "The cord hangs slack" in slack.advice
    assert spring.verdict == "determined"
    assert is_(spring.case.forces.tensions["cord"], "-k", spring)
    assert spring.case.freedom.rest == "unstable"  # a push from below topples sideways


def test_a_lantern_on_a_spring_hangs_at_rest() -> None:
    """k x = W (Hooke's law), here with W = 6 N, k = 3 N/m, natural length 1 m: at 3 m, and stable."""
    sketch = Sketch(
        {"A": (0, 0), "L": (0, "-l - W/k")}, W=("6", FORCE), k=("3", FORCE_PER_LENGTH), l=("1", LENGTH)
    )
    sketch.pin("L")
    sketch.link("spring", "spring", ("ground", "A"), ("L", "L"), natural="l", stiffness="k")
    sketch.load("lantern", "weight", ("L", "L"), "W")
    solved = solve(sketch.frame())

    assert solved.verdict == "determined"
    assert not solved.only_here
    assert is_(solved.case.forces.tensions["spring"], "W", solved)
    assert solved.case.freedom.rest == "stable"
    assert len(solved.case.freedom.motions) == 2


# strained members


def test_three_equal_bars_share_a_load_as_the_handbook_says() -> None:
    """Middle W/(1 + 2 cos^3), outer W cos^2/(1 + 2 cos^3), sections alike (Timoshenko, from memory)."""
    sketch = Sketch(
        {"P": (0, 0), "A": ("-h*tan(u)", "h"), "B": (0, "h"), "C": ("h*tan(u)", "h")},
        W=("2", FORCE),
        E=("5", FORCE),
        h=("1", LENGTH),
        u=("pi/5", NUMBER),
    )
    sketch.pin("P")
    for top in "ABC":
        length = "h" if top == "B" else "h/cos(u)"
        sketch.link(top, "light rod", ("ground", top), ("P", "P"), stiffness=f"E/({length})")
    sketch.load("lantern", "weight", ("P", "P"), "W")
    solved = solve(sketch.frame())

    assert solved.verdict == "determined"
    assert is_(solved.case.forces.tensions["B"], "W/(1 + 2*cos(u)**3)", solved)
    assert is_(solved.case.forces.tensions["A"], "W*cos(u)**2/(1 + 2*cos(u)**3)", solved)
    assert solved.case.freedom.self_stress == ()


def least_strain_energy(frame: Frame) -> dict[str, float]:
    """Tensions of least sum T^2/(2 k) among those that balance: Castigliano, by scipy."""
    dense = Dense(frame)
    acting = np.abs(dense.matrix).sum(axis=1) > 0  # a pin has no moments
    matrix, known = dense.matrix[acting], dense.known[acting]
    stiff = {
        n: 1 / k.stiffness.number(frame.shown) for n, k in frame.links.items() if k.stiffness is not None
    }
    gives = np.array([stiff.get(of, 0.0) if part == "T" else 0.0 for of, part in dense.unknowns])
    result = minimize(
        lambda x: float(gives @ x**2) / 2,
        np.zeros(len(gives)),
        jac=lambda x: gives * x,
        hess=lambda _: np.diag(gives),
        constraints=LinearConstraint(matrix, -known, -known),
        method="trust-constr",
        options={"gtol": 1e-12, "xtol": 1e-14, "maxiter": 500},
    )
    return {of: x for (of, part), x in zip(dense.unknowns, result.x, strict=True) if part == "T"}


@pytest.mark.parametrize("stretch", ["1", "3"])
def test_a_plank_on_four_ropes_takes_the_forces_of_least_strain_energy(stretch: str) -> None:
    """A hinged plank on three ropes of different stiffness and one over two pegs: two forces too many."""
    sketch = Sketch(
        {
            "O": (0, 0), "B": (4, 0), "C": (1, 0), "D": (2, 0), "E": (3, 0),
            "P": (0, 3), "Q": (3, 2), "R": (5, 4), "S": (4, 3), "T": (2, 4),
        },
        W=("7", FORCE),
        k=(stretch, FORCE_PER_LENGTH),
    )  # fmt: skip
    sketch.rod("OB", "OBCDE", "W")
    sketch.pin("O", "ground", "OB")
    sketch.link("one", "string", ("OB", "C"), ("ground", "P"), stiffness="k")
    sketch.link("two", "light rod", ("OB", "D"), ("ground", "Q"), stiffness="2*k + 1")
    sketch.link("three", "string", ("OB", "B"), ("ground", "S"), ("ground", "T"), stiffness="2")
    sketch.load("lantern", "weight", ("OB", "E"), 5)
    frame = sketch.frame()
    solved, expected = solve(frame), least_strain_energy(frame)

    assert solved.verdict == "determined"
    for name, tension in expected.items():
        assert solved.case.forces.tensions[name].number(solved.values) == pytest.approx(tension, rel=1e-6)


@pytest.mark.parametrize("strained", ["", "B"])
def test_rods_that_do_not_yield_leave_nothing_to_one_that_does(strained: str) -> None:
    """Two rigid rods hold the pin where it is, so a strained third takes nothing; three are not settled."""
    sketch = Sketch({"P": (0, 0), "A": (-1, 1), "B": (0, 1), "C": (1, 1)}, W=("2", FORCE))
    sketch.pin("P")
    for top in "ABC":
        more = {"stiffness": 3} if top == strained else {}
        sketch.link(top, "light rod", ("ground", top), ("P", "P"), **more)
    sketch.load("lantern", "weight", ("P", "P"), "W")
    solved = solve(sketch.frame())

    assert solved.verdict == ("determined" if strained else "not determined")
    if strained:
        assert is_(solved.case.forces.tensions["B"], 0, solved)
        assert is_(solved.case.forces.tensions["A"], "W/sqrt(2)", solved)


# loads


def test_a_couple_on_a_hinged_rod_is_held_by_a_stay() -> None:
    """M = T * arm (definition of a couple): T = M/a + W/2 at the end of a level rod of length a."""
    sketch = Sketch(
        {"A": (0, 0), "B": ("a", 0), "H": ("a", "a")}, W=("2", FORCE), M=("3", (1, 1, 0)), a=("2", LENGTH)
    )
    sketch.rod("AB", "AB", "W")
    sketch.pin("A", "ground", "AB")
    sketch.link("stay", "string", ("AB", "B"), ("ground", "H"))
    sketch.load("wrench", "couple", ("AB", "B"), "-M")
    frame = sketch.frame()
    solved = solve(frame)

    assert solved.verdict == "determined"
    assert is_(solved.case.forces.tensions["stay"], "M/a + W/2", solved)
    assert solved.case.forces.tensions["stay"].number(solved.values) == pytest.approx(
        Dense(frame).solved()["stay", "T"]
    )


def test_a_spread_load_acts_at_its_middle() -> None:
    """A load w on the outer half of a level hinged rod: T = 3 w/4 at its end (law of the lever)."""
    sketch = Sketch(
        {"A": (0, 0), "B": ("4*a", 0), "C": ("3*a", 0), "D": ("2*a", 0), "H": ("4*a", "a")},
        a=("1", LENGTH),
        w=("8", FORCE),
    )
    sketch.rod("AB", "ABCD")
    sketch.pin("A", "ground", "AB")
    sketch.link("stay", "string", ("AB", "B"), ("ground", "H"))
    sketch.load("nets", "spread", ("AB", "C"), 0, "-w")
    solved = solve(sketch.frame())

    assert is_(solved.case.forces.tensions["stay"], "3*w/4", solved)
