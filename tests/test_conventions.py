"""A class's conventions: g, words, figures, angles, parts. Arithmetic is by hand, beside each test."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
import sympy as sp
from rich.progress import Progress

from simlab.commands.answers import said
from simlab.commands.closing import closing_answers
from simlab.commands.telling import tell
from simlab.film.storyboard import Storyboard
from simlab.frame.quantity import ACCELERATION, Quantity
from simlab.frame.scene import read_scene
from simlab.lesson.amounts import amount
from simlab.lesson.forces import entries
from simlab.notation.page import Heading, Maths, line, written
from simlab.notation.page import said as as_said
from simlab.notation.worded import worded
from simlab.pictures.marks import Label
from simlab.pictures.picture import picture
from simlab.results import Statics, in_numbers
from simlab.results.conventions import HOUSE, Conventions
from simlab.simulation.settle import settle
from simlab.statics.shape import find
from simlab.statics.solution import solve

SCENES = Path(__file__).parent.parent / "scenes"
TEN = Quantity.of(10, ACCELERATION)
# By hand, for W and tan theta = t, moments about F, then of the right leg about H, then its two balances:
#   Q = 7W/4, T = 5Wt/3; on HG at H, T to the right and 3W/4 downwards. With t = 3/5 and W = 30 N: T = 30 N,
#   22.5 N downwards, together 37.5 N, arctan(3/4) = 36.87 degrees below the horizontal, 53.13 to the other.
TRESTLE = """
title = "The lantern trestle"
question = '''
Uniform legs HF and HG, each of length 4a and weight W, are freely hinged at H, each at theta to the
vertical, in a vertical plane. F and G are on a smooth quay. A light rope UV joins them, FU = GV = a.
A lantern of weight 2W hangs from J, HJ = a. Find the tension in the rope and the force at H on the rod HG.
'''
source = "our own"
asked = ["tension in rope", "force at H on HG"]

[symbols]
W = { meaning = "weight of each leg", shown = "30 N" }
a = { meaning = "a quarter of a leg", shown = "50 cm" }
theta = { meaning = "angle of the legs to the vertical", shown = "atan(3/5)" }

[points]
H = ["0", "0"]
F = { from = "H", length = "4*a", direction = "down", lean = "theta", to = "left" }
G = { from = "H", length = "4*a", direction = "down", lean = "theta", to = "right" }
U = { from = "F", towards = "H", length = "a" }
V = { from = "G", towards = "H", length = "a" }
J = { from = "H", towards = "F", length = "a" }

[rods]
HF = { ends = ["H", "F"], weight = "W" }
HG = { ends = ["H", "G"], weight = "W" }

[members]
rope = { kind = "string", between = ["U", "V"] }

[loads]
lantern = { weight = "2*W", at = "J" }

[supports]
left_quay = { kind = "smooth floor", at = "F" }
right_quay = { kind = "smooth floor", at = "G" }
"""


def trestle(conventions: Conventions, tmp_path: Path, text: str = TRESTLE) -> tuple[Statics, Conventions]:
    """The trestle as a class has it, solved, and the class's conventions for it."""
    path = tmp_path / "trestle.toml"
    path.write_text(text)
    frame = conventions.scene(path)
    return solve(frame), conventions.of(frame)


def lines(statics: Statics, conventions: Conventions) -> str:
    """The answers and every force, as the terminal has them, on one line."""
    page = worded(entries(statics, conventions), conventions.spoken)
    text = " ".join([*said(statics, conventions), *written(page, "text")])
    return " ".join(text.split())


# words (which words classes use: common practice, no source)


@pytest.mark.parametrize(
    ("text", "spoken"),
    [
        ("thrust in spreader", "compression in spreader"),
        ("Thrusts on both rods; a HINGE.", "Compressions on both bars; a PIN."),
        (
            "The rods, smoothly hinged, meet at the rod's end.",
            "The bars, smoothly pinned, meet at the bar's end.",
        ),
        ("a ramrod, a push-rod, rodent, thrusting", "a ramrod, a push-rod, rodent, thrusting"),
        ("its length is $\\mathrm{rod}$ of a rod", "its length is $\\mathrm{rod}$ of a bar"),
    ],
)
def test_whole_words_are_replaced_with_their_capitals_and_plurals(text, spoken):
    """Parts of other words stay, compounds too, and mathematics."""
    assert Conventions(rod="bar", hinge="pin", thrust="compression").spoken(text) == spoken


