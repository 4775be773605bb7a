"""Laws of equilibrium that every exact solution must obey, and an outside solve of random frames."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
import scipy.linalg
from published.balance import Balance
from published.frames import truss
from solved import at_rest

from simlab.exact.field import Field
from simlab.frame.change import put
from simlab.frame.model import Body, Contact, Frame, Load, Place, Vec
from simlab.frame.quantity import FORCE, LENGTH, Quantity
from simlab.frame.scene import read_scene
from simlab.results import Statics
from simlab.statics.shape import find
from simlab.statics.solution import solve

SCENES = sorted((Path(__file__).parent.parent / "scenes").glob("*.toml"))
each_scene = pytest.mark.parametrize("path", SCENES, ids=lambda path: path.stem)

# The dense solve is in doubles; up to 60 unknowns lose four of 16 figures.
DENSE = 1e-10


def equal(left: Quantity, right: Quantity, solved: Statics) -> bool:
    """Equality as elements of one field."""
    values = {name: value.expr for name, value in solved.values.items()}
    field = Field.containing([left.expr, right.expr], values)
    return field.element(left.expr) == field.element(right.expr)


def in_shape(path: Path) -> Frame:
    """A scene's frame, in the first shape in which it can rest."""
    return at_rest(path)


def moved(frame: Frame, map_: Callable[[Vec], Vec], turn: Callable[[Vec], Vec], hand: int = 1) -> Frame:
    """The frame with `map_` applied to points and `turn` to directions; `hand` -1 turns couples."""

    def body(b: Body) -> Body:
        points = {name: map_(p) for name, p in b.points.items()}
        return replace(b, points=points, outline=tuple(map_(p) for p in b.outline), centre=map_(b.centre))

    def contact(c: Contact) -> Contact:
        return replace(c, normal=turn(c.normal), slips=None if c.slips is None else turn(c.slips))

    def load(x: Load) -> Load:
        if x.kind == "weight":
            return replace(x, kind="force", value=turn(x.force))
        if x.kind == "couple":
            return replace(x, value=(x.value[0] * Quantity.of(hand),))
        return replace(x, value=turn(x.force))

    return replace(
        frame,
        points={name: map_(p) for name, p in frame.points.items()},
        bodies={name: body(b) for name, b in frame.bodies.items()},
        contacts={name: contact(c) for name, c in frame.contacts.items()},
        loads={name: load(x) for name, x in frame.loads.items()},
    )


def turned_over(vec: Vec) -> Vec:
    """x -> -x."""
    return -vec[0], vec[1]


def rotated(vec: Vec) -> Vec:
    """Through the angle whose cosine is 3/5."""
    c, s = Quantity.of(Fraction(3, 5)), Quantity.of(Fraction(4, 5))
    return c * vec[0] - s * vec[1], s * vec[0] + c * vec[1]


def set_down_elsewhere(vec: Vec) -> Vec:
    """7 m to the right, 60 cm down."""
    return vec[0] + Quantity.of(7, LENGTH), vec[1] - Quantity.of(Fraction(3, 5), LENGTH)


def with_weights_as_forces(frame: Frame) -> Frame:
    """Every body light, its weight a force at its centre: then gravity has no direction of its own."""
    centres = {f"centre of {name}": body.centre for name, body in frame.bodies.items()}
    bodies = {
        name: replace(
            body,
            weight=Quantity.zero(FORCE),
            points={**body.points, f"centre of {name}": body.centre},
        )
        for name, body in frame.bodies.items()
    }
    weights = {
        f"weight of {name}": Load(
            f"weight of {name}",
            "force",
            Place(name, f"centre of {name}"),
            (Quantity.zero(FORCE), -body.weight),
        )
        for name, body in frame.bodies.items()
    }
    return replace(
        frame, bodies=bodies, points={**frame.points, **centres}, loads={**frame.loads, **weights}
    )


