"""Labels from picture to picture: they hold still, glide, and come and go softly."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from seen import box_of

from simlab.pictures.camera import SCREEN, Camera
from simlab.pictures.crowding import left_out
from simlab.pictures.marks import UNSEEN, Label, Mark, Stroke
from simlab.pictures.palette import PENS
from simlab.pictures.placement import Spot
from simlab.pictures.seating import AIR
from simlab.pictures.succession import FADE, FASTEST, Succession
from simlab.pictures.typeset import text_of

CAMERA = Camera((0.0, 0.0), (960.0, 540.0), 1.0)
NAME = Label(name="P", role="name", anchor=(0.0, 0.0), text="$P$", size=44.0, sides=("n",))


def cane(height: float, opacity: float = 1.0) -> Stroke:
    """A cane across the page, so far above the middle [page units]."""
    points = np.array([[-400.0, height], [400.0, height]])
    return Stroke(name="cane", role="rod", points=points, width=10.0, opacity=opacity)


def strength(marks: list[Mark], name: str = "P") -> float:
    """How strongly a label is drawn, 0 where it is not."""
    return next((mark.opacity for mark in marks if mark.name == name), 0.0)


def test_labels_of_the_first_picture_are_there_at_once():
    """A film does not begin with all words faint."""
    marks, _ = Succession(SCREEN, 60).follow([NAME], CAMERA)

    assert strength(marks) == 1


@pytest.mark.parametrize("rate", [24, 60])
def test_a_label_comes_and_goes_in_the_same_time_at_every_rate(rate):
    """It grows stronger with every picture, is there after the time for it, and leaves as it came."""
    succession = Succession(SCREEN, rate)
    succession.follow([], CAMERA)
    coming = [strength(succession.follow([NAME], CAMERA)[0]) for _ in range(rate)]
    _, placement = succession.follow([NAME], CAMERA)
    pictures = [succession.follow([], CAMERA) for _ in range(rate)]
    going = [strength(marks) for marks, _ in pictures]

    for strengths in (coming, going[::-1]):
        assert np.diff(strengths).min() >= 0
        assert np.diff([0, *strengths]).max() == pytest.approx(1 / (FADE * rate))
        assert sum(0 < s < 1 for s in strengths) == pytest.approx(FADE * rate, abs=1)
    assert all(where["P"] == placement["P"] for marks, where in pictures if strength(marks) > 0)


@pytest.mark.parametrize("rate", [24, 60])
def test_a_label_glides_at_a_bounded_speed_and_arrives(rate):
    """A cane comes down on its seat at once: it makes way, in steps that an eye can follow."""
    succession = Succession(SCREEN, rate)
    places = [succession.follow([cane(300.0), NAME], CAMERA)[1]["P"]]
    places += [succession.follow([cane(30.0), NAME], CAMERA)[1]["P"] for _ in range(rate)]
    steps = np.hypot(*np.diff([spot[:2] for spot in places], axis=0).T)

    assert places[0].seat != places[1].seat
    assert 0 < steps.max() <= FASTEST / rate + 1e-9
    assert not succession.moves
    assert np.hypot(*np.subtract(places[-1][:2], places[0][:2])) > 30


def test_a_label_does_not_move_for_a_trifle():
    """A cane that swings through the air above a label, but not onto it, leaves it where it is."""
    succession = Succession(SCREEN, 60)
    _, top, _, _ = box_of(NAME, succession.follow([NAME], CAMERA)[1])
    edge = 540.0 - top + 5.0 + PENS["rod"].width / 2  # where the cane's own edge would touch the letters
    spots = []
    for k in range(60):
        height = edge + AIR / 2 + 0.3 * AIR * np.sin(k / 4)
        spots.append(succession.follow([cane(height), NAME], CAMERA)[1]["P"])

    assert len({spot[:3] for spot in spots}) == 1
    assert not any(spot.free for spot in spots)  # so that its halo is drawn


def test_labels_keep_out_of_the_way_of_what_will_come():
    """A cane that is not drawn yet has its place: when it appears, the label need not move."""
    succession = Succession(SCREEN, 60)
    places = [
        succession.follow([cane(30.0, opacity), NAME], CAMERA)[1]["P"] for opacity in (UNSEEN, 0.5, 1.0)
    ]
    alone = Succession(SCREEN, 60).follow([NAME], CAMERA)[1]["P"]

    assert places[0] == places[1] == places[2] != alone


def test_after_a_cut_nothing_is_on_its_way():
    """Another view of the same: labels that have no room stand elsewhere at once, gone ones are gone."""
    succession = Succession(SCREEN, 60)
    succession.follow(
        [cane(300.0), NAME, Label(**{**vars(NAME), "name": "Q", "anchor": (300.0, 0.0)})], CAMERA
    )
    succession.cut()
    marks, placement = succession.follow([cane(30.0), NAME], CAMERA)

    assert strength(marks) == 1
    assert strength(marks, "Q") == 0
    assert placement["P"].still == (0.0, 0.0)
    assert not succession.moves


def test_where_words_meet_the_least_make_way_and_no_more_than_need_be():
    """Of three in a row the middle one goes, of five the second and fourth; of two alike the weaker."""
    words = [
        replace(NAME, name=name, role="hinge force", text="10.0 N", vector=force, yields=yields)
        for name, force, yields in (
            ("thrust", (0.0, 9.0), 0),
            ("pin", (0.0, 5.0), 2),
            ("weight", (0.0, 4.0), 1),
        )
    ]
    wide = text_of(words[0]).width
    spots = {label.name: Spot(0.6 * i * wide, 100.0, 0) for i, label in enumerate(words)}
    assert left_out(words, spots) == {"pin"}
    row = [*words, replace(words[1], name="pin beyond"), replace(words[0], name="tension")]
    in_row = {label.name: Spot(0.6 * i * wide, 100.0, 0) for i, label in enumerate(row)}
    assert left_out(row, in_row) == {"pin", "pin beyond"}

    alike = [replace(label, yields=2) for label in words[1:]]
    assert left_out(alike, spots) == {"weight"}
    assert left_out([replace(label, yields=0) for label in words], spots) == frozenset()

    on_its_way = {**spots, "weight": spots["pin"]._replace(still=(-3 * wide, 0.0))}
    assert left_out(alike, on_its_way) == frozenset()
