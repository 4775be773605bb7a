"""On the boundary: members that carry nothing, half-settled reactions, answers at the values only."""

from __future__ import annotations

import pytest

from simlab.frame.model import Frame
from simlab.frame.quantity import FORCE, Quantity
from simlab.frame.scene import parse_scene
from simlab.results import Key
from simlab.statics.solution import solve

LETTERS = """
[symbols]
W = { meaning = "a weight", shown = "2 N" }
P = { meaning = "another weight", shown = "3 N" }
a = { meaning = "a length", shown = "1 m" }
"""

POLE = """
[points]
A = ["0", "0"]
B = ["0", "{end}"]
C = ["a", "{end}"]
[rods]
pole = {{ ends = ["A", "B"], weight = "W" }}
[loads]
{loads}
[members]
{members}
[supports]
hook = {{ kind = "hook", at = "A" }}
ring = {{ kind = "hook", at = "C" }}
"""
STAY = 'stay = { kind = "string", between = ["B", "C"] }'
PROP = 'prop = { kind = "strut", between = ["B", "C"] }'
BREEZE = 'breeze = { force = ["3*W/2 - P", "0"], at = "B" }'  # nothing at the values shown


def scene(text: str, asked: str = "[]") -> Frame:
    """A frame from the tables of a scene."""
    return parse_scene(f'title = "T"\nquestion = "Q"\nsource = "our own"\nasked = {asked}\n{LETTERS}{text}')


def pole(end: str = "-2*a", loads: str = "", members: str = STAY, asked: str = "[]") -> Frame:
    """A rod that hangs down from a hook, or stands on it, with a level member at its other end."""
    return scene(POLE.format(end=end, loads=loads, members=members), asked)


@pytest.mark.parametrize(
    ("member", "advice"),
    [
        (STAY, "The stay carries no force: it is just slack."),
        (PROP, "The prop carries no force: it only just fits."),
    ],
)
def test_a_member_that_never_carries_anything_is_named_and_sets_no_condition(
    member: str, advice: str
) -> None:
    """A rod hangs straight down by its own weight (lever rule): a level member at its foot is idle."""
    solved = solve(pole(members=member))

    assert solved.verdict == "determined"
    assert solved.case.holds == ()
    assert solved.advice.endswith(advice)
    assert "stands firm" not in solved.advice


@pytest.mark.parametrize(("end", "expected"), [("-2*a", "stable"), ("2*a", "unstable")])
def test_a_slack_string_holds_nothing_firm(end: str, expected: str) -> None:
    """A pendulum is free to swing towards its slack string: back from below, over from above."""
    solved = solve(pole(end))

    assert solved.verdict == "determined"
    assert solved.case.freedom.motions == ()  # as long as the string counts
    assert solved.case.freedom.rest == expected


def test_a_rod_that_only_just_touches_a_wall() -> None:
    """It hangs free of it: no push, no condition; it swings away and back."""
    solved = solve(
        scene(
            """
            [points]
            A = ["0", "0"]
            B = ["0", "-2*a"]
            [rods]
            pole = { ends = ["A", "B"], weight = "W" }
            [supports]
            hook = { kind = "hook", at = "A" }
            shed = { kind = "smooth wall", at = "B", faces = "right" }
            """
        )
    )

    assert (solved.verdict, solved.case.freedom.rest, solved.case.holds) == ("determined", "stable", ())
    assert solved.advice.endswith("The contact at B carries no force: it only just touches.")


