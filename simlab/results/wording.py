"""Reactions in words, as a reader would name them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import TypeVar

from simlab.frame.model import GROUND, Frame, Values
from simlab.frame.quantity import FORCE, LENGTH, MASS, MOMENT, NUMBER, Dim, Quantity
from simlab.results.forces import Key
from simlab.results.trace import Event

Piece = TypeVar("Piece")

# Below this share of the largest force a component is rounding, not a direction to speak of.
NOTHING = 1e-9
FIGURES = 3  # significant: what a class writes
LARGE = 1e4  # [N]: from here on a class counts in kN
KILO = 1000
CAUTION = "For teaching: rigid, ideal rods and smooth hinges. No basis for building or hanging anything."
MOST = 100  # in an exact number that a class would still write down


def in_words(frame: Frame, key: Key) -> str:
    """Which force a key means.

    >>> from simlab.frame.scene import read_scene
    >>> in_words(read_scene("scenes/kite_lantern.toml"), Key("LB", "L", "L"))
    'at L, on LB'
    >>> in_words(read_scene("scenes/kite_lantern.toml"), Key("K", "K", "ground"))
    'hook at K, on the frame'
    """
    if key.by == GROUND:
        support = next(s.name for s in frame.supports.values() if key.at in s.joints_or_contacts)
        on = "the frame" if key.on == key.at else key.on
        return f"{spaced(support)} at {key.at}, on {on}"
    on = f"the pin {key.on}" if key.on in frame.joints else key.on
    return f"at {key.at}, on {on}" if key.by == key.at else f"{spaced(key.at)}, on {on}"


def as_asked(frame: Frame, key: Key) -> str:
    """A force as a question asks for it: "reaction at A", "force at L on LB"."""
    contact = frame.contacts.get(key.at)
    at = key.at if contact is None else contact.on.point
    return f"reaction at {at}" if key.by in (GROUND, *frame.supports) else f"force at {at} on {key.on}"


def called(name: str | None) -> str:
    """A member as one speaks of it: "the spreader", "the wall hook", but "AC".

    >>> called("wall_hook"), called("AC"), called(None)
    ('the wall hook', 'AC', 'the brace')
    """
    words = spaced(name or "brace")
    return words if words.isupper() else f"the {words}"


def in_motion(frame: Frame, event: Event) -> str:
    """What happens in a fall, as a caption; nothing for what needs no words."""
    about = event.about
    if about in frame.links:
        what = {
            "slack": "goes slack",
            "taut": "comes taut",
            "fallen": "falls out",
            "lifted": "comes off its peg",
            "contact": "has its end at the peg: it jams",
        }.get(event.kind)
        return capital(f"{called(about)} {what}") if what else ""
    if about in frame.contacts:
        contact = frame.contacts[about]
        point = contact.on.point
        if event.kind == "off":
            return capital(f"{contact.on.body} slides off {called(contact.by)}")
        what = {"lifted": "lifts off", "slip": "slips", "contact": "comes down again"}.get(event.kind)
        return f"{point} {what}" if what else ""
    if event.kind != "contact":
        return ""
    if about in frame.joints:
        return "The rods meet: they are thick, and fold no further"
    if all(name in frame.bodies for name in about.split(", ")):
        return "They meet"
    return "It has come down"


def capital(text: str) -> str:
    """The text with its first letter as a capital, the others as they are."""
    return text[:1].upper() + text[1:]


def listed(names: Sequence[str]) -> str:
    """Names one after another as one says them.

    >>> listed(["A"]), listed(["A", "B", "C"])
    ('A', 'A, B and C')
    """
    return "".join(series(names))


def series(pieces: Sequence[Piece]) -> list[Piece | str]:
    """What `listed` does for pieces of a sentence: letters and sums stay what they are.

    >>> series([1, 2, 3])
    [1, ', ', 2, ' and ', 3]
    """
    found: list[Piece | str] = []
    for k, piece in enumerate(pieces):
        found += [" and " if k == len(pieces) - 1 else ", "] if k else []
        found.append(piece)
    return found


def spaced(name: str) -> str:
    """A name as one reads it: "wall hook" for "wall_hook"."""
    return name.replace("_", " ")


def member_force(frame: Frame, link: str, tension: float, largest: float) -> str:
    """Whether a light member carries thrust or tension: 'thrust in spreader'."""
    if abs(tension) <= NOTHING * largest:
        kind = "thrust" if frame.links[link].kind == "strut" else "tension"
    else:
        kind = "tension" if tension > 0 else "thrust"
    return f"{kind} in {spaced(link)}"


def figures(value: float, digits: int = FIGURES) -> str:
    """A number to so many significant figures, halves away from zero, with a true minus and no exponent.

    >>> figures(14.7703), figures(136.5), figures(-0.02068), figures(123456.0), figures(9.996), figures(0.0)
    ('14.8', '137', '−0.0207', '123000', '10.0', '0')
    """
    if value == 0:
        return "0"
    exact = Decimal(repr(value))
    rounded = exact.quantize(Decimal(1).scaleb(exact.adjusted() + 1 - digits), ROUND_HALF_UP)
    places = digits - 1 - rounded.adjusted()  # 9.996 has become 10.00: one place less
    return f"{rounded:.{max(places, 0)}f}".replace("-", "−")


@dataclass(frozen=True)
class Sides:
    """What a reader calls the two sides."""

    right: str = "to the right"
    left: str = "to the left"


def sides(frame: Frame) -> Sides:
    """'towards the wall' and 'away from the wall' where there is one wall, else right and left.

    >>> from simlab.frame.scene import read_scene
    >>> sides(read_scene("scenes/banner_bracket.toml")).left
    'towards the wall'
    """
    normals = [support.faces for support in frame.supports.values() if support.faces is not None]
    for support in frame.supports.values():
        if support.kind.endswith("wall"):
            normals += [frame.contacts[name].normal for name in support.joints_or_contacts]
    ways = {(x.number(frame.shown) > 0, y.number(frame.shown) == 0) for x, y in normals}
    if ways == {(True, True)}:
        return Sides("away from the wall", "towards the wall")
    if ways == {(False, True)}:
        return Sides("towards the wall", "away from the wall")
    return Sides()


def sense(right: int, up: int, to: Sides) -> str:
    """One or two senses in words: 'upwards', 'to the left', 'upwards and to the left'."""
    words = {1: "upwards", -1: "downwards", 0: ""}[up], {1: to.right, -1: to.left, 0: ""}[right]
    return " and ".join(word for word in words if word)


def reads_well(value: Quantity) -> bool:
    """Whether a number without letters is one that a class writes down as it is.

    Whole numbers, decimals of one place, and what has no whole number above 100 in it (5/3, 3*sqrt(73)/2).
    Of others (3185/24) a class writes 3 figures.

    >>> from fractions import Fraction
    >>> [reads_well(Quantity.of(Fraction(n, m))) for n, m in ((1200, 1), (735, 10), (5, 3), (3185, 24))]
    [True, True, True, False]
    """
    if value.decimal is not None and len(value.decimal.partition(".")[2]) <= 1:
        return True
    return all(int(number) <= MOST for number in re.findall(r"\d+", str(value)))


UNITS: Mapping[Dim, str] = {FORCE: " N", MOMENT: " N m", LENGTH: " m", MASS: " kg", NUMBER: ""}


def unit_of(quantity: Quantity) -> str:
    """The unit to put after a value, with the space before it."""
    return UNITS.get(quantity.dim, "")


def scaled(quantity: Quantity, value: float) -> tuple[int, str]:
    """In what a class counts a force or a moment of this size: (1, " N"), from 10 kN on (1000, " kN")."""
    unit = unit_of(quantity)
    if quantity.dim in (FORCE, MOMENT) and abs(value) >= LARGE:
        return KILO, f" k{unit.strip()}"
    return 1, unit


def needs_unit(quantity: Quantity, values: Values) -> bool:
    """Whether an expression is a bare number of its unit: 637/22, or 147 mu/20, but not W/2.

    Found by counting in other units of force, length and time: an expression that is complete changes as
    its dimension says.
    """
    if quantity.dim == NUMBER:
        return False
    units = {name: _in_other_units(values[name].dim) for name in quantity.names}
    at = {name: values[name] * Quantity.of(factor) for name, factor in units.items()}
    here, there = quantity.number(values), quantity.number(at)
    return abs(there - here * float(_in_other_units(quantity.dim))) > NOTHING * abs(there)


def _in_other_units(dim: Dim) -> Fraction:
    force, length, time = (Fraction(n) for n in (3, 5, 7))
    return force ** dim[0] * length ** dim[1] * time ** dim[2]
