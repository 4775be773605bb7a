"""Supports and contacts of a scene: which way they push, how rough they are, what is about to happen."""

from __future__ import annotations

import math

import pytest

from simlab.errors import SceneError
from simlab.frame.model import GROUND, Place
from simlab.frame.scene import parse_scene

HEAD = """
title = "t"
question = "q"
source = "our own"
UNHINGED
[symbols]
W = { meaning = "a weight", shown = "5 N" }
mu = { meaning = "coefficient of friction", shown = "1/2" }
a = { meaning = "a length", shown = "1 m" }
theta = { meaning = "an angle", shown = "30 deg" }
[points]
A = ["0", "0"]
B = { from = "A", length = "4*a", angle = "theta" }
H = { middle = ["A", "B"] }
O = { from = "H", square_to = ["A", "B"], side = "down", length = "a" }
U = ["0", "4*a"]
V = { middle = ["A", "U"] }
"""
RODS = '[rods]\nAB = { ends = ["A", "B"], weight = "W" }\nAU = { ends = ["A", "U"], weight = "W" }\n'
HOOK = '[supports]\nhook = { kind = "hook", at = "A" }\n'


def scene(more: str, unhinged: str = ""):
    """A scene of a sloping and an upright rod, with more to it."""
    return parse_scene(HEAD.replace("UNHINGED", unhinged) + more)


def support(keys: str):
    """The one contact that a support makes."""
    (contact,) = scene(RODS + HOOK + f"it = {{ {keys} }}").contacts.values()
    return contact


def way(contact) -> float:
    """The direction of its normal in degrees, for theta = 30 deg, a = 1."""
    shown = scene(RODS + HOOK).shown
    x, y = (part.number(shown) for part in contact.normal)
    return math.degrees(math.atan2(y, x)) % 360


# Directions by the geometry of the sketch: AB rises at 30 degrees to the right, AU is upright, O lies
# below the middle of AB, at right angles to it.
WAYS = {
    'kind = "rough floor", at = "B"': 90,
    'kind = "rough floor", at = "B", slope = "10 deg"': 100,
    'kind = "smooth floor", at = "B", slope = "atan(1)"': 135,
    'kind = "rough wall", at = "B", faces = "left"': 180,
    'kind = "smooth peg", at = "H"': 120,
    'kind = "smooth peg", at = "H", side = "above"': 300,
    'kind = "smooth peg", at = "H", side = "left"': 300,
    'kind = "rough peg", at = "V", side = "left"': 0,
    'kind = "rough peg", at = "V", side = "right"': 180,
    'kind = "rough cylinder", at = "H", centre = "O"': 120,
    'kind = "smooth bowl", at = "B", centre = "A"': 210,
    'kind = "rough wire", at = "B", centre = "A"': 210,
    'kind = "smooth wire", at = "B"': 90,
    'kind = "smooth wire", at = "B", direction = "up"': 180,
    'kind = "smooth wire", at = "B", slope = "theta"': 120,
}


@pytest.mark.parametrize("keys", WAYS)
def test_a_support_pushes_square_to_what_touches(keys):
    """Floors and walls by their slope, pegs across the rod, cylinders from and bowls to their centre."""
    assert way(support(keys)) == pytest.approx(WAYS[keys], abs=1e-9)


def test_rough_supports_have_a_coefficient_or_are_rough_enough():
    """Rough, smooth, and what a ring on a wire can do."""
    given = support('kind = "rough floor", at = "B", friction = "2*mu"')

    assert (True, "2*mu", False) == (given.rough, str(given.friction), given.two_sided)
    assert support('kind = "rough floor", at = "B"').friction is None
    assert not support('kind = "smooth floor", at = "B"').rough
    assert support('kind = "smooth wire", at = "B"').two_sided


def test_a_support_may_be_about_to_give_way():
    """About to slip, perhaps one way; about to lift."""
    slips = support('kind = "rough floor", at = "B", friction = "mu", slips = "right"')

    assert ("slip", ["1", "0"]) == (slips.about_to, [str(part) for part in slips.slips])
    assert support('kind = "rough wall", at = "B", faces = "left", about_to = "slip"').slips is None
    assert "lift" == support('kind = "smooth peg", at = "H", about_to = "lift"').about_to