def test_a_member_that_carries_nothing_just_at_the_values() -> None:
    """The stay bears what the breeze blows, P - 3 W/2: taut beyond 0, not there, slack below."""
    frame = pole(loads=BREEZE, asked='["tension in stay", "reaction at C"]')
    solved = solve(frame)
    blown, calm = (solve(frame, {"P": Quantity.of(p, FORCE)}) for p in (4, 2))
    (condition,) = [c for c in solved.case.holds if c.about == "stay"]

    assert solved.verdict == blown.verdict == "determined"
    assert condition.words == "the stay is taut or, as here, carries no force"
    assert condition.positive.number(solved.values) == 0
    assert condition.positive.number(blown.values) == 1
    assert solved.advice.endswith("The stay carries no force here: it is just slack.")
    assert (solved.case.freedom.rest, blown.case.freedom.rest) == ("stable", "fixed")
    assert [c.words for c in blown.case.holds if c.about == "stay"] == ["the stay is taut"]
    assert calm.verdict == "falls out"
    assert solved.answers["reaction at C"].number(solved.values) == 0


def test_an_answer_that_acts_the_other_way_is_signed_and_its_condition_says_so() -> None:
    """With P = 2 N the stay would bear 2 - 3 = -1 N: the tension asked for is -1 N, the words "push"."""
    solved = solve(
        pole(loads=BREEZE, asked='["tension in stay", "thrust in stay"]'), {"P": Quantity.of(2, FORCE)}
    )
    (condition,) = [c for c in solved.case.holds if c.about == "stay"]

    assert solved.answers["tension in stay"].number(solved.values) == -1
    assert solved.answers["thrust in stay"].number(solved.values) == 1
    assert condition.words == "the stay is taut (here it would have to push)"
    assert condition.positive.number(solved.values) == -1


BEAM = """
[points]
A = ["0", "0"]
B = ["4*a", "0"]
D = ["a", "0"]
[rods]
AB = { ends = ["A", "B"], weight = "W", through = ["D"] }
[loads]
lantern = { weight = "2*W", at = "D" }
[supports]
left = { kind = "fixed hinge", at = "A" }
right = { kind = "fixed hinge", at = "B" }
"""


def test_settled_components_of_reactions_that_are_not_settled() -> None:
    """A beam between two fixed hinges: upwards 2 W, 1 W by the lever rule, across any pair at all."""
    solved = solve(scene(BEAM))

    assert solved.verdict == "not determined"
    assert {Key("A", "A", "ground"), Key("B", "B", "ground")} <= solved.case.undetermined
    assert not solved.case.forces.reactions
    assert "Settled all the same: 2W upwards at A, W upwards at B." in solved.advice


def test_full_reactions_and_tensions_beside_self_stress_are_kept() -> None:
    """A lantern on a string from the beam's D: its 3 W is settled, whatever the hinges do."""
    text = BEAM.replace('lantern = { weight = "2*W", at = "D" }', "").replace("[loads]", "")
    text = text.replace('D = ["a", "0"]', 'D = ["a", "0"]\nE = ["a", "-a"]\nF = ["a", "-3*a"]')
    text = text.replace(
        "[supports]",
        'EF = { ends = ["E", "F"], weight = "3*W" }\n[members]\ncord = '
        '{ kind = "string", between = ["D", "E"] }\n[supports]',
    )
    solved = solve(scene(text))

    assert solved.verdict == "not determined"
    assert solved.case.forces.tensions["cord"].plain == "3W"
    assert Key("EF", "cord at E", "cord") in solved.case.forces.reactions


SEESAW = """
[points]
C = ["-3*a", "0"]
A = ["0", "0"]
D = ["2*a", "0"]
[rods]
CD = {{ ends = ["C", "D"], light = true, through = ["A"] }}
[loads]
left = {{ weight = "W", at = "C" }}
right = {{ weight = "{right}", at = "D" }}
[supports]
nail = {{ kind = "hook", at = "A" }}
"""


@pytest.mark.parametrize(("right", "only_here"), [("P", True), ("3*W/2", False)])
def test_whether_an_answer_holds_at_the_values_only(right: str, only_here: bool) -> None:
    """2 N at 3 a balances P = 3 N at 2 a by their sizes (law of the lever), but 3 W/2 for every W."""
    solved = solve(scene(SEESAW.format(right=right)))

    assert solved.verdict == "determined"
    assert solved.only_here is only_here
    assert ("at the values" in solved.advice) is only_here
