"""Laws of equilibrium that every exact solution must obey, and an outside solve of random frames."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import scipy.linalg
from published.balance import Balance
from published.frames import truss

from simlab.exact.field import Field
from simlab.frame.model import Body, Contact, Frame, Vec
from simlab.frame.quantity import LENGTH, Quantity
from simlab.frame.scene import read_scene
from simlab.results import Statics
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


def moved(frame: Frame, map_: Callable[[Vec], Vec], turn: Callable[[Vec], Vec]) -> Frame:
    """The frame with `map_` applied to its points and `turn` to its normals."""

    def body(b: Body) -> Body:
        points = {name: map_(p) for name, p in b.points.items()}
        return replace(b, points=points, outline=tuple(map_(p) for p in b.outline), centre=map_(b.centre))

    def contact(c: Contact) -> Contact:
        return replace(c, normal=turn(c.normal))

    return replace(
        frame,
        points={name: map_(p) for name, p in frame.points.items()},
        bodies={name: body(b) for name, b in frame.bodies.items()},
        contacts={name: contact(c) for name, c in frame.contacts.items()},
    )


@each_scene
def test_forces_do_not_depend_on_the_origin(path: Path) -> None:
    """The frame set down elsewhere has the same forces."""
    frame = read_scene(path)
    by = Quantity.of(7, LENGTH), Quantity.of(-3, LENGTH) / Quantity.of(5)
    there = solve(moved(frame, lambda p: (p[0] + by[0], p[1] + by[1]), lambda n: n))
    here = solve(frame)

    for key, reaction in here.case.forces.reactions.items():
        for left, right in zip(reaction.force, there.case.forces.reactions[key].force, strict=True):
            assert equal(left, right, here), key
    assert (here.verdict, here.case.freedom.rest) == (there.verdict, there.case.freedom.rest)


@each_scene
def test_a_mirrored_frame_has_mirrored_forces(path: Path) -> None:
    """x -> -x turns over the level components and leaves the rest (no load of the scenes is oblique)."""
    frame = read_scene(path)
    here = solve(frame)
    there = solve(moved(frame, lambda p: (-p[0], p[1]), lambda n: (-n[0], n[1])))

    for key, reaction in here.case.forces.reactions.items():
        x, y = there.case.forces.reactions[key].force
        assert equal(reaction.force[0], -x, here), key
        assert equal(reaction.force[1], y, here), key
    for link, tension in here.case.forces.tensions.items():
        assert equal(tension, there.case.forces.tensions[link], here), link


@each_scene
def test_doubled_weights_double_every_force(path: Path) -> None:
    """Forces are linear in the loads."""
    frame = read_scene(path)
    two = Quantity.of(2)
    heavier = replace(
        frame,
        bodies={n: replace(b, weight=b.weight * two) for n, b in frame.bodies.items()},
        loads={n: replace(x, value=tuple(v * two for v in x.value)) for n, x in frame.loads.items()},
    )
    here, there = solve(frame), solve(heavier)

    for key, reaction in here.case.forces.reactions.items():
        for left, right in zip(reaction.force, there.case.forces.reactions[key].force, strict=True):
            assert equal(left * two, right, here), key


@each_scene
def test_symbolic_and_numeric_solutions_are_one(path: Path) -> None:
    """The letters' values put into the answer, or into the frame: the same numbers."""
    frame = read_scene(path)
    here = solve(frame)

    def put(p: Vec) -> Vec:
        return p[0].at(frame.shown), p[1].at(frame.shown)

    numbers = moved(frame, put, put)
    numbers = replace(
        numbers,
        bodies={n: replace(b, weight=b.weight.at(frame.shown)) for n, b in numbers.bodies.items()},
        loads={
            n: replace(x, value=tuple(v.at(frame.shown) for v in x.value)) for n, x in numbers.loads.items()
        },
    )
    there = solve(numbers)

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