def same_forces(here: Statics, there: Statics, turn: Callable[[Vec], Vec] = lambda vec: vec) -> None:
    """Every reaction of `there` is that of `here`, turned; every tension is the same."""
    assert here.case.forces.reactions
    assert here.verdict == there.verdict
    for key, reaction in here.case.forces.reactions.items():
        wanted = turn(reaction.force)
        for left, right in zip(wanted, there.case.forces.reactions[key].force, strict=True):
            assert equal(left, right, here), key
    for link, tension in here.case.forces.tensions.items():
        assert equal(tension, there.case.forces.tensions[link], here), link


@each_scene
def test_forces_do_not_depend_on_the_origin(path: Path) -> None:
    """The frame set down elsewhere has the same forces."""
    frame = in_shape(path)
    here, there = solve(frame), solve(moved(frame, set_down_elsewhere, lambda n: n))

    same_forces(here, there)
    assert here.case.freedom.rest == there.case.freedom.rest


@each_scene
def test_a_mirrored_frame_has_mirrored_forces(path: Path) -> None:
    """x -> -x turns over the level components and leaves the rest."""
    frame = in_shape(path)

    same_forces(solve(frame), solve(moved(frame, turned_over, turned_over, hand=-1)), turned_over)


@each_scene
def test_forces_turn_with_gravity(path: Path) -> None:
    """Weights as forces, everything turned through one angle: the forces turn with it."""
    frame = with_weights_as_forces(in_shape(path))

    same_forces(solve(frame), solve(moved(frame, rotated, rotated)), rotated)


@each_scene
def test_a_weight_may_be_split(path: Path) -> None:
    """Half of a rod's weight as two quarters hung at its ends: the same forces (two parallel forces)."""
    frame = in_shape(path)
    half, quarter = Quantity.of(Fraction(1, 2)), Quantity.of(Fraction(1, 4))
    uniform = {
        name: [point for point, at in body.points.items() if at in body.outline]
        for name, body in frame.bodies.items()
        if body.kind == "rod" and body.gyration2 is not None
    }
    ends = [(name, end) for name, both in uniform.items() for end in both]
    split = replace(
        frame,
        bodies={
            name: replace(body, weight=body.weight * half) if name in uniform else body
            for name, body in frame.bodies.items()
        },
        loads={
            **frame.loads,
            **{
                f"{end} of {name}": Load(
                    f"{end} of {name}", "weight", Place(name, end), (frame.bodies[name].weight * quarter,)
                )
                for name, end in ends
            },
        },
    )

    same_forces(solve(frame), solve(split))


@each_scene
def test_doubled_loads_double_every_force(path: Path) -> None:
    """Forces are linear in the loads (and in the stiffness of what is elastic)."""
    frame = in_shape(path)
    two = Quantity.of(2)
    heavier = replace(
        frame,
        bodies={n: replace(b, weight=b.weight * two) for n, b in frame.bodies.items()},
        loads={n: replace(x, value=tuple(v * two for v in x.value)) for n, x in frame.loads.items()},
        links={
            n: replace(x, stiffness=None if x.stiffness is None else x.stiffness * two)
            for n, x in frame.links.items()
        },
    )
    here, there = solve(frame), solve(heavier)

    for key, reaction in here.case.forces.reactions.items():
        for left, right in zip(reaction.force, there.case.forces.reactions[key].force, strict=True):
            assert equal(left * two, right, here), key


@each_scene
def test_other_letters_give_the_same_answer_in_them(path: Path) -> None:
    """Every letter renamed: the forces are the same expressions in the new letters."""
    frame = in_shape(path)
    new = {name: f"{name}x" for name in frame.symbols}
    letters = {name: Quantity.symbol(new[name], s.shown.dim) for name, s in frame.symbols.items()}
    symbols = {new[name]: replace(s, name=new[name]) for name, s in frame.symbols.items()}
    here, there = solve(frame), solve(replace(put(frame, letters), symbols=symbols))

    for key, reaction in here.case.forces.reactions.items():
        for left, right in zip(reaction.force, there.case.forces.reactions[key].force, strict=True):
            assert equal(left.at(letters), right, there), key


