"""The closing card of a film: what was asked, exact and simulated side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from simlab.pictures.camera import Page, Rect
from simlab.pictures.cards import MARGIN, band, margin, written
from simlab.pictures.marks import Align, Mark
from simlab.pictures.palette import CAPTION, TITLE
from simlab.pictures.table import Table
from simlab.pictures.typeset import setting

AIR = 28.0  # [page units] around the last words of a card
SIZE = 54.0  # [page units] of type, smaller where there are many answers
HEADINGS = ("", "exact", "value", "simulated")
ALIGNS: tuple[Align, ...] = ("left", "left", "right", "right")
EXACT = 1  # the column of exact answers


@dataclass(frozen=True)
class Answer:
    """One answer of the closing card: what was asked; exact, as mathematics; its value; simulated."""

    asked: str
    exact: str
    value: str
    simulated: str


def closing_card(
    answers: Sequence[Answer], agreement: str, page: Page, *, heading: str = "The answer"
) -> list[Mark]:
    """The closing card: each answer exact and simulated side by side, and in words how far they agree.

    Without a column of exact answers where there are none.
    """
    side = margin(page) * 1.25
    left, top, right = side, MARGIN * 2.0, page.width - side
    size = TITLE
    box = setting(heading, size, bold=True).box
    marks: list[Mark] = [written("heading", heading, (left, top - box[1]), size, bold=True)]
    y = top + box[3] - box[1] + 50
    box = setting(agreement, CAPTION, right - left).box
    foot = page.height - band(page) - AIR - box[3]  # the last of its lines stands just above the band
    rect = (left, y, right, foot + box[1] - AIR)
    marks += _below(answers, rect) if page.is_tall else _beside(answers, rect)
    marks.append(written("agreement", agreement, (left, foot), CAPTION, right - left))
    return marks


def _beside(answers: Sequence[Answer], rect: Rect) -> list[Mark]:
    """A row for each answer."""
    columns = [k for k in range(len(HEADINGS)) if k != EXACT or any(answer.exact for answer in answers)]
    rows = [(a.asked, a.exact, a.value, a.simulated) for a in answers]
    table = Table(
        [[row[k] for k in columns] for row in rows],
        [HEADINGS[k] for k in columns],
        [ALIGNS[k] for k in columns],
    )
    return table.marks("answers", rect, size=SIZE)


def _below(answers: Sequence[Answer], rect: Rect) -> list[Mark]:
    """For each answer what was asked, and below it what came out: for a page too narrow for columns."""
    first = EXACT if any(answer.exact for answer in answers) else EXACT + 1
    rows: list[list[str]] = []
    for answer in answers:
        full = answer.exact if "$$" in answer.exact else answer.exact.replace("$", "$$")  # there is room
        rows += [[answer.asked], [full, answer.value, answer.simulated][first - EXACT :], [""]]
    return Table(rows[:-1], HEADINGS[first:], ALIGNS[first:]).marks("answers", rect, size=SIZE)
