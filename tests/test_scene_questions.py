"""Letters to be found, what a scene asks, what it gives besides; and putting in what was found."""

from __future__ import annotations

import pytest

from simlab.errors import BadInput, SceneError
from simlab.frame.change import settled, showing
from simlab.frame.quantity import NUMBER, Quantity
from simlab.frame.scene import parse_scene

TEXT = """
title = "t"
question = "q"
source = "our own"
asked = [ASKED]
given = [GIVEN]
[symbols]
W = { meaning = "a weight", shown = "5 N" }
a = { meaning = "half the ladder's length", shown = "2 m" }
mu = { meaning = "coefficient of friction", between = ["0", "any"] }
theta = { meaning = "angle to the ground", between = ["0 deg", "90 deg"] }
x = { meaning = "how far up the porter is", between = ["0", "2*a"] }
psi = { meaning = "an angle", between = ["-30 deg", "30 deg"] }
MORE
[points]
O = ["0", "0"]
A = ["-2*a*cos(theta)", "0"]
B = { from = "A", length = "2*a", angle = "theta" }
M = { from = "A", towards = "B", length = "x" }
C = ["a", "0"]
D = { from = "C", length = "a", direction = "up" }
[rods]
AB = { ends = ["A", "B"], weight = "W" }
CD = { ends = ["C", "D"], weight = "W" }
[members]
rope = { kind = "string", between = ["M", "O"] }
[loads]
porter = { weight = "W", at = "M" }
[supports]
floor = { kind = "rough floor", at = "A", friction = "mu" }
wall = { kind = "smooth wall", at = "B", faces = "left" }
hook = { kind = "hook", at = "O" }
socket = { kind = "built-in", at = "C" }
"""


def frame(asked: str = "", given: str = "", more: str = ""):
    """A ladder with these questions."""
    asked, given = (f'"{words}"' if words else "" for words in (asked, given))
    return parse_scene(TEXT.replace("ASKED", asked).replace("GIVEN", given).replace("MORE", more))


def test_a_letter_between_two_ends_is_to_be_found():
    """Its range, its unit, and some value between for drawing; a letter may end at others' multiples."""
    symbols = frame().symbols

    assert ("mu", "theta", "x", "psi") == frame().found
    assert ("", "deg", "m", "deg") == tuple(symbols[name].unit for name in frame().found)
    assert symbols["mu"].high is None
    assert "2*a" == str(symbols["x"].high)
    for name in frame().found:
        assert symbols[name].low.number() < symbols[name].shown.number()
    assert symbols["theta"].shown.number() < symbols["theta"].high.number()
    assert symbols["x"].shown.number() < 4


def test_a_letter_is_taken_as_positive_unless_its_range_goes_below_nothing():
    """What is taken for granted of a root must hold in the whole range."""
    value = frame("value of sqrt(psi^2)").asked[0].value

    assert "Abs(psi)" == str(value)
    assert "theta" == str(frame("value of sqrt(theta^2)").asked[0].value)


ASKED = {
    "tension in rope": ("tension", "rope", None),
    "least mu": ("least", "mu", None),
    "greatest x": ("greatest", "x", None),
    "range of theta": ("range", "theta", None),
    "theta": ("value", "theta", None),
    "reaction at A": ("reaction", "floor at A", None),
    "normal reaction at B": ("normal", "wall at B", None),
    "friction at A": ("friction", "floor at A", None),
    "friction at floor": ("friction", "floor at A", None),
    "coefficient of friction at A on AB": ("coefficient", "floor at A", None),
    "force at A on AB": ("force", "floor at A", "AB"),
    "horizontal force at C on CD": ("across", "C", "CD"),
    "vertical force at C on CD": ("upwards", "C", "CD"),
    "moment at C": ("moment", "C", "CD"),
}


@pytest.mark.parametrize("words", ASKED)
def test_questions_are_read_as_measures(words):
    """Forces, their parts, bounds of a letter, letters."""
    (asked,) = frame(words).asked

    assert ASKED[words] == (asked.measure, asked.at, asked.on)
    assert words == asked.words


VALUES = {  # from school geometry
    "value of tan(theta)": "tan(theta)",
    "distance A to B": "2*a",
    "distance C to D": "a",
    "value of (distance A to B)/(distance C to D)": "2",
    "value of distance A to B - x": "2*a - x",
    "height of B above A": "2*a*sin(theta)",
    "angle of CD to the horizontal": "pi/2",
    "angle of CD to the vertical": "0",
    "angle of AC to the horizontal": "0",
    "angle between CD and CO": "pi/2",
}


