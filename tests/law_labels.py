"""Diagrams of parts, all scenes and 100 random frames: every label is there, none on another or on a mark.

What stands where is measured by sampling (`seen`), not by the rules by which labels are placed.
"""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from endurance import random_contacts, random_frame
from hand_parts import ByHand, moments, spots
from seen import SCENES, clashes, lines_of

from simlab.frame.model import Frame
from simlab.frame.quantity import Quantity
from simlab.frame.scene import read_scene
from simlab.pictures.arm_lines import arms
from simlab.pictures.isolated import after, before, blank, scale_of
from simlab.pictures.marks import Arrow, Label
from simlab.pictures.picture import Picture
from simlab.pictures.separated import separated
from simlab.results.working import Equation, Part

PATHS = [*sorted(SCENES.glob("*.toml")), *sorted((Path(__file__).parent / "pictured").glob("*.toml"))]
SEEDS = range(50)  # of each of two kinds of random frame
HIDDEN, BESIDE = 0.4, 6.0  # share of an arrow that may be nearer to another than that [page units]
LARGEST = 1.5  # times the usual page, at most, where words need more room


def forces(picture: Picture) -> list[Arrow]:
    """The arrows of forces, without the small ones of a spread load, the heads of arcs, and the legend."""
    words = {m.name.removeprefix("words of ") for m in picture.marks if isinstance(m, Label)}
    return [m for m in picture.marks if isinstance(m, Arrow) and m.name in words and m.space == "frame"]


def hidden(picture: Picture) -> list[str]:
    """Every arrow of which too much lies on another one."""
    shafts = {arrow.name: next(iter(lines_of(arrow, picture.camera))) for arrow in forces(picture)}
    found = []
    for (one, a), (other, b) in combinations(shafts.items(), 2):
        for name, points, line in ((one, a, b), (other, b, a)):
            along = line[-1] - line[0]
            share = np.clip((points - line[0]) @ along / max(float(along @ along), 1e-9), 0, 1)
            off = np.hypot(*(points - line[0] - share[:, None] * along).T)
            if np.mean(off < BESIDE) > HIDDEN:
                found.append(f"{name} is hidden ({one}, {other})")
    return found


def faults(picture: Picture) -> list[str]:
    """Everything that an eye would find wrong with a picture."""
    page = picture.page
    found = clashes(picture.marks, picture.camera, picture.placement, page)
    labels = [m for m in picture.marks if isinstance(m, Label)]
    found += [f"{m.name} has no place" for m in labels if m.name not in picture.placement]
    found += [
        f"two are called {m.name}" for k, m in enumerate(labels) if m.name in {x.name for x in labels[:k]}
    ]
    points = np.concatenate([p for m in picture.marks for p in lines_of(m, picture.camera)])
    if (points < 0).any() or (points > (page.width, page.height)).any():
        found.append("something is off the page")
    if page.height > LARGEST * 1080:
        found.append(f"the page is {page.height} units high")
    return found + hidden(picture)


def texts(picture: Picture) -> list[str]:
    """The words of all labels."""
    return [m.text for m in picture.marks if isinstance(m, Label)]


def missing(picture: Picture, part: Part) -> list[str]:
    """The letters of a part's unknowns that are not said as often as they act on it, unnamed points."""
    said = texts(picture)
    letters = [f"${Quantity.symbol(a.letter).tex}$" for a in part.actions if a.letter is not None]
    found = [letter for letter in set(letters) if said.count(letter) < letters.count(letter)]
    names = {m.name for m in picture.marks if isinstance(m, Label)}
    points = {a.point for a in part.actions if a.point is not None and len(a.point) == 1}
    return found + [p for p in points if f"name {p}" not in names]


def missing_arms(picture: Picture, frame: Frame, equation: Equation) -> list[str]:
    """The arms of an equation, shorter ones than a hundredth of the page aside, that stand nowhere."""
    said = texts(picture)
    least = 10 / picture.camera.scale
    arms = [t.arm for t in equation.terms if t.foot is not None and t.arm.number(frame.shown) > least]
    wanted = {f"{arm.decimal} m" for arm in arms}
    return sorted(wanted - set(said))


def check(frame: Frame, hand: ByHand, part: Part, scale: float) -> None:
    """A part before, blank, with arms, and after."""
    values = frame.shown
    one = before(frame, values, part)
    assert faults(one) == []
    assert missing(one, part) == []
    for point in spots(frame, part)[:1]:
        equation = moments(part, values, point, frame.points[point])
        two = arms(frame, values, equation)
        assert faults(two) == []
        assert missing(two, part) == []
        assert missing_arms(two, frame, equation) == []
    three = after(frame, values, part, hand.letters, scale)
    assert faults(three) == []
    arrows = {arrow.name for arrow in forces(three)}
    words = {m.name for m in three.marks if isinstance(m, Label)}
    assert all(f"words of {name}" in words for name in arrows)


def cut_up(frame: Frame) -> tuple[ByHand, list[Part], list[Part]]:
    """A frame's parts by hand: single ones, and all that are looked at."""
    hand = ByHand(frame)
    singles = [hand.part(name) for name in (*frame.bodies, *hand.pins)]
    return hand, singles, hand.every()


@pytest.mark.parametrize("path", PATHS, ids=[path.stem for path in PATHS])
def test_every_part_of_every_scene(path):
    """Each body, each two neighbours, the whole, each pin: before, with arms, after; all of it apart."""
    frame = read_scene(path)
    hand, singles, every = cut_up(frame)
    scale = scale_of(frame.shown, every, hand.letters)
    for part in every:
        check(frame, hand, part, scale)
    assert faults(blank(frame, frame.shown, every[0], boxes=True)) == []
    if len(singles) > 1:
        for letters in (None, hand.letters):
            assert faults(separated(frame, frame.shown, singles, letters)) == []


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("kind", [random_frame, random_contacts], ids=["rods", "contacts"])
def test_random_frames(kind, seed):
    """A part by chance before, with arms and after; the whole apart, before and after by turns."""
    frame = kind(seed)
    hand, singles, every = cut_up(frame)
    part = every[int(np.random.default_rng(seed).integers(len(every)))]
    check(frame, hand, part, scale_of(frame.shown, every, hand.letters))
    if len(singles) > 1:
        assert faults(separated(frame, frame.shown, singles, hand.letters if seed % 2 else None)) == []


def test_the_measure_can_see():
    """An arrow on another, a label moved onto a rod, a letter left out: each is found."""
    frame = random_frame(1)
    hand, _, _ = cut_up(frame)
    part = hand.part("BC")
    good = before(frame, frame.shown, part)
    arrow = next(arrow for arrow in forces(good) if arrow.role == "hinge force")
    twin = Arrow(name="twin", role=arrow.role, tail=arrow.tail, vector=arrow.vector, measure="length")
    words = next(m for m in good.marks if m.name == f"words of {arrow.name}")
    marks = [*good.marks, twin, Label(**{**vars(words), "name": "words of twin"})]
    same = Picture(
        marks, good.camera, good.page, "", {**good.placement, "words of twin": good.placement[words.name]}
    )
    moved = {**good.placement, words.name: good.placement["name B"]}

    assert faults(good) == []
    assert any("hidden" in fault for fault in faults(same))
    assert f"words of {words.name.removeprefix('words of ')} on words of twin" in faults(same)
    assert faults(Picture(good.marks, good.camera, good.page, "", moved)) != []
    less = [m for m in good.marks if m is not words]
    assert missing(Picture(less, good.camera, good.page, "", good.placement), part) == [words.text]
