"""Light trusses against two general-purpose libraries: sympy's truss module, and scipy on joints.

The forces that sympy.physics.continuum_mechanics.truss finds are exact (tension positive, as ours);
the method of joints is written out here and solved by scipy.linalg. Neither knows anything of simlab.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import numpy as np
import pytest
import scipy.linalg
from published.entries import read_entries
from published.frames import frame_of, truss
from published_statics import are_equal
from sympy.physics.continuum_mechanics.truss import Truss

from simlab.frame.model import GROUND, Frame
from simlab.frame.quantity import FORCE, Quantity
from simlab.results import Forces, Key, Statics
from simlab.simulation.settle import settle
from simlab.statics.solution import solve

_ENTRIES = read_entries()


def _roller(node: str) -> Mapping[str, object]:
    return {"at": node, "kind": "smooth", "normal": ["0", "1"]}


TRUSSES: Mapping[str, Frame] = {
    "warren girder, load askew": truss(
        "warren",
        nodes={
            **{"A": ("0", "0"), "B": ("2*a", "0"), "C": ("4*a", "0"), "D": ("6*a", "0")},
            **{"E": ("a", "a*sqrt(3)"), "F": ("3*a", "a*sqrt(3)"), "G": ("5*a", "a*sqrt(3)")},
        },
        members="AB BC CD AE EB EF BF FC FG CG GD",
        supports=({"at": "A", "kind": "pin"}, _roller("D")),
        loads={"E": ("0", "-P"), "F": ("0", "-2*P"), "G": ("-P*sqrt(3)/2", "-P/2")},
        letters={"a": 1.5, "P": 4.0},
    ),
    "pratt girder, three panels": truss(
        "pratt",
        nodes={
            **{"A": ("0", "0"), "B": ("4", "0"), "C": ("8", "0"), "D": ("12", "0")},
            **{"E": ("4", "3"), "F": ("8", "3")},
        },
        members="AB BC CD AE EF FD BE CF EC",
        supports=({"at": "A", "kind": "pin"}, _roller("D")),
        loads={"B": ("0", "-600"), "C": ("50", "-900")},
        letters={},
    ),
    "king-post roof of any height": truss(
        "king post",
        nodes={
            **{"A": ("-2*a", "0"), "B": ("0", "0"), "C": ("2*a", "0")},
            **{"D": ("-a", "h/2"), "E": ("0", "h"), "F": ("a", "h/2")},
        },
        members="AB BC AD DE EF FC BD BE BF",
        supports=({"at": "A", "kind": "pin"}, _roller("C")),
        loads={"D": ("P", "-W"), "E": ("0", "-2*W"), "F": ("0", "-W")},
        letters={"a": 2.0, "h": 1.75, "W": 10.0, "P": 3.0},
    ),
    "five-bar-truss-mei": frame_of(_ENTRIES["five-bar-truss-mei"]),
    "simple-roof-truss-apex-load": frame_of(_ENTRIES["simple-roof-truss-apex-load"]),
}

# Of the largest force: a joint system of 14 unknowns in doubles loses two or three of its 16 figures.
DENSE = 1e-12
SETTLED = 1e-9  # design.md, section 6

each_truss = pytest.mark.parametrize("name", TRUSSES)


@cache
def statics(name: str) -> Statics:
    """The exact solution of one truss."""
    return solve(TRUSSES[name])


def by_sympy(frame: Frame) -> tuple[Mapping[str, Quantity], Mapping[Key, tuple[Quantity, Quantity]]]:
    """The tension of each rod and the reaction of each support, by sympy's truss module."""
    library = Truss()
    for pin in frame.joints:
        x, y = frame.points[pin]
        library.add_node((pin, x.expr, y.expr))
    for link in frame.links.values():
        library.add_member((link.name, link.ends[0].point, link.ends[1].point))
    zero = Quantity.zero(FORCE)
    pinned = [pin for pin, joint in frame.joints.items() if GROUND in joint.bodies]
    library.apply_support(*((pin, "pinned") for pin in pinned))
    library.apply_support(*((contact.on.point, "roller") for contact in frame.contacts.values()))
    for load in frame.loads.values():
        # sympy takes a positive size and a direction in degrees.
        for component, (positive, negative) in zip(load.force, ((0, 180), (90, 270)), strict=True):
            value = component.number(frame.shown)
            if value > 0:
                library.apply_load((load.place.point, component.expr, positive))
            elif value < 0:
                library.apply_load((load.place.point, -component.expr, negative))
    library.solve()
    tensions = {name: Quantity(force, FORCE) for name, force in library.internal_forces.items()}
    found = {name: Quantity(force, FORCE) for name, force in library.reaction_loads.items()}
    reactions = {Key(pin, pin, GROUND): (found[f"R_{pin}_x"], found[f"R_{pin}_y"]) for pin in pinned}
    for contact in frame.contacts.values():
        key = Key(contact.on.body, contact.name, contact.by)
        reactions[key] = (zero, found[f"R_{contact.on.point}_y"])
    return tensions, reactions


