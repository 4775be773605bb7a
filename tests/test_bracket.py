"""Limits that statics finds, tried in the engine: it holds just inside, and gives way just outside.

Published problems are the entries of published/statics.json, each with its source there; their limits are
those that `published_shapes.py` and `published_scenes.py` prove. Here each is worked out again by hand,
so that nothing of the exact side is needed to judge the engine.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import atan, degrees, radians, sqrt, tan
from pathlib import Path

import pytest
from solved import found, scene

from simlab.errors import BadInput
from simlab.frame.model import GROUND, Frame, Link, Place
from simlab.frame.quantity import Quantity
from simlab.frame.scene import parse_scene, read_scene
from simlab.results.bracket import Trial
from simlab.results.statics import Range, Root
from simlab.simulation.bracket import bracket, brackets, trial
from simlab.simulation.touching import untouchable

PUBLISHED = Path(__file__).with_name("published") / "scenes"
SCENES = Path(__file__).parents[1] / "scenes"
VARIED = [
    path
    for path in (*sorted(PUBLISHED.glob("*.toml")), *sorted(SCENES.glob("*.toml")))
    if any(
        f'asked = ["{word} ' in path.read_text(encoding="utf-8") for word in ("least", "greatest", "range")
    )
]

HEAD = """
title = "T"
question = "Q"
source = "our own"
"""
CRATE = """
asked = ["greatest P"]
[symbols]
mu = { meaning = "coefficient", shown = "0.3" }
h = { meaning = "height of the rope", shown = "1.2 m" }
P = { meaning = "pull", between = ["0 N", "any"] }
[points]
A = ["0 m", "0 m"]
B = ["1 m", "0 m"]
C = ["1 m", "2 m"]
D = ["0 m", "2 m"]
E = ["1 m", "h"]
[plates]
crate = { lamina = ["A", "B", "C", "D"], weight = "100 N", through = ["E"] }
[supports]
quay = { kind = "rough floor", at = ["A", "B"], friction = "mu" }
[loads]
rope = { force = "P", direction = "right", at = "E" }
"""
LADDER = """
asked = ["least theta"]
[symbols]
theta = { meaning = "angle to the quay", between = ["5 deg", "85 deg"] }
[points]
A = ["0 m", "0 m"]
B = { from = "A", length = "2 m", angle = "theta" }
[rods]
AB = { ends = ["A", "B"], weight = "50 N" }
[supports]
quay = { kind = "rough floor", at = "A", friction = "0.5" }
shed = { kind = "rough wall", at = "B", faces = "left", friction = "0.25" }
"""


def limit(frame: Frame, letter: str, value: float, begins: bool) -> Range:
    """A limit that is said, not solved for."""
    at = Fraction(value)
    root = Root(letter, None, (Quantity.symbol(letter), Quantity.of(at)), at, at)
    ends = (root, None) if begins else (None, root)
    return Range(letter, *ends, ((), ()))


def crate(mu: float, height: float) -> Frame:
    """A crate 1 m wide and 2 m high, pulled at a height."""
    return parse_scene(HEAD + CRATE.replace("0.3", str(mu)).replace("1.2 m", f"{height} m"), "crate")


@pytest.mark.parametrize(
    ("scene", "letter", "value", "begins", "about", "way"),
    [
        # Ladder against a smooth wall: mu = cot(theta)/2, theta = 60 degrees.
        ("ladder-smooth-wall-least-mu", "mu", 1 / (2 * sqrt(3)), True, "A", "to the left"),
        # Man of 80 kg on a ladder of 30 kg: moments about A, 0.4*110*5 sin 60 = (75 + 80 y) cos 60.
        ("ladder-man-80kg-how-far", "y", (0.4 * 110 * 5 * sqrt(3) - 75) / 80, False, "A", "to the left"),
    ],
)
def test_published_limits_are_bracketed(
    scene: str, letter: str, value: float, begins: bool, about: str, way: str
) -> None:
    """A thousandth inside it holds, a thousandth outside it slips, at the foot, away from the wall."""
    frame = read_scene(PUBLISHED / f"{scene}.toml")
    found = bracket(frame, limit(frame, letter, value, begins), begins)

    assert (found.verdict, found.margin) == ("bracketed", 1e-3)
    assert (found.outside.outcome, found.outside.about, found.outside.way) == ("slips", about, way)


@pytest.mark.parametrize("path", VARIED, ids=lambda path: path.stem)
def test_every_limit_of_a_scene_is_bracketed(path: Path) -> None:
    """Whatever has a least or greatest value: to a thousandth; nothing where a support has no contacts."""
    frame = scene(path)
    if untouchable(frame) or len(frame.found) > 1:
        assert brackets(found(path)) == ()
        return
    tried = brackets(found(path))

    assert tried
    assert [(one.verdict, one.margin) for one in tried] == [("bracketed", 1e-3)] * len(tried)


def test_a_ladder_rough_at_both_ends_slips_at_the_textbook_angle() -> None:
    """tan theta = (1 - mu mu')/(2 mu): ladder-two-coefficients, a standard result."""
    frame = parse_scene(HEAD + LADDER, "ladder")
    theta = atan((1 - 0.5 * 0.25) / (2 * 0.5))
    found = bracket(frame, limit(frame, "theta", theta, True), True)

    assert found.verdict == "bracketed", degrees(theta)
    assert found.outside.outcome == "slips"


@pytest.mark.parametrize(
    ("mu", "height", "pull", "outcome"),
    [(0.3, 1.2, 30.0, "slips"), (0.9, 1.2, 100 * 0.5 / 1.2, "lifts")],
)
def test_a_crate_slides_or_topples(mu: float, height: float, pull: float, outcome: str) -> None:
    """It slides at P = mu W, topples about B at P = W (b/2)/h, whichever is less (common practice)."""
    frame = crate(mu, height)
    found = bracket(frame, limit(frame, "P", pull, False), False)

    assert (found.verdict, found.margin) == ("bracketed", 1e-3)
    assert found.outside.outcome == outcome
    if outcome == "lifts":
        assert (found.outside.about, found.outside.way) == ("A", "up")


@pytest.mark.parametrize("wrong", [0.99, 0.998, 1.002, 1.01])
def test_a_wrong_limit_is_not_bracketed(wrong: float) -> None:
    """A limit that is two thousandths out is found out, on either side."""
    frame = read_scene(PUBLISHED / "ladder-smooth-wall-least-mu.toml")
    found = bracket(frame, limit(frame, "mu", wrong / (2 * sqrt(3)), True), True)

    assert found.verdict == "not bracketed"


def test_the_engine_is_sharper_than_the_bracket_needs() -> None:
    """It holds a millionth above the least coefficient, and slips a hundred-thousandth below."""
    frame = read_scene(PUBLISHED / "ladder-smooth-wall-least-mu.toml")

    def at(share: Fraction) -> Trial:
        mu = Fraction(1 / (2 * sqrt(3))) * (1 + share)
        return trial(frame, {**frame.shown, "mu": Quantity.of(mu)})

    assert at(Fraction(1, 10**6)).outcome == "holds"
    assert at(Fraction(-1, 10**5)).outcome != "holds"


def test_a_string_that_would_have_to_push_lets_go() -> None:
    """An upright pole held by one rope falls the other way when pushed towards the rope's peg."""
    scene = """
asked = ["tension in rope"]
[points]
A = ["0 m", "0 m"]
B = ["0 m", "1 m"]
P = ["-1 m", "0 m"]
[rods]
AB = { ends = ["A", "B"], weight = "10 N" }
[members]
rope = { kind = "string", between = ["B", "P"] }
[supports]
hinge = { kind = "fixed hinge", at = "A" }
hook = { kind = "hook", at = "P" }
[loads]
wind = { force = "%s N", direction = "right", at = "B" }
"""
    assert trial(parse_scene(HEAD + scene % "5", "pole"), {}).outcome == "holds"
    gone = trial(parse_scene((HEAD + scene % "5").replace('"right"', '"left"'), "pole"), {})

    assert (gone.outcome, gone.about) == ("goes slack", "rope")


RAIL = """
asked = ["least mu"]
[symbols]
mu = { meaning = "friction", between = ["0", "any"] }
[points]
A = ["0 m", "0 m"]
B = { from = "A", length = "1 m", direction = "down", lean = "40 deg", to = "right" }
[rods]
AB = { ends = ["A", "B"], weight = "20 N" }
[supports]
rail = { kind = "rough wire", at = "A", friction = "mu" }
[loads]
breeze = { force = "20*tan(40 deg)/2 N", direction = "right", at = "B" }
"""


def test_a_ring_on_a_rail_slips_where_the_breeze_is_more_than_friction_bears() -> None:
    """The ring bears W and P = W tan(40)/2 (moments about A): it slips for mu < tan(40)/2; by hand."""
    frame = parse_scene(HEAD + RAIL, "rail")
    found = bracket(frame, limit(frame, "mu", tan(radians(40)) / 2, True), True)

    assert (found.verdict, found.margin) == ("bracketed", 1e-3)
    assert (found.outside.outcome, found.outside.about, found.outside.way) == ("slips", "A", "to the right")


def test_what_strains_decide_is_refused_by_name() -> None:
    """Members that stretch by little share a load as rigid bars do not: said, not tried."""
    frame = parse_scene(HEAD + RAIL.replace('asked = ["least mu"]', ""), "rail")
    tie = Link("tie", "light rod", (Place("AB", "B"), Place(GROUND, "A")), stiffness=Quantity.of(3))

    with pytest.raises(BadInput, match="stretching members"):
        trial(replace(frame, links={"tie": tie}), frame.shown)


def test_an_end_that_is_not_there_is_refused() -> None:
    """A range without an upper end has nothing to try there."""
    frame = read_scene(PUBLISHED / "ladder-smooth-wall-least-mu.toml")
    found = limit(frame, "mu", 0.3, True)

    with pytest.raises(BadInput, match="nothing to try"):
        bracket(frame, replace(found, high=None), False)
