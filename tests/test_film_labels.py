"""Labels over whole films: there, in their rooms, on nothing; they hold still, and nothing pops."""

from __future__ import annotations

import numpy as np
import pytest
from film_measure import Findings, Watcher, jumps, measured
from test_storyboard import story

from simlab.film.storyboard import Storyboard
from simlab.pictures.camera import Camera
from simlab.pictures.marks import Arrow, Label, Mark, Stroke
from simlab.pictures.placement import Spot
from simlab.pictures.succession import FASTEST

RATE = 10  # pictures a second: enough to see every change
CUT = (
    "The jump at the cut",
    "The brace is taken away",
    "With and without",
)  # what is taken away is gone at once


@pytest.fixture(scope="module", params=["kite_lantern", "stall_trestle"])
def found(request) -> list[Findings]:
    """What is found in the chapters of a film."""
    board = Storyboard(story(request.param), (960, 540), RATE)
    return list(measured(board.parts, board.page, RATE))


def test_no_label_is_left_out_or_on_anything_or_outside_its_room(found):
    """Every label of every picture stands where it can be read."""
    for findings in found:
        assert not findings.left_out
        assert not findings.overlaps
        assert not findings.outside


def test_labels_hold_still(found):
    """None changes its side back and forth; few change it at all, and none faster than an eye follows."""
    assert sum(findings.seats.total() for findings in found) <= 2
    assert not any(findings.flicker for findings in found)
    assert max(findings.jump for findings in found) <= FASTEST / RATE + 30


def test_nothing_pops(found):
    """Before the brace is taken away everything that comes does so little by little."""
    assert not any(findings.pops for findings in found if findings.title not in CUT)


def test_the_measure_can_see():
    """A label on a rod, one outside, one left out, one that jumps to and fro, an arrow that pops."""
    board = Storyboard(story("gangway"), (960, 540), RATE)
    watcher = Watcher(board.parts[-1], RATE, (1920.0, 1080.0))
    camera = Camera((0.0, 0.0), (960.0, 540.0), 1.0)
    rod = Stroke(name="rod", role="rod", points=np.array([[-100.0, 0.0], [100.0, 0.0]]), width=20.0)
    text = {"role": "name", "anchor": (0.0, 0.0), "text": "P", "size": 44.0, "sides": ("n",)}
    labels = [Label(name=name, **text) for name in ("on", "out", "none", "wild")]
    arrow = Arrow(name="arrow", role="load", tail=(0.0, -200.0), vector=(99.0, 0.0), measure="length")
    places = {"on": Spot(950.0, 550.0, 0), "out": Spot(3000.0, 500.0, 0)}
    for k in range(4):
        marks: list[Mark] = [rod, *labels, *([arrow] if k > 1 else [])]
        watcher.look(marks, camera, {**places, "wild": Spot(300.0 + 90 * (k % 2), 300.0, k % 2)})

    found = watcher.findings
    assert found.overlaps == {"on on rod": 4}
    assert found.outside == {"out": 4}
    assert found.left_out == {"none": 4}
    assert found.pops == {"arrow": 1}
    assert (found.jump, found.jumper) == (90.0, "wild")
    assert (found.seats, found.flicker) == ({"wild": 3}, {"wild": 2})


def test_the_measure_sees_pictures_that_jump():
    """Steady motion does not jump, however fast; a picture that changes more than those around it does."""
    assert jumps([0.0, 400.0, 410.0, 405.0, 400.0]) == []
    assert jumps([0.0, 10.0, 300.0, 10.0, 0.0, 0.0]) == [2]