@each_scene
def test_what_is_found_does_not_depend_on_the_origin_or_the_side(path: Path) -> None:
    """Set down elsewhere, or mirrored, a question has the same shapes and the same ranges."""
    frame = read_scene(path)
    here = find(frame)
    elsewhere = find(moved(frame, set_down_elsewhere, lambda n: n))
    mirrored = find(moved(frame, turned_over, turned_over, hand=-1))

    for there in (elsewhere, mirrored):
        assert [shape.found for shape in here.shapes] == [shape.found for shape in there.shapes]
        assert {name: [(r.low, r.high) for r in found] for name, found in here.ranges.items()} == {
            name: [(r.low, r.high) for r in found] for name, found in there.ranges.items()
        }


@each_scene
def test_symbolic_and_numeric_solutions_are_one(path: Path) -> None:
    """The letters' values put into the answer, or into the frame: the same numbers."""
    frame = in_shape(path)
    here, there = solve(frame), solve(put(frame, frame.shown))

    for key, reaction in here.case.forces.reactions.items():
        for left, right in zip(reaction.force, there.case.forces.reactions[key].force, strict=True):
            assert equal(left.at(frame.shown), right, here), key


@each_scene
def test_solving_twice_prints_the_same(path: Path) -> None:
    """Same frame, same text: forces, conditions, advice."""
    first, second = (solve(read_scene(path)) for _ in range(2))

    assert repr(first.case.forces) == repr(second.case.forces)
    assert repr(first.case.holds) == repr(second.case.holds)
    assert (first.answers, first.advice) == (second.answers, second.advice)


def random_truss(seed: int) -> Frame:
    """Nodes at random whole coordinates, light rods between random pairs, three loads, a hinge or two."""
    chance = np.random.default_rng(seed)
    n = int(chance.integers(3, 8))
    places: set[tuple[int, int]] = set()
    while len(places) < n:
        places.add((int(chance.integers(0, 6)), int(chance.integers(0, 6))))
    nodes = {chr(65 + i): (str(x), str(y)) for i, (x, y) in enumerate(sorted(places))}
    pairs = [a + b for a in nodes for b in nodes if a < b]
    count = min(len(pairs), int(chance.integers(2 * n - 4, 2 * n + 1)))
    members = " ".join(sorted(str(m) for m in chance.choice(pairs, count, replace=False)))
    names = list(nodes)
    held = ({"at": names[0], "kind": "pin"}, {"at": names[-1], "kind": "pin"})[: int(chance.integers(1, 3))]
    loads = {
        str(node): (str(int(chance.integers(-3, 4))), str(int(chance.integers(-3, 4))))
        for node in chance.choice(names, 3, replace=False)
    }
    return truss(f"random {seed}", nodes, members, held, loads, {})


@pytest.mark.parametrize("seed", range(40))
def test_random_trusses_are_as_numpy_and_scipy_see_them(seed: int) -> None:
    """Self-stress, motions left and whether loads are carried: scipy's null spaces of a dense assembly.

    Forces that are unique in spite of a self-stress are those that no null vector touches (seeded).
    """
    frame = random_truss(seed)
    dense = Balance(frame)
    solved = solve(frame)
    freedom = solved.case.freedom

    matrix = np.array(dense.columns).T
    assert len(freedom.self_stress) == scipy.linalg.null_space(matrix).shape[1]
    assert len(freedom.motions) == scipy.linalg.null_space(matrix.T).shape[1]
    assert freedom.carried == dense.carried
    if not freedom.carried:
        assert solved.verdict == "cannot rest"
        return
    touched = {
        unknown
        for (unknown, _), row in zip(dense.unknowns, dense.self_stress, strict=True)
        if np.abs(row).max(initial=0) > DENSE
    }
    assert set(solved.case.forces.tensions) == set(frame.links) - touched
    for link, tension in solved.case.forces.tensions.items():
        assert tension.number() == pytest.approx(dense.forces.tensions[link], abs=DENSE * dense.largest)
    strained = {
        link for state in freedom.self_stress for link, t in state.tensions.items() if not t.is_zero
    }
    assert strained == touched & set(frame.links)
