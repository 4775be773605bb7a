"""Whole pictures of our six scenes: nothing overlaps, nothing is cut off, all can be read."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from published.balance import Balance
from seen import SCENES, clashes, lines_of

from simlab.frame.scene import parse_scene, read_scene
from simlab.pictures.camera import PAPER, SCREEN, Page
from simlab.pictures.marks import Arrow, Label, Mark
from simlab.pictures.picture import Picture, picture

NAMES = sorted(path.stem for path in SCENES.glob("*.toml"))
PICTURED = sorted((Path(__file__).parent / "pictured").glob("*.toml"))  # every kind of part at least once
PAGES = {"screen": SCREEN, "A4": PAPER, "A4 upright": Page.of(210, 297)}
READABLE = 34.0  # [page units]
# An arrow's own words may touch what the arrow itself stands on; everything else counts.


def on_page(picture_: Picture) -> bool:
    """Whether all lines and arrows are on the page."""
    points = np.concatenate([p for m in picture_.marks for p in lines_of(m, picture_.camera)])
    return bool(
        (points.min(axis=0) >= 0).all() and (points.max(axis=0) <= (picture_.page.width, 1080)).all()
    )


@pytest.mark.parametrize("page", PAGES.values(), ids=PAGES)
@pytest.mark.parametrize("name", NAMES)
def test_the_question_is_drawn_without_overlaps(name, page):
    """Rods, weights, angles, lengths and names: no label on anything, nothing off the page."""
    drawn = picture(read_scene(SCENES / f"{name}.toml"), page=page)

    assert clashes(drawn.marks, drawn.camera, drawn.placement, page) == []
    assert on_page(drawn)
    assert all(mark.size >= READABLE for mark in drawn.marks if isinstance(mark, Label))


@pytest.mark.parametrize("page", [SCREEN, PAPER], ids=["screen", "A4"])
@pytest.mark.parametrize("path", PICTURED, ids=[path.stem for path in PICTURED])
def test_every_kind_of_part_is_drawn_without_overlaps(path, page):
    """Casks, plates, wires, bowls, pegs, springs, couples: no label on anything, nothing cut off."""
    drawn = picture(read_scene(path), page=page)

    assert clashes(drawn.marks, drawn.camera, drawn.placement, page) == []
    assert on_page(drawn)
    assert len({mark.name for mark in drawn.marks}) == len(drawn.marks)


@pytest.mark.parametrize("name", NAMES)
def test_the_forces_are_drawn_without_overlaps(name):
    """All kinds of force at once, each with its size: no label on anything, nothing off the page."""
    frame = read_scene(SCENES / f"{name}.toml")
    drawn = picture(frame, forces=Balance(frame).forces, page=SCREEN)

    assert clashes(drawn.marks, drawn.camera, drawn.placement, SCREEN) == []
    assert on_page(drawn)
    assert all(mark.size >= READABLE for mark in drawn.marks if isinstance(mark, Label))


def test_other_values_give_another_picture():
    """With alpha at 50 degrees the lantern is wider than at 20."""
    frame = read_scene(SCENES / "kite_lantern.toml")
    values = {"alpha": parse_scene(QUANTITY).symbols["alpha"].shown}

    def shape(p: Picture) -> float:
        ends = [m.points for m in p.marks if m.name in ("KL", "LB")]
        height = float(ends[0][0, 1] - ends[1][1, 1])
        return float(np.ptp(np.concatenate(ends)[:, 0])) / height

    assert shape(picture(frame, values)) > 1.2 * shape(picture(frame))


QUANTITY = """
title = "A rod"
question = "A rod."
source = "our own"
[symbols]
alpha = { meaning = "angle", shown = "50 deg" }
[points]
A = ["0", "0"]
B = { from = "A", length = "1 m", direction = "down", lean = "alpha", to = "left" }
[rods]
AB = { ends = ["A", "B"], weight = "1 N" }
[supports]
hook = { kind = "hook", at = "A" }
"""


def test_two_pictures_of_one_frame_are_the_same():
    """The same scene twice: the same bytes in every kind of file."""
    one, two = (picture(read_scene(SCENES / "gangway.toml")) for _ in range(2))

    assert one.svg() == two.svg()
    assert one.pdf() == two.pdf()
    assert one.png(360) == two.png(360)


def names_of(marks: list[Mark]) -> set[str]:
    """The names of the marks."""
    return {mark.name for mark in marks}


def test_what_is_shown_can_be_chosen():
    """Names, given data and kinds of force can be left out; a marked brace glows."""
    frame = read_scene(SCENES / "kite_lantern.toml")
    bare = picture(frame, names=False, given=False)
    lit = picture(frame, marked=["spreader"])
    some = picture(frame, forces=Balance(frame).forces, kinds=("members",), words={})

    assert not any(isinstance(mark, Label) for mark in bare.marks)
    assert "glow of spreader" in names_of(list(lit.marks))
    arrows = {m.role for m in some.marks if isinstance(m, Arrow)}
    assert arrows == {"thrust"}