@pytest.mark.parametrize("words", VALUES)
def test_values_are_exact(words):
    """Expressions, distances, heights and angles."""
    (asked,) = frame(words).asked

    assert ("value", VALUES[words]) == (asked.measure, str(asked.value))


GIVEN = {
    "tension in rope = W/2": ("tension", "rope", "=", "W/2"),
    "thrust in rope <= W": ("thrust", "rope", "<=", "W"),
    "tension in rope >= W": ("thrust", "rope", "<=", "-W"),
    "normal reaction at B = 0": ("normal", "wall at B", "=", "0"),
    "coefficient of friction at A = 1/4": ("coefficient", "floor at A", "=", "1/4"),
    "distance A to B = 3*x": ("value", "", "=", "3*x"),
    "x >= a": ("value", "", "<=", "-a"),
}


@pytest.mark.parametrize("words", GIVEN)
def test_what_is_given_besides_is_read_as_a_condition(words):
    """Measure, relation and right side; >= is turned round."""
    (given,) = frame(given=words).given

    assert GIVEN[words] == (given.left.measure, given.left.at, given.relation, str(given.right))


BAD = {
    "asked": {
        "greatest W": "W is no letter to be found",
        "least thta": 'Did you mean "theta"',
        "force of habit": "asks for nothing here",
        "friction at O": "asks for nothing here",
        "distance A to Z": 'point "Z" is not declared',
        "angle of XY to the vertical": "not two points",
        "angle between AB and CD": "share no end",
        "value of W + x": "cannot add",
    },
    "given": {
        "tension in rope": "is no condition",
        "tension in rope = a": "here goes a force",
        "normal reaction at B >= W": "only <= or =",
        "distance A to B = W": "cannot subtract",
    },
}


@pytest.mark.parametrize(("key", "words"), [(key, words) for key, cases in BAD.items() for words in cases])
def test_bad_questions_say_what_is_wrong(key, words):
    """The message names the key, what came, and what is allowed."""
    with pytest.raises(SceneError) as caught:
        frame(**{key: words})

    assert key in str(caught.value)
    assert BAD[key][words] in str(caught.value)


SYMBOLS = {
    'y = { meaning = "m", between = ["0 N", "2 m"] }': "unlike things",
    'y = { meaning = "m", between = ["2 m", "1 m"] }': "its range is empty",
    'y = { meaning = "m", shown = "1 m", between = ["1 m", "2 m"] }': "the one or the other",
    'y = { meaning = "m" }': "between =",
    'y = { meaning = "m", shown = "2*a" }': "is no value",
    'any = { meaning = "m", shown = "2 m" }': "cannot be a letter",
}


@pytest.mark.parametrize("line", SYMBOLS)
def test_bad_letters_say_what_is_wrong(line):
    """Unlike or empty ranges, both roles at once, neither."""
    with pytest.raises(SceneError, match=r"\[symbols\]") as caught:
        frame(more=line)

    assert SYMBOLS[line] in str(caught.value)


def test_what_was_found_is_put_everywhere():
    """Points, bodies, contacts and questions are those of the shape that was found; the letter is gone."""
    before = frame("value of tan(theta)", "distance A to B = 3*x")
    after = settled(
        before, {"theta": Quantity.pi() / Quantity.of(6), "mu": Quantity.symbol("W") / Quantity.symbol("a")}
    )

    assert ("x", "psi") == after.found
    assert "-sqrt(3)*a" == str(after.points["A"][0])
    assert "-sqrt(3)*a" == str(after.bodies["AB"].points["A"][0])
    assert "W/a" == str(after.contacts["floor at A"].friction)
    assert "sqrt(3)/3" == str(after.asked[0].value)
    assert NUMBER == after.asked[0].value.dim
    assert before.found == frame().found


def test_only_letters_to_be_found_are_put_in():
    """A given letter is shown, not found; a letter to be found is not shown."""
    with pytest.raises(BadInput, match="Letters to be found: mu, theta, x, psi"):
        settled(frame(), {"W": Quantity.of(1)})
    with pytest.raises(BadInput, match="theta is to be found, so it cannot be set"):
        showing(frame(), {"theta": "20 deg"})


def test_a_range_said_in_given_letters_moves_with_them():
    """x lies within the ladder however long the ladder is shown."""
    assert showing(frame(), {"a": "4 m"}).shown["x"].number() == pytest.approx(
        2 * frame().shown["x"].number()
    )
