"""Arrows that grow from nothing, and die, without a jump."""

from __future__ import annotations

import numpy as np
import pytest

from simlab.pictures.arrowheads import HEADS, WHOLE
from simlab.pictures.arrows import LONGEST
from simlab.pictures.camera import Camera, Page
from simlab.pictures.canvas import Canvas
from simlab.pictures.marks import Arrow, Stroke
from simlab.pictures.palette import PENS

# The outline of the broadest head, a wedge 34 wide at its back and 22 long, is 90 units long: moved by a
# unit it cannot sweep more than that.
MOST = 90.0  # [page units of black a unit of length]
STEP = 0.5  # [page units]
ROLES = ("weight", "load", "tension", "support force", "thrust", "given", "component", "spread")
STILL = Camera((0.0, 0.0), (0.0, 0.0), 1.0)


def changes(role: str, lengths: np.ndarray) -> np.ndarray:
    """How much the drawn picture of an arrow on a cane changes from length to length, a unit of length."""
    canvas = Canvas(240, 50, Page(240, 50))
    cane = Stroke(name="c", role="rod", space="page", points=np.array([[10.0, 25], [230, 25]]), width=24.0)
    pictures = []
    for length in lengths:
        arrow = Arrow(
            name="a",
            role=role,
            space="page",
            tail=(20.3, 25.2),
            vector=(float(length), 0.0),
            measure="length",
        )
        pictures.append(canvas.draw([cane, arrow], STILL)[..., :3].astype(int))
    return np.abs(np.diff(pictures, axis=0)).sum(axis=(1, 2, 3)) / (3 * 255) / np.abs(np.diff(lengths))


def test_every_head_is_looked_at():
    """The roles of these tests have every kind of head there is."""
    assert {PENS[role].head for role in ROLES} == set(HEADS)


@pytest.mark.parametrize("role", ROLES)
def test_an_arrow_grows_without_a_jump(role):
    """From nothing to the longest, through zero from the other side: every small step changes little."""
    lengths = np.arange(-WHOLE, LONGEST, STEP)

    assert changes(role, lengths).max() < MOST


def test_the_measure_sees_a_head_that_pops():
    """An arrow that is there all at once, ten units long, after a step of half a unit."""
    assert changes("thrust", np.array([0.0, 10.0])).max() * 10.0 / STEP > MOST


def test_dashes_stay_where_they_are():
    """The first dashes of a tension's shaft are the same whether its head is 100 or 107 units away."""
    canvas = Canvas(240, 50, Page(240, 50))
    pictures = []
    for length in (100.0, 107.0):
        arrow = Arrow(
            name="a",
            role="tension",
            space="page",
            tail=(20.0, 25.0),
            vector=(length, 0.0),
            measure="length",
        )
        pictures.append(canvas.draw([arrow], STILL).copy())

    assert (pictures[0][:, :80] == pictures[1][:, :80]).all()
    assert (pictures[0] != pictures[1]).any()