def by_joints(frame: Frame) -> Mapping[str, float]:
    """The tension of each rod [N], by the method of joints: at each pin the forces sum to zero."""
    row = {pin: 2 * i for i, pin in enumerate(frame.joints)}
    point = {pin: np.array([c.number(frame.shown) for c in frame.points[pin]]) for pin in row}
    columns = []
    for link in frame.links.values():
        first, second = (place.point for place in link.ends)
        unit = (point[second] - point[first]) / scipy.linalg.norm(point[second] - point[first])
        column = np.zeros(2 * len(row))
        column[row[first] : row[first] + 2] += unit
        column[row[second] : row[second] + 2] -= unit
        columns.append(column)
    supported = [row[pin] + i for pin, joint in frame.joints.items() if joint.bodies for i in (0, 1)]
    supported += [row[contact.on.point] + 1 for contact in frame.contacts.values()]
    columns += [np.eye(2 * len(row))[i] for i in supported]
    loads = np.zeros(2 * len(row))
    for load in frame.loads.values():
        for i, component in enumerate(load.force):
            loads[row[load.place.point] + i] += component.number(frame.shown)
    found = scipy.linalg.solve(np.array(columns).T, -loads)
    return dict(zip(frame.links, map(float, found), strict=False))


def largest(forces: Forces[float]) -> float:
    """The largest force component [N]."""
    return max(abs(part) for reaction in forces.reactions.values() for part in reaction.force)


@each_truss
def test_exact_forces_are_those_of_sympys_truss_module(name: str) -> None:
    """Every rod's force and every support's reaction is sympy's own, letter by letter."""
    solved = statics(name)
    tensions, reactions = by_sympy(TRUSSES[name])

    assert solved.verdict == "determined"
    assert set(solved.case.forces.tensions) == set(tensions)
    for link, expected in tensions.items():
        found = solved.case.forces.tensions[link]
        assert are_equal(found, expected, TRUSSES[name]), (link, str(found), str(expected))
    for key, expected_force in reactions.items():
        found_force = solved.case.forces.reactions[key].force
        for left, right in zip(found_force, expected_force, strict=True):
            assert are_equal(left, right, TRUSSES[name]), (key, str(left), str(right))


@each_truss
def test_exact_forces_are_those_of_the_method_of_joints(name: str) -> None:
    """Every rod's force has the value that scipy finds from the joints."""
    found = statics(name).case.forces.tensions
    expected = by_joints(TRUSSES[name])
    scale = max(map(abs, expected.values()))

    for link, tension in expected.items():
        value = found[link].number(TRUSSES[name].shown)
        assert value == pytest.approx(tension, rel=0, abs=DENSE * scale), link


@each_truss
def test_settled_forces_are_those_of_sympys_truss_module(name: str) -> None:
    """Every rod's force and every support's reaction settles to sympy's value."""
    frame = TRUSSES[name]
    settled = settle(frame)
    tensions, reactions = by_sympy(frame)

    assert settled.verdict == "settled", settled.advice
    assert settled.forces is not None
    allowed = SETTLED * largest(settled.forces)
    for link, tension in tensions.items():
        expected = tension.number(frame.shown)
        assert settled.forces.tensions[link] == pytest.approx(expected, rel=0, abs=allowed), link
    for key, force in reactions.items():
        expected_force = [part.number(frame.shown) for part in force]
        found = list(settled.forces.reactions[key].force)
        assert found == pytest.approx(expected_force, rel=0, abs=allowed), key