LEAN = """
[rods]
AB = { ends = ["A", "B"], weight = "W" }
prop = { ends = ["H", "P"], weight = "W" }
plank = { ends = ["U", "R"], weight = "W" }
post = { ends = ["V", "S"], weight = "W" }
[plates]
flag = { lamina = ["T", "X", "Y"], weight = "W" }
[discs]
drum = { centre = "O", radius = "a", weight = "W" }
"""
POINTS = """
P = { from = "H", length = "a", direction = "up" }
R = ["6*a", "4*a"]
S = ["0", "-a"]
T = { from = "A", towards = "B", fraction = "3/4" }
X = { from = "T", length = "a", direction = "up" }
Y = { from = "X", length = "a", direction = "left" }
Z = ["3*a", "4*a"]
"""
CONTACTS = {
    'of = "prop", on = "AB", at = "H"': 120,
    'of = "drum", on = "AB", at = "H"': 300,
    'of = "AB", on = "drum", at = "H"': 120,
    'of = "flag", on = "AB", at = "T"': 120,
    'of = "AB", on = "flag", at = "T"': 300,
    'of = "plank", on = "post", at = "U", across = "plank"': 90,
    'of = "plank", on = "post", at = "U", along = ["U", "R"]': 90,
    'of = "prop", on = "AB", at = "H", side = "above"': 300,
}


@pytest.mark.parametrize("keys", CONTACTS)
def test_a_body_pushes_another_square_to_the_face_that_is_touched(keys):
    """Across the rod or side whose middle part is touched, or from a disc's centre, off the pusher."""
    text = HEAD.replace("UNHINGED", "") + POINTS + LEAN.replace('["V", "S"]', '["U", "S"]')
    frame = parse_scene(f"{text}[contacts]\nit = {{ {keys} }}\n{HOOK}")
    contact = frame.contacts["it"]

    assert way(contact) == pytest.approx(CONTACTS[keys], abs=1e-9)
    assert contact.on.body in keys.split(", on")[0]
    assert f'on = "{contact.by}"' in keys
    assert contact.rough


def test_bodies_that_touch_are_not_hinged_there():
    """A rod's end on another rod makes a contact, no pin."""
    frame = parse_scene(
        HEAD.replace("UNHINGED", "")
        + POINTS
        + LEAN
        + '[contacts]\nit = { of = "prop", on = "AB", at = "H", '
        f"smooth = true }}\n{HOOK}"
    )

    assert "H" not in frame.joints
    assert (Place("prop", "H"), "AB", False) == (
        frame.contacts["it"].on,
        frame.contacts["it"].by,
        frame.contacts["it"].rough,
    )


def test_a_string_runs_over_a_peg_to_a_hanging_weight():
    """The peg is the ground's; the free end with its weight is a pin of its own."""
    frame = scene(
        'Q = ["a", "5*a"]\nS = ["a", "a"]\n'
        + RODS
        + '[members]\ns = { kind = "string", between = ["U", "S"], '
        'over = ["Q"] }\n[loads]\nw = { weight = "W", at = "S" }\n' + HOOK
    )

    assert (Place("AU", "U"), Place(GROUND, "Q"), Place("S", "S")) == frame.links["s"].places
    assert () == frame.joints["S"].bodies


def test_elastic_members_have_stiffness_and_natural_length():
    """Hooke's law: stiffness = modulus / natural length (common practice)."""
    more = 'e = { kind = "elastic string", between = ["B", "U"], natural = "a/4", modulus = "W" }\n'
    more += 's = { kind = "spring", between = ["H", "V"], natural = "0", stiffness = "3 N/m" }\n'
    more += 'r = { kind = "string", between = ["H", "U"], tension = "2*W" }\n'
    links = scene(RODS + "[members]\n" + more + HOOK).links

    assert ("4*W/a", "a/4") == (str(links["e"].stiffness), str(links["e"].natural))
    assert ("3", "0") == (str(links["s"].stiffness), str(links["s"].natural))
    assert "2*W" == str(links["r"].tension)


LOADS = {  # value of the load, by school geometry: AB is 4a long at 30 degrees, its span 4a cos 30
    'couple = "W*a", on = "AB"': ("W*a",),
    'couple = "3 N m", at = "B", turning = "clockwise"': ("-3",),
    'spread = "3 N/m", from = "A", to = "B", on = "AB"': ("0", "-12*a"),
    'spread = "3 N/m", from = "A", to = "B", per = "span"': ("0", "-12*a*cos(theta)"),
    'total = "W", from = "A", to = "B", direction = "right"': ("W", "0"),
    'force = "W", at = "B", square_to = ["A", "B"], side = "up"': ("-W*sin(theta)", "W*cos(theta)"),
    'force = "W", at = "B", towards = "A"': ("-W*cos(theta)", "-W*sin(theta)"),
    'force = "W", at = "B", direction = "down", lean = "30 deg", to = "left"': ("-W/2", "-sqrt(3)*W/2"),
}