def test_names_of_the_scene_are_its_own():
    """A rope called "hinge", a support called "rod end": their names stay wherever they stand."""
    class_of = Conventions(rod="member", hinge="joint")
    said = class_of.spoken(
        "Tension in hinge; rod end at A, on the rod AB; all hinges.", ("hinge", "rod_end")
    )
    assert said == "Tension in hinge; rod end at A, on the member AB; all joints."


def test_a_rope_called_hinge_keeps_its_name_in_the_answers(tmp_path):
    """Its name is in a sentence of ours, whose own words follow the class."""
    text = TRESTLE.replace('"tension in rope"', '"tension in hinge"').replace("\nrope =", "\nhinge =")
    statics, class_of = trestle(Conventions(hinge="joint", rod="bar"), tmp_path, text)
    assert "tension in hinge = " in lines(statics, class_of)


def test_words_of_a_page_change_and_its_mathematics_and_breaks_stay():
    """A name of two words that stand in two parts of a line is found; so is a word beside an expression."""
    tan = Maths(sp.tan(sp.Symbol("rod")))
    page = [Heading("The rods"), line("the rod end; \n rod", tan, " ( ", tan, " rods)", label="on the rod")]
    heading, changed = worded(page, lambda text: Conventions(rod="bar").spoken(text, ("rod_end",)))

    assert heading == Heading("The bars")
    assert [as_said(part, "text") for part in changed.parts] == [
        as_said(part, "text").replace("rods", "bars") if k != 4 else "bartan rod"
        for k, part in enumerate(page[1].parts)
    ]
    assert changed.label == "on the bar"


@pytest.mark.parametrize(
    ("g", "loads", "tension"),
    [
        # Moments about P: T * 1.6 m * 3/5 = 6g * 1 m + g * 1 m + 3g * 2 m, so T = 13g/0.96 = 325g/24.
        ("9.8", None, "tension in stay = 130 N (exactly 3185/24 N)"),
        ("9.81", None, "tension in stay = 133 N (exactly 4251/32 N)"),
        ("10", None, "tension in stay = 140 N (exactly 1625/12 N)"),
        ("10", "masses", "tension in stay = 325g/24 N = 140 N"),
    ],
)
def test_the_classs_g_takes_the_place_of_the_scenes_own(g, loads, tension):
    """And the figures of a force follow it: 2 of 9.8 and 10, 3 of 9.81 (common practice, no source)."""
    class_of = Conventions(Quantity.of(Fraction(g), ACCELERATION), loads)
    frame = class_of.scene(SCENES / "banner_bracket.toml")

    assert f"Take g = {g} m/s²." in frame.question
    assert tension in lines(solve(frame), class_of.of(frame))


def test_figures_follow_g_only_where_g_is():
    """A force that is given in newtons, an angle and a length have three; the profile may say how many."""
    g = Quantity.of(Fraction("9.8"), ACCELERATION)
    kite, bracket = (read_scene(SCENES / name) for name in ("kite_lantern.toml", "banner_bracket.toml"))
    force, length = (1, 0, 0), (0, 1, 0)

    assert [Conventions(g).of(frame).figures_of(force) for frame in (kite, bracket)] == [3, 2]
    assert Conventions(g).of(bracket).figures_of(length) == 3
    assert Conventions(g, figures=3).of(bracket).figures_of(force) == 3


# figures, angles, parts: the trestle by hand, above


