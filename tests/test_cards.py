"""Cards, captions and tables of a film."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from seen import SCENES, box_of, clashes

from simlab.frame.scene import read_scene
from simlab.pictures.camera import PAPER, SCREEN, Camera, Page
from simlab.pictures.cards import (
    BAND,
    BEADS,
    caption,
    frame_rect,
    garland,
    gravity_bar,
    side_rects,
    title_card,
)
from simlab.pictures.closing_card import Answer, closing_card
from simlab.pictures.marks import Label, Mark
from simlab.pictures.names import prose
from simlab.pictures.placement import place
from simlab.pictures.table import Table

STILL = Camera((0.0, 0.0), (0.0, 0.0), 1.0)
CAUTION = "For teaching: ideal rods, smooth hinges. No basis for building or hanging anything."
READABLE = 34.0  # [page units] the brief: the least type of a film at 1080 lines


def labels(marks: Sequence[Mark]) -> list[Label]:
    """The labels among the marks."""
    return [mark for mark in marks if isinstance(mark, Label)]


def boxes(marks: Sequence[Mark]) -> np.ndarray:
    """The boxes of all labels, shape (n, 4)."""
    placement = place(marks, STILL)
    return np.array([box_of(label, placement) for label in labels(marks) if label.text.strip()])


@pytest.mark.parametrize("page", [SCREEN, Page.of(1280, 720), PAPER])
@pytest.mark.parametrize("name", sorted(path.stem for path in SCENES.glob("*.toml")))
def test_title_and_question_fit_their_half_of_the_page(name, page):
    """Every one of our questions fits beside its frame in type that the back row reads."""
    frame = read_scene(SCENES / f"{name}.toml")
    words, picture = side_rects(page)
    marks = title_card(frame.title, prose(frame.question, frame.symbols, frame.points), words, CAUTION)
    found = boxes(marks)

    assert found[:, 0].min() >= words[0] - 2
    assert found[:, 2].max() <= min(words[2], picture[0])
    assert found[:, 1].min() >= words[1] - 2
    assert found[:, 3].max() <= words[3] + 1
    assert clashes(marks, STILL, place(marks, STILL), page) == []
    assert all(label.size >= READABLE for label in labels(marks))


def test_a_question_of_any_length_stays_on_the_page():
    """A question three times as long as ours gets smaller type, and still none is cut off."""
    words, _ = side_rects(SCREEN)
    marks = title_card("A long question", "A market stall stands on a trestle of two legs. " * 24, words)

    assert boxes(marks)[:, 3].max() <= words[3] + 1


@pytest.mark.parametrize(
    "text", ["Short", "Gravity is let on: the weights grow, and every force with them. " * 2]
)
def test_a_caption_lies_in_the_middle_of_its_band(text):
    """One line or two: inside the band, even about the middle of the page."""
    ((left, top, right, bottom),) = boxes(caption(text, SCREEN))

    assert top >= SCREEN.height - BAND
    assert bottom <= SCREEN.height
    assert left + right == pytest.approx(SCREEN.width, abs=4)


@pytest.mark.parametrize(("share", "lit"), [(0.0, 0), (0.5, BEADS // 2), (0.62, 13), (1.0, BEADS)])
def test_beads_light_up_with_gravity(share, lit):
    """Twenty beads, one for each 5 %, and the per cent in figures; the last may be half lit."""
    marks = gravity_bar(share, (100.0, 90.0))

    assert sum(mark.role == "bead" for mark in marks) == BEADS
    assert sum(mark.role == "lit bead" for mark in marks) == lit
    assert labels(marks)[0].text == f"gravity {round(100 * share)} %"
    assert boxes(marks)[0, 2] < 100 + 700


@pytest.mark.parametrize("n", [1, 3, 8])
def test_the_closing_card_holds_its_answers(n):
    """One answer or eight, with tall fractions: nothing overlaps, nothing leaves the page."""
    answer = Answer(
        "force at $L$ on the long cane $LB$",
        r"$$\frac{3W}{4}(3\tan\alpha + 2\tan\theta)$$",
        "14.8 N",
        "14.8 N",
    )
    marks = closing_card([answer] * n, "They agree to 9 figures.", SCREEN)

    assert clashes(marks, STILL, place(marks, STILL), SCREEN) == []
    assert boxes(marks)[:, 3].max() <= SCREEN.height - BAND
    assert all(label.size >= READABLE for label in labels(marks))


def test_a_table_says_how_many_rows_it_leaves_out():
    """A hundred rows do not fit; those that do are whole, and a last row counts the rest."""
    rows = [(f"force {i}", f"{i}.00 N") for i in range(100)]
    marks = Table(rows, ("force", "size"), ("left", "right")).marks("t", (96, 80, 1824, 900))
    texts = [label.text for label in labels(marks)]
    shown = sum(text.startswith("force ") for text in texts)

    assert f"… and {100 - shown} more" in texts
    assert boxes(marks)[:, 3].max() <= 900
    assert all(label.size >= READABLE for label in labels(marks))


def test_columns_line_up():
    """Right-aligned numbers end at one x, left-aligned names begin at one x."""
    rows = [("force at L", "4.20 N"), ("thrust", "114.8 N")]
    marks = Table(rows, (), ("left", "right")).marks("t", (96, 80, 1824, 900))
    anchors = {label.text: label.anchor[0] for label in labels(marks)}

    assert anchors["force at L"] == anchors["thrust"] == 96
    assert anchors["4.20 N"] == anchors["114.8 N"]


def test_the_garland_hangs_along_the_top_edge():
    """It stays in the top tenth of the page and reaches from side to side."""
    points = np.concatenate([mark.points for mark in garland(SCREEN)])

    assert np.nanmin(points[:, 0]) == 0
    assert np.nanmax(points[:, 0]) == SCREEN.width
    assert np.nanmax(points[:, 1]) < SCREEN.height / 10
    assert all(mark.space == "page" for mark in garland(SCREEN))


def test_the_frame_has_the_page_above_the_caption():
    """The frame's rectangle ends above the caption band."""
    assert frame_rect(SCREEN)[3] < SCREEN.height - BAND


def test_every_part_of_a_question_begins_a_line_and_units_stay_with_their_numbers():
    """Common practice of papers: (i) and (ii) stand at the margin."""
    left, _ = side_rects(SCREEN)
    marks = title_card(
        "Question", "A pole of length 2 m is hinged. (i) Find R. (ii) Find S.", left, CAUTION
    )
    text = next(mark.text for mark in labels(marks) if mark.name == "question")

    assert [line.strip()[:4].strip() for line in text.split("\n")] == ["A po", "(i)", "(ii)"]
    assert "2\u00a0m is" in text
