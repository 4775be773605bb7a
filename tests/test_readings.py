"""Readings of every kind of member and contact, against closed formulas and a dense solve."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import acos, atan, cos, pi, sin, sqrt, tan

import numpy as np
import pytest
from dense import Dense
from lettered import Sketch

from simlab.comparison import compare
from simlab.frame.model import Frame
from simlab.frame.quantity import FORCE, FORCE_PER_LENGTH, MOMENT
from simlab.results import Key, Reading
from simlab.simulation.settle import settle
from simlab.statics.solution import solve

CLOSE = 1e-11  # of forces of some newtons
W = 10.0


def exactly(number: float) -> str:
    """A double as a fraction."""
    return str(Fraction(number))


def at(x: float, y: float) -> tuple[str, str]:
    """A point at these doubles."""
    return exactly(x), exactly(y)


def force(reading: Reading, on: str, connection: str, by: str) -> tuple[float, float]:
    """A reaction that was read."""
    assert reading.verdict == "settled", reading.advice
    assert reading.forces is not None
    return reading.forces.reactions[Key(on, connection, by)].force


def near(*parts: float) -> object:
    """These numbers, to rounding."""
    return pytest.approx(parts, abs=CLOSE)


def near_each(**expected: float) -> object:
    """Tensions, to rounding."""
    return pytest.approx(expected, abs=CLOSE)


# contacts


def ladder(angle: float, **foot: object) -> Sketch:
    """A uniform ladder of 2 m and weight W, its foot on the quay, its top on a smooth wall."""
    sketch = Sketch({"A": (0, 0), "B": at(-2 * cos(angle), 2 * sin(angle))})
    sketch.rod("AB", "AB", 10)
    sketch.contact(("AB", "A"), "quay", (0, 2), **foot)
    sketch.contact(("AB", "B"), "wall", (3, 0))
    return sketch


def test_friction_that_is_needed_is_read_along_the_tangent() -> None:
    """A ladder against a smooth wall: N = W, F = W cot(angle)/2 towards the wall (moments, by hand)."""
    reading = settle(ladder(1.1, rough=True).frame())

    assert force(reading, "AB", "quay at A", "quay") == near(-W / tan(1.1) / 2, W)
    assert force(reading, "AB", "wall at B", "wall") == near(W / tan(1.1) / 2, 0)


@pytest.mark.parametrize("slips", [None, (1, 0)])
def test_a_ladder_about_to_slip_rests_at_its_limit_and_nowhere_else(slips: tuple[int, int] | None) -> None:
    """tan(angle) = 1/(2 mu) (by hand): there F = mu N; a tenth of a degree away it cannot rest."""
    foot = {"friction": "1/4", "about_to": "slip", "slips": slips}
    limit = atan(2)
    reading = settle(ladder(limit, **foot).frame())

    assert force(reading, "AB", "quay at A", "quay") == near(-W / 4, W)
    assert "no equilibrium in this shape" == settle(ladder(limit + pi / 1800, **foot).frame()).verdict


def test_a_ladder_about_to_slip_at_both_ends_rests_at_the_textbook_angle() -> None:
    """Equal mu at both ends: tan(angle) = (1 - mu^2)/(2 mu), N = W/(1 + mu^2) (Loney, from memory)."""
    mu = 0.5
    sketch = ladder(atan((1 - mu * mu) / (2 * mu)), friction="1/2", about_to="slip")
    sketch.contact(("AB", "B"), "wall", (3, 0), "1/2", about_to="slip")
    reading = settle(sketch.frame())
    push = W / (1 + mu * mu)

    assert force(reading, "AB", "quay at A", "quay") == near(-mu * push, push)
    assert force(reading, "AB", "wall at B", "wall") == near(mu * push, mu * mu * push)


def test_a_contact_about_to_lift_carries_nothing() -> None:
    """A plank whose centre is right above the inner of two trestles: all of W there (law of the lever)."""
    sketch = Sketch({"A": (0, 0), "C": (2, 0), "B": (4, 0)})
    sketch.rod("AB", "ABC", 10)
    sketch.contact(("AB", "A"), "quay", (0, 1), rough=True, about_to="lift")
    sketch.contact(("AB", "C"), "trestle", (0, 1), rough=True)
    reading = settle(sketch.frame())

    assert force(reading, "AB", "quay at A", "quay") == (0.0, 0.0)
    assert force(reading, "AB", "trestle at C", "trestle") == near(0, W)


def test_two_discs_in_a_box_press_as_the_triangle_of_forces_says() -> None:
    """The upper leans on the lower and a wall: W/sin(u) between them, walls W cot(u), floor 2 W."""
    u = 1.0  # of the line of centres to the level
    x, y = 2 * cos(u), 1 + 2 * sin(u)
    centres = {"O": (0, 1), "C": at(x, y)}
    touch = {"F": (0, 0), "L": (-1, 1), "T": at(cos(u), 1 + sin(u)), "R": at(x + 1, y)}
    sketch = Sketch({**centres, **touch})
    sketch.disc("low", "OFLT", 1, 10)
    sketch.disc("high", "CTR", 1, 10)
    sketch.contact(("low", "F"), "floor", (0, 1))
    sketch.contact(("low", "L"), "left wall", (1, 0))
    sketch.contact(("high", "R"), "right wall", (-1, 0))
    sketch.contact(("high", "T"), "low", at(cos(u), sin(u)))
    reading = settle(sketch.frame())

    assert force(reading, "high", "low at T", "low") == near(W / tan(u), W)
    assert force(reading, "high", "right wall at R", "right wall") == near(-W / tan(u), 0)
    assert force(reading, "low", "left wall at L", "left wall") == near(W / tan(u), 0)
    assert force(reading, "low", "floor at F", "floor") == near(0, 2 * W)
    assert len(reading.holds) == 2  # either may spin: it is held, by nothing
    assert max(abs(hold) for hold in reading.holds.values()) < CLOSE


def test_a_crate_is_dragged_by_the_crate_under_it() -> None:
    """The lower of two is pulled with P, the upper tied to a wall: friction mu W between them is the tie's
    tension, P - mu W is left for the quay; moments about C give the push at D (all by hand)."""
    points = {"A": (0, 1), "B": (2, 1), "C": (0, 0), "D": (2, 0), "H": (-1, 1), "T": (1, 1)}
    sketch = Sketch(points)
    sketch.rod("high", "ABT", 10)
    sketch.rod("low", "CD", 10)
    sketch.contact(("high", "T"), "low", (0, 1), "1/2", about_to="slip", slips=(-1, 0))
    sketch.contact(("low", "C"), "quay", (0, 1), rough=True)
    sketch.contact(("low", "D"), "stone", (0, 1))
    sketch.link("tie", "string", ("ground", "H"), ("high", "A"))
    sketch.load("pull", "force", ("low", "D"), 8, 0)
    reading = settle(sketch.frame())

    assert force(reading, "high", "low at T", "low") == near(W / 2, W)
    assert reading.forces.tensions == near_each(tie=W / 2)
    assert force(reading, "low", "quay at C", "quay") == near(W / 2 - 8, 2 * W - 3 * W / 4)
    assert force(reading, "low", "stone at D", "stone") == near(0, 3 * W / 4)


def test_a_ring_is_held_down_by_its_rail_as_well_as_up() -> None:
    """A see-saw pulls its ring up with P and along with P/2: the rail pulls it down by P (by hand)."""
    sketch = Sketch({"A": (0, 0), "B": (2, 0), "C": (2, -1), "D": (3, -1)})
    sketch.rod("AB", "AB")
    sketch.link("stay", "light rod", ("AB", "B"), ("ground", "C"))
    sketch.link("prop", "light rod", ("AB", "B"), ("ground", "D"))
    sketch.load("kite", "force", ("AB", "A"), 3, 6)
    sketch.contact(("AB", "A"), "rail", (0, 1), "1/2", two_sided=True, about_to="slip", slips=(1, 0))
    reading = settle(sketch.frame())

    assert force(reading, "AB", "rail at A", "rail") == near(-3, -6)
    assert reading.forces.tensions == near_each(stay=0, prop=0)


# loads


def test_a_couple_is_held_by_a_stay() -> None:
    """M = T * arm (definition of a couple): T = M/a + W/2 at the end of a level rod of length a."""
    sketch = Sketch({"A": (0, 0), "B": (2, 0), "H": (2, 2)}, M=("3", MOMENT))
    sketch.rod("AB", "AB", 10)
    sketch.pin("A", "ground", "AB")
    sketch.link("stay", "string", ("AB", "B"), ("ground", "H"))
    sketch.load("wrench", "couple", ("AB", "B"), "-M")
    reading = settle(sketch.frame())

    assert reading.forces.tensions == near_each(stay=3 / 2 + W / 2)
    assert force(reading, "A", "A", "ground") == near(0, W / 2 - 3 / 2)


def test_a_couple_on_a_wheel_is_held_at_its_rim() -> None:
    """T = M/r (moments about the axle), whatever the weight."""
    sketch = Sketch({"O": (0, 0), "R": ("1/2", 0), "H": ("1/2", 2)}, M=("3", MOMENT))
    sketch.disc("wheel", "OR", "1/2", 10)
    sketch.pin("O", "ground", "wheel")
    sketch.link("cord", "string", ("wheel", "R"), ("ground", "H"))
    sketch.load("crank", "couple", ("wheel", "O"), "-M")

    assert settle(sketch.frame()).forces.tensions == near_each(cord=6)


def test_a_spread_load_acts_at_its_middle() -> None:
    """A load w on the outer half of a level hinged rod: T = 3 w/4 at its end (law of the lever)."""
    sketch = Sketch({"A": (0, 0), "B": (4, 0), "C": (3, 0), "H": (4, 1)})
    sketch.rod("AB", "ABC")
    sketch.pin("A", "ground", "AB")
    sketch.link("stay", "string", ("AB", "B"), ("ground", "H"))
    sketch.load("nets", "spread", ("AB", "C"), 0, -8)

    assert settle(sketch.frame()).forces.tensions == near_each(stay=6)


# tensions that are known


def hung(length: str, stiffness: str = "3") -> Frame:
    """A lantern of 6 N on a spring of natural length 1 m."""
    sketch = Sketch({"A": (0, 0), "L": (0, f"-{length}")}, k=(stiffness, FORCE_PER_LENGTH))
    sketch.pin("L")
    sketch.link("spring", "spring", ("ground", "A"), ("L", "L"), natural=1, stiffness="k")
    sketch.load("lantern", "weight", ("L", "L"), 6)
    return sketch.frame()


def test_a_lantern_on_a_spring_hangs_where_hooke_says() -> None:
    """k x = W (Hooke's law): at 3 m, and neither a millimetre above nor below."""
    reading = settle(hung("3"))

    assert force(reading, "L", "spring at L", "spring") == near(0, 6)
    assert settle(hung("2.999")).verdict == "no equilibrium in this shape"
    assert settle(hung("3.001")).verdict == "no equilibrium in this shape"


@pytest.mark.parametrize("stiffness", ["1/1000", "6", "6000", "6000000"])
def test_soft_and_stiff_springs_are_read_alike(stiffness: str) -> None:
    """Stretched by W/k, from next to nothing to a thousand metres: the tension is W."""
    number = Fraction(stiffness)
    reading = settle(hung(str(1 + 6 / number), stiffness))

    assert reading.forces.tensions["spring"] == pytest.approx(6, rel=1e-9)


def test_an_elastic_rope_shares_a_load_with_a_hinge() -> None:
    """A level boom, elastic rope at 45 degrees: T = W/sqrt(2) by moments; the law must give the same."""
    sketch = Sketch({"A": (0, 0), "B": (2, 0), "H": (0, 2)}, k=("10", FORCE_PER_LENGTH))
    sketch.rod("AB", "AB", 10)
    sketch.pin("A", "ground", "AB")
    sketch.link(
        "rope", "elastic string", ("AB", "B"), ("ground", "H"), natural="3*sqrt(2)/2", stiffness="k"
    )
    reading = settle(sketch.frame())

    assert reading.forces.tensions == near_each(rope=10 / sqrt(2))
    assert force(reading, "A", "A", "ground") == near(5, 5)


def test_a_tightened_string_tightens_a_square() -> None:
    """One diagonal tightened to T: the other pulls with T, sides push T/sqrt(2) (resolve at a corner)."""
    corners = {"A": (0, 0), "B": (1, 0), "C": (1, 1), "D": (0, 1)}
    sketch = Sketch(corners, T=("5", FORCE))
    for corner in "BCD":
        sketch.pin(corner)
    sketch.pin("A", "ground")
    sketch.contact(("B", "B"), "quay", (0, 1))
    sides = ("AB", "BC", "CD", "DA")
    for ends in (*sides, "BD"):
        sketch.link(ends, "light rod", (ends[0], ends[0]), (ends[1], ends[1]))
    sketch.link("AC", "string", ("A", "A"), ("C", "C"), tension="T")
    reading = settle(sketch.frame())

    pushes = dict.fromkeys(sides, -5 / sqrt(2))
    assert reading.forces.tensions == near_each(AC=5, BD=5, **pushes)


# strings over pegs


def over_two_pegs(apart: float) -> Frame:
    """A string over two pegs 2 m apart, 5 N at both ends, and 6 N on a ring on it between them."""
    sketch = Sketch({"P": (-1, 0), "Q": (1, 0), "A": (-1, -2), "B": (1, -2), "R": at(0, -1 / tan(apart))})
    for point in "ABR":
        sketch.pin(point)
    sketch.link("string", "string", ("A", "A"), ("ground", "P"), ("R", "R"), ("ground", "Q"), ("B", "B"))
    for point, weight in {"A": 5, "B": 5, "R": 6}.items():
        sketch.load(f"load {point}", "weight", (point, point), weight)
    return sketch.frame()


def test_a_ring_between_two_pegs_hangs_where_the_parallelogram_says() -> None:
    """2 P cos(u) = Q, u from the plumb line: one tension, P, in all four parts (textbook, by hand)."""
    u = acos(6 / 10)
    reading = settle(over_two_pegs(u))

    assert reading.forces.tensions == near_each(string=5)
    assert force(reading, "R", "string at R", "string") == near(0, 6)
    assert force(reading, "A", "string at A", "string") == near(0, 5)
    assert settle(over_two_pegs(u + 0.001)).verdict == "no equilibrium in this shape"


def test_a_string_that_passes_a_peg_straight_does_not_press_it() -> None:
    """A rod hung level by a plumb string through a ring of the jetty: W/2 in it, nothing on the ring."""
    sketch = Sketch({"A": (0, 0), "B": (2, 0), "M": (2, 1), "H": (2, 2), "C": (1, 1), "O": (0, 1)})
    sketch.rod("AB", "AB", 10)
    sketch.rod("jetty", "OMC")
    sketch.pin("A", "ground", "AB")
    sketch.pin("O", "ground", "jetty")
    sketch.link("prop", "light rod", ("jetty", "C"), ("ground", "H"))
    sketch.link("string", "string", ("AB", "B"), ("jetty", "M"), ("ground", "H"))
    reading = settle(sketch.frame())

    assert reading.forces.tensions == near_each(string=5, prop=0)
    assert force(reading, "jetty", "string at M", "string") == near(0, 0)


def test_random_strings_over_two_pulleys_have_the_forces_of_a_dense_solve() -> None:
    """Thirty booms on a hinge each, strung together over a fixed peg and a pulley of one's own (seeded)."""
    rng = np.random.default_rng(11)
    for _ in range(30):
        x, y, u, v, p, q = (exactly(value) for value in rng.uniform(0.3, 1.5, 6))
        sketch = Sketch(
            {
                "A": (0, 0), "B": (x, f"-({y})"), "C": (4, 0), "D": (f"4 - {u}", f"-({v})"),
                "P": (p, 3), "H": (f"2 + {q}", 4), "E": (f"({x})/2", f"-({y})/2"), "K": (3, f"-3 - {q}"),
            }
        )  # fmt: skip
        sketch.rod("left", "ABE", exactly(float(rng.uniform(1, 50))))
        sketch.rod("right", "CD", exactly(float(rng.uniform(1, 50))))
        sketch.pin("A", "ground", "left")
        sketch.pin("C", "ground", "right")
        sketch.link("string", "string", ("left", "E"), ("ground", "P"), ("right", "D"), ("ground", "H"))
        sketch.link("stay", "light rod", ("left", "B"), ("ground", "K"))
        frame = sketch.frame()
        reading, expected = settle(frame), Dense(frame).solved()
        tensions = {name: expected[name, "T"] for name in frame.links}

        assert reading.verdict == "settled", reading.advice
        assert reading.forces.tensions == pytest.approx(tensions, rel=1e-9)
        assert "agree" == compare(solve(frame), reading).agreement


def test_a_string_that_comes_straight_back_is_read() -> None:
    """Two weights of 5 on one string hang in balance: its tension is 5, the peg bears 10 (by hand)."""
    sketch = Sketch({"P": (0, 0), "A": (0, -1), "B": (0, -2)})
    sketch.pin("A")
    sketch.pin("B")
    sketch.link("string", "string", ("A", "A"), ("ground", "P"), ("B", "B"))
    for point in "AB":
        sketch.load(f"load {point}", "weight", (point, point), 5)
    reading = settle(sketch.frame())

    assert reading.verdict == "settled"
    assert reading.forces.tensions["string"] == pytest.approx(5, rel=1e-10)


# what rigid bodies cannot decide


def test_small_strains_that_settle_a_frame_are_not_read() -> None:
    """Three bars on a pin: how they yield decides, which rigid bodies do not; and no agreement is told."""
    sketch = Sketch({"P": (0, 0), "A": (-1, 1), "B": (0, 1), "C": (1, 1)})
    sketch.pin("P")
    for top in "ABC":
        sketch.link(top, "light rod", ("ground", top), ("P", "P"), stiffness=3)
    sketch.load("lantern", "weight", ("P", "P"), 2)
    frame = sketch.frame()
    reading = settle(frame)

    assert reading.verdict == "refused"
    assert reading.forces is None
    assert "strains" in reading.advice
    assert "not comparable" == compare(solve(frame), reading).agreement


def test_a_member_that_yields_in_a_frame_without_members_to_spare_is_read() -> None:
    """Two bars at 45 degrees, whatever their stiffness: W/sqrt(2) each (triangle of forces)."""
    sketch = Sketch({"P": (0, 0), "A": (-1, 1), "C": (1, 1)})
    sketch.pin("P")
    for top, stiffness in {"A": 3, "C": 8}.items():
        sketch.link(top, "light rod", ("ground", top), ("P", "P"), stiffness=stiffness)
    sketch.load("lantern", "weight", ("P", "P"), 2)

    assert settle(sketch.frame()).forces.tensions == near_each(A=sqrt(2), C=sqrt(2))


def test_a_ladder_rough_at_both_ends_is_refused() -> None:
    """One force more than there are balances, as long as it is not about to slip."""
    sketch = ladder(1.2, friction="1/2")
    sketch.contact(("AB", "B"), "wall", (3, 0), "1/2")

    assert settle(sketch.frame()).verdict == "refused"


def test_a_weight_on_a_pin_of_light_members_is_a_particle() -> None:
    """Rounding must not give it an inertia: two bars at 60 degrees that meet at an uneven place."""
    sketch = Sketch({"C": ("3", "-sqrt(3)"), "A": ("2", "0"), "B": ("4", "0")})
    sketch.pin("C")
    for top in "AB":
        sketch.link(top, "string", ("ground", top), ("C", "C"))
    sketch.load("lantern", "weight", ("C", "C"), 45)

    assert settle(sketch.frame()).forces.tensions == near_each(A=45 / sqrt(3), B=45 / sqrt(3))


def test_values_of_an_elastic_member_are_used() -> None:
    """Twice the stiffness with half the stretch: the same tension, at the new values only."""
    frame = hung("3")
    stiffer = {"k": frame.shown["k"] + frame.shown["k"]}

    assert settle(frame, {**frame.shown, **stiffer}).verdict == "no equilibrium in this shape"
    lighter = replace(frame, links={n: replace(ln, natural=None) for n, ln in frame.links.items()})
    assert settle(lighter, {**frame.shown, **stiffer}).forces.tensions == near_each(spring=6)