@pytest.mark.parametrize("keys", LOADS)
def test_loads_are_what_the_scene_says(keys):
    """Couples anticlockwise, spread loads as their whole, forces by size and way."""
    frame = scene(RODS + HOOK + f"[loads]\nit = {{ {keys} }}")

    assert LOADS[keys] == tuple(str(part) for part in frame.loads["it"].value)


def test_a_spread_load_acts_at_its_middle():
    """A point of the frame and of the rod with a name of its own."""
    frame = scene(RODS + HOOK + '[loads]\nsnow = { spread = "3 N/m", from = "H", to = "B" }')
    place = frame.loads["snow"].place

    assert Place("AB", "middle of snow") == place
    assert "3*a*cos(theta)" == str(frame.points[place.point][0])
    assert frame.bodies["AB"].points[place.point] == frame.points[place.point]


BAD = {
    "a floor's friction when smooth": (
        '[supports]\nf = { kind = "smooth floor", at = "B", friction = "mu" }',
        'Say kind = "rough floor"',
    ),
    "a wall's slope": (
        '[supports]\nf = { kind = "rough wall", at = "B", slope = "theta" }',
        "has no slope",
    ),
    "negative friction": (
        '[supports]\nf = { kind = "rough floor", at = "B", friction = "-1" }',
        "negative",
    ),
    "smooth slip": ('[supports]\nf = { kind = "smooth peg", at = "H", about_to = "slip" }', "smooth"),
    "ring that lifts": (
        '[supports]\nf = { kind = "smooth wire", at = "B", about_to = "lift" }',
        "lift off",
    ),
    "slip into the floor": ('[supports]\nf = { kind = "rough floor", at = "B", slips = "up" }', "slip up"),
    "a peg by an upright rod": ('[supports]\nf = { kind = "smooth peg", at = "V" }', "is upright"),
    "a peg at a hinge": ('[supports]\nf = { kind = "smooth peg", at = "A" }', "which rod the peg touches"),
    "no centre": ('[supports]\nf = { kind = "smooth cylinder", at = "H" }', "where is its centre"),
    "no tangent": (
        '[supports]\nf = { kind = "smooth cylinder", at = "H", centre = "V" }',
        "not square to AB",
    ),
    "no body": ('[contacts]\nc = { of = "AC", on = "AB", at = "H" }\n' + HOOK, "Bodies: AB, AU"),
    "end on end": ('[contacts]\nc = { of = "AU", on = "AB", at = "A" }\n' + HOOK, "both end there"),
    "smooth friction": (
        '[contacts]\nc = { of = "AU", on = "AB", at = "A", smooth = true, friction = "mu" }\n' + HOOK,
        "not both",
    ),
    "no natural length": ('[members]\nm = { kind = "spring", between = ["B", "U"] }\n' + HOOK, "natural"),
    "a stretched rope": (
        '[members]\nm = { kind = "string", between = ["B", "U"], natural = "a" }\n' + HOOK,
        "elastic string",
    ),
    "a rod over a peg": (
        '[members]\nm = { kind = "strut", between = ["B", "U"], over = ["O"] }\n' + HOOK,
        "only a string",
    ),
    "two loads": ('[loads]\nl = { weight = "W", couple = "W*a", at = "B" }\n' + HOOK, "give one of"),
    "a couple on a pin": ('[loads]\nl = { couple = "W*a", at = "A" }\n' + HOOK, "say on which body"),
    "a couple as a force": ('[loads]\nl = { couple = "W", at = "B" }\n' + HOOK, "here goes a moment"),
    "a key of another load": (
        '[loads]\nl = { weight = "W", at = "B", turning = "clockwise" }\n' + HOOK,
        "has no",
    ),
    "spread nowhere": ('[loads]\nl = { spread = "3 N/m", at = "B" }\n' + HOOK, "between which points"),
    "spread off a rod": (
        '[loads]\nl = { spread = "3 N/m", from = "A", to = "O" }\n' + HOOK,
        "no body has both",
    ),
}


@pytest.mark.parametrize("case", BAD)
def test_bad_parts_say_what_is_wrong(case):
    """The message says what came, what is allowed, or what to do."""
    more, what = BAD[case]
    with pytest.raises(SceneError) as caught:
        scene(RODS + more)

    assert what in str(caught.value)
