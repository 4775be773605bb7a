"""Names, numbers and questions as a pupil reads them."""

from __future__ import annotations

import pytest

from simlab.pictures.names import figures, point_name, prose


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (12.345, "12.3"),
        (9.9999, "10.0"),
        (0.99951, "1.00"),
        (-0.0012345, "−0.00123"),
        (123456.0, "123000"),
        (5.0, "5.00"),
        (0.0, "0"),
    ],
)
def test_numbers_have_three_figures(value, written):
    """Three significant figures, no exponent, a true minus sign; rounding up carries over."""
    assert figures(value) == written


def test_one_figure_for_the_scale_bar():
    """200 and 0.5 are written with one figure."""
    assert figures(200.0, 1) == "200"
    assert figures(0.5, 1) == "0.5"


@pytest.mark.parametrize(
    ("name", "written"), [("K", "$K$"), ("B12", "$B_{12}$"), ("A'", "$A'$"), ("left_foot", "left foot")]
)
def test_points_are_written_as_in_a_book(name, written):
    """One letter with a number is a letter with an index; a longer name is words."""
    assert point_name(name) == written


@pytest.mark.parametrize(
    ("question", "typeset"),
    [
        ("A rod AB of weight 2W leans at alpha.", r"A rod $AB$ of weight $2W$ leans at $\alpha$."),
        ("It has length a and rests at A on a peg.", "It has length $a$ and rests at $A$ on a peg."),
        ("A and B are level. A is above.", "A and $B$ are level. A is above."),
        ("at a distance 3a/2 from B", "at a distance $3a$/2 from $B$"),
        ("Write alphabet and Waltz.", "Write alphabet and Waltz."),
        ("The tension $T$ is known.", "The tension $T$ is known."),
        ("a rod of mass 3 kg, g = 9.8 m/s^2", "a rod of mass 3 kg, g = 9.8 m/s^2"),
    ],
)
def test_letters_of_a_question_are_mathematics_and_words_stay_words(question, typeset):
    """Letters, points and rods are set as mathematics; articles and words are left alone."""
    assert prose(question, {"W", "a", "alpha"}, {"A", "B"}) == typeset
