"""Words and mathematics as outlines."""

from __future__ import annotations

from importlib.resources import files

import numpy as np
import pytest
from fontTools.ttLib import TTFont

from simlab.pictures.glyphs import EM, mathematics, words
from simlab.pictures.typeset import setting

ROUNDED = 0.02  # [EM/100]: ziafont writes outlines to three decimals of a point at size 12


@pytest.fixture(scope="module")
def stix():
    """The font file itself, read by fontTools."""
    return TTFont(str(files("ziamath") / "fonts" / "STIXTwoMath-Regular.ttf"))


@pytest.mark.parametrize("letter", list("WgQ5é−√"))
def test_a_letter_is_as_wide_and_high_as_the_font_says(stix, letter):
    """Advance and extent agree with the font's own tables, as read by fontTools."""
    name = stix.getBestCmap()[ord(letter)]
    glyph, unit = stix["glyf"][name], EM / stix["head"].unitsPerEm
    outline = words(letter)

    assert outline.advance == pytest.approx(stix["hmtx"][name][0] * unit)
    ends = outline.vertices
    assert ends[:, 0].min() == pytest.approx(glyph.xMin * unit, abs=ROUNDED)
    assert ends[:, 0].max() == pytest.approx(glyph.xMax * unit, abs=ROUNDED)
    assert -ends[:, 1].max() == pytest.approx(glyph.yMin * unit, abs=ROUNDED)
    assert -ends[:, 1].min() == pytest.approx(glyph.yMax * unit, abs=ROUNDED)


@pytest.mark.parametrize(
    "tex",
    [
        r"\frac{5}{2} W \tan\alpha",
        r"\begin{pmatrix} a & b \\ c & d \end{pmatrix}",
        r"\begin{cases} W & \theta < 1 \\ 0 & \theta \ge 1 \end{cases}",
        r"\sqrt[3]{\frac{W}{2}}",
        r"\int_0^a x\,dx",
        r"\lvert R_B \rvert",
        "A'",
    ],
)
def test_mathematics_of_every_kind_is_typeset(tex):
    """Fractions, matrices, cases, roots, integrals, primes: each has an outline and a width."""
    outline = mathematics(tex, display=True)

    assert outline is not None
    assert len(outline.vertices) == len(outline.codes) > 10
    assert outline.advance > 0


@pytest.mark.parametrize("text", ["$x^$", "$%$", r"$\left($", "$&$", "a $ b", "$$", r"$\limits$", "$}{$"])
def test_what_cannot_be_typeset_is_shown_as_plain_text(text):
    """No slip in a formula raises, and something is drawn."""
    assert len(setting(text, 40.0).vertices) > 0


def test_letters_that_the_font_lacks_are_drawn_all_the_same():
    """A snowman is not in STIX; it has an outline, and the text goes on after it."""
    assert setting("☃W", 40.0).width > setting("W", 40.0).width


def test_an_empty_text_is_nothing():
    """No letters, no box."""
    assert setting("", 40.0).box == (0.0, 0.0, 0.0, 0.0)


@pytest.mark.parametrize("width", [300.0, 500.0, 900.0])
def test_paragraphs_wrap_at_spaces_and_lose_nothing(width):
    """No line is longer than allowed; the letters are those of the unbroken line."""
    text = "Find the thrust in the spreader, and the force at $L$ on the long cane $LB$."
    broken, whole = setting(text, 40.0, width), setting(text, 40.0)

    assert broken.width <= width
    assert broken.height > whole.height
    assert len(broken.vertices) == len(whole.vertices)


def test_a_word_that_is_too_long_stands_alone():
    """A word wider than the paragraph is not lost and not split."""
    assert len(setting("an electroencephalograph is", 40.0, 100.0).vertices) == sum(
        len(words(word).vertices) for word in ("an", "electroencephalograph", "is")
    )


def test_lines_are_aligned_as_asked():
    """Left text begins at 0, centred text is even about 0, right text ends at 0."""
    assert setting("WWW\nW", 40.0, align="left").box[0] == pytest.approx(0.0, abs=1.0)
    box = setting("WWW\nW", 40.0, align="centre").box
    assert box[0] == pytest.approx(-box[2], abs=1.0)
    assert setting("WWW\nW", 40.0, align="right").box[2] == pytest.approx(0.0, abs=1.0)


def test_sizes_scale_exactly():
    """Twice the size is the same outline twice as large."""
    small, large = setting("$W\\tan\\theta$ N", 20.0), setting("$W\\tan\\theta$ N", 40.0)

    assert np.allclose(2 * small.vertices, large.vertices)
