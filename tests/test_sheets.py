"""Plates found in their one outline: sheets, holes, wires; and discs that touch what they touch."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from simlab.frame.scene import read_scene
from simlab.pictures.bodies import body_marks
from simlab.pictures.marks import Stroke
from simlab.pictures.members import ROD
from simlab.pictures.plan import Plan
from simlab.pictures.sheets import parts_of

PICTURED = Path(__file__).parent / "pictured"
A, B, C, D = (0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)
HOLE = [(1.0, 1.0), (2.0, 1.0), (2.0, 2.0), (1.0, 2.0)]


def parts(*points: tuple[float, float]) -> tuple[list, list, list]:
    """The parts of an outline, by their corners."""
    outline = np.array(points)
    return tuple([[points[i] for i in part] for part in kind] for kind in parts_of(outline))


def test_a_sheet_is_its_outline():
    """Four corners in order are one sheet, without holes and wires."""
    assert parts(A, B, C, D) == ([[A, B, C, D]], [], [])


def test_a_wire_goes_there_and_back():
    """A bent rod A-B-C is two straight parts, each once."""
    sheets, holes, wires = parts(A, B, C, B)

    assert (sheets, holes) == ([], [])
    assert {frozenset(wire) for wire in wires} == {frozenset((A, B)), frozenset((B, C))}
    assert len(wires) == 2


def test_a_sheet_inside_a_sheet_is_a_hole():
    """The square goes to the hole and back by a line that is no wire."""
    sheets, holes, wires = parts(A, B, C, D, *HOLE, HOLE[0], D)

    assert [set(sheet) for sheet in sheets] == [{A, B, C, D}]
    assert [set(hole) for hole in holes] == [set(HOLE)]
    assert wires == []


def test_a_wire_on_a_sheet_is_both():
    """A sheet with a wire from its corner C: one sheet, one straight part."""
    end = (6.0, 5.0)
    sheets, holes, wires = parts(A, B, C, end, C, D)

    assert [set(sheet) for sheet in sheets] == [{A, B, C, D}]
    assert holes == []
    assert [set(wire) for wire in wires] == [{C, end}]


def test_a_bent_rod_is_drawn_as_thick_as_a_straight_one():
    """The sign bracket has two straight parts of a rod's thickness, and straw over their joint."""
    plan = Plan.of(read_scene(PICTURED / "sign_bracket.toml"))
    marks = list(body_marks(plan, plan.frame.bodies["bar"], 0.002))

    assert [m.role for m in marks] == ["rod", "rod", "rod core", "rod core"]
    assert {m.width for m in marks[:2] if isinstance(m, Stroke)} == {ROD * 0.002}


def test_a_disc_touches_a_rod_and_a_floor_as_they_are_drawn():
    """A cask between a plank and the ground: its drawn circle just meets the plank's side and the floor."""
    from test_supports import gap

    from simlab.frame.scene import parse_scene

    plan = Plan.of(parse_scene(CASK))
    (cask,) = (m for m in body_marks(plan, plan.frame.bodies["cask"], 0.004) if m.name == "cask")
    assert isinstance(cask, Stroke)
    middle = cask.points.mean(axis=0)
    radius = np.hypot(*(cask.points - middle).T)

    assert radius == pytest.approx(radius[0])
    plank = gap(middle, plan.points["A"], plan.points["B"])
    assert plank - radius[0] == pytest.approx(ROD / 2 * 0.004)
    assert middle[1] - radius[0] == pytest.approx(0, abs=1e-9)


CASK = """
title = "A plank on a cask"
question = "A plank AB rests on a cask."
source = "our own"
[symbols]
W = { meaning = "weight", shown = "30 N" }
[points]
A = ["0", "0"]
B = ["1.5 m", "2 m"]
T = { from = "A", towards = "B", length = "1 m" }
O = ["1 m", "0.5 m"]
G = ["1 m", "0"]
[rods]
AB = { ends = ["A", "B"], weight = "W", through = ["T"] }
[discs]
cask = { centre = "O", radius = "0.5 m", weight = "W", through = ["T", "G"] }
[contacts]
touch = { of = "AB", on = "cask", at = "T", friction = "0.5" }
[supports]
hinge = { kind = "fixed hinge", at = "A" }
quay = { kind = "rough floor", at = "G on cask" }
"""
