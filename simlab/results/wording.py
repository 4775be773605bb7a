"""Reactions in words, as a reader would name them."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from math import atan2, degrees, hypot

from simlab.frame.model import GROUND, Frame
from simlab.results.forces import Key

# Below this share of the largest force a component is rounding, not a direction to speak of.
NOTHING = 1e-9
FIGURES = 3  # significant: what a class writes


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


def called(name: str | None) -> str:
    """A member as one speaks of it: "the spreader", "the wall hook", but "AC".

    >>> called("wall_hook"), called("AC"), called(None)
    ('the wall hook', 'AC', 'the brace')
    """
    words = spaced(name or "brace")
    return words if words.isupper() else f"the {words}"


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


def way(x: float, y: float) -> str:
    """The direction of a force: 'to the right', '36.9° above the horizontal, to the left'."""
    size = hypot(x, y)
    if size == 0:
        return ""
    side = "right" if x > 0 else "left"
    if abs(y) <= NOTHING * size:
        return f"to the {side}"
    sense = "up" if y > 0 else "down"
    if abs(x) <= NOTHING * size:
        return f"straight {sense}"
    angle = figures(degrees(atan2(abs(y), abs(x))))
    return f"{angle}° {'above' if y > 0 else 'below'} the horizontal, to the {side}"