@pytest.mark.parametrize(
    ("class_of", "told"),
    [
        (
            Conventions(exact="figures"),
            "force at H on HG = 37.5 N, at 36.9° below the horizontal, to the right",
        ),
        (
            Conventions(exact="figures", angle_to="vertical"),
            "force at H on HG = 37.5 N, at 53.1° to the downward vertical, to the right",
        ),
        (
            Conventions(angle_to="vertical"),
            "= 37.5 N, at arctan(20 tan θ / 9) = 53.1° to the downward vertical, to the right",
        ),
        (
            Conventions(forces="components"),
            "force at H on HG = 5 W tan θ / 3 = 30.0 N to the right and 3W/4 = 22.5 N downwards",
        ),
        (
            Conventions(forces="components", exact="figures"),
            "at H, on HG 30.0 N to the right and 22.5 N downwards; the opposite on HF",
        ),
        (
            Conventions(forces="magnitude and angle", exact="figures", angle_to="horizontal"),
            "at H, on HG 37.5 N, at 36.9° below the horizontal, to the right; the opposite on HF",
        ),
    ],
)
def test_directions_and_parts_are_written_as_the_class_has_them(class_of, told, tmp_path):
    """One force, in six classes."""
    statics, own = trestle(class_of, tmp_path)
    assert told in lines(statics, own)


@pytest.mark.parametrize(
    ("value", "figures", "text"),
    [
        (Quantity.of(Fraction("122.5"), (1, 0, 0)), 2, "120 N (exactly 122.5 N)"),
        (Quantity.of(120, (1, 0, 0)), 2, "120 N"),
        (Quantity.of(Fraction("122.5"), (1, 0, 0)), None, "122.5 N"),
        (Quantity.of(Fraction("0.05"), (1, 0, 0)), 2, "0.05 N"),
    ],
)
def test_a_number_is_rounded_only_if_it_has_more_figures(value, figures, text):
    """120 N has two figures, 122.5 N has four."""
    pieces = amount(value, {}, Conventions(figures=figures))
    assert "".join(p for p in pieces if isinstance(p, str)).replace("\u00a0", " ") == text


def test_no_conventions_change_nothing():
    """Simlab's own way is what it was: the scene, the words, three figures."""
    path = SCENES / "kite_lantern.toml"
    assert HOUSE.scene(path) == read_scene(path)
    assert HOUSE.spoken("Thrust on a rod at a hinge") == "Thrust on a rod at a hinge"
    assert HOUSE.told == {}


# pictures and film


def test_the_legend_and_the_closing_card_speak_as_the_class_does(tmp_path):
    """'tension on bars'; answers by size and direction, in figures alone."""
    class_of = Conventions(rod="bar", exact="figures", forces="magnitude and angle", angle_to="vertical")
    statics, own = trestle(class_of, tmp_path)
    numbers = in_numbers(statics.case.forces, statics.values)
    drawn = picture(statics.frame, forces=numbers, conventions=own)
    assert "tension on bars" in {mark.text for mark in drawn.marks if isinstance(mark, Label)}

    reading = settle(statics.frame)
    rows = closing_answers(find(statics.frame), reading.forces, own)
    assert [(row.exact, row.value, row.simulated) for row in rows] == [
        ("", "30.0 N", "30.0 N"),
        ("", "37.5 N", "37.5 N"),
    ]
    assert rows[1].asked.endswith("53.1° to the downward vertical, to the right")


def test_chapters_and_captions_speak_as_the_class_does(tmp_path):
    """What is said in a film, and the question in it; its title is the scene's own."""
    class_of = Conventions(TEN, "masses", rod="bar", hinge="pin")
    text = TRESTLE.replace("The lantern trestle", "The hinge trestle")
    statics, _ = trestle(class_of, tmp_path, text)
    with Progress(disable=True) as progress:
        story, _, _ = tell(find(statics.frame), progress, class_of)
    board = Storyboard(story)

    assert "The bars are put together" in [title for _, title in board.chapters]
    captions = [caption.text for caption in board.captions]
    assert captions[0].startswith("The hinge trestle. Uniform legs")
    assert "mass m, are freely pinned at H" in captions[0]
    assert any("smooth pins" in caption for caption in captions)
    assert any("for m = 3 kg" in caption and "g = 10 m/s²" in caption for caption in captions)
