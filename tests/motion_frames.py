"""The frames of the published motions (published/motion.json), for every road alike.

p: the entry's parameters. What the statement holds at rest is held by a light member, the frame's brace;
frames that swing take an angle to be turned by from rest. Where a frame has no word for a thing it is
built from what it has: a steady turn from the couple that keeps it steady at one angle; the moment inside
a rod from two rods hinged where it is cut and held in line by a light rod at one side.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from math import atan, cos, sin, sqrt, tan

import numpy as np
from small_frames import frame, vec

from simlab.frame.model import GROUND, Contact, Frame, Link, Load, Place, Support
from simlab.frame.quantity import FORCE_PER_LENGTH, LENGTH, MOMENT, NUMBER, Quantity

Data = Mapping[str, float]
Points = dict[str, tuple[float, float]]
FLOOR, WALL = (0.0, 1.0), (1.0, 0.0)
ARM = 0.1  # [m]: of the light rod beside a cut chimney
TIE = 1.0  # [m]: length of a string that holds a frame for the start; any length will do


def turned(points: Points, by: float) -> Points:
    """Points turned anticlockwise about the origin."""
    c, s = cos(by), sin(by)
    return {n: (c * x - s * y, s * x + c * y) for n, (x, y) in points.items()}


# let go from rest


def hexagon(p: Data) -> Frame:
    """A ring of six rods with a string down its middle. The top rod, which is fixed, is left out."""
    a, r = p["a"], p["a"] * sqrt(3)
    points = {"A": (-a, 0.0), "B": (a, 0.0), "C": (2 * a, -r), "D": (a, -2 * r), "E": (-a, -2 * r)}
    points |= {"F": (-2 * a, -r), "K": (0.0, 0.0), "L": (0.0, -2 * r)}
    rods = {name: (name, p["m"] * p["g"]) for name in ("BC", "CD", "EF", "FA")}
    rods["DE"] = ("DEL", p["m"] * p["g"])
    return frame(points, rods, {"KL": ("string", "KL")}, "ABK", brace="KL", gravity=p["g"])


def level_rod(p: Data) -> Frame:
    """A rod hinged at A, its end B held up."""
    points = {"A": (0.0, 0.0), "B": (2 * p["a"], 0.0), "Z": (2 * p["a"], TIE)}
    rods = {"AB": ("AB", p["m"] * p["g"])}
    return frame(points, rods, {"prop": ("string", "BZ")}, "AZ", brace="prop", gravity=p["g"])


def on_a_smooth_floor(p: Data, length: float, lean: float) -> Frame:
    """A rod on its end A, leaning, its top hung from above."""
    x, y = length * sin(lean), length * cos(lean)
    points = {"A": (0.0, 0.0), "B": (x, y), "Z": (x, y + TIE)}
    rods, ties = {"AB": ("AB", p["m"] * p["g"])}, {"tie": ("string", "BZ")}
    return frame(points, rods, ties, "Z", floors={"A": FLOOR}, brace="tie", gravity=p["g"])


def rhombus(p: Data) -> Frame:
    """Four rods hung by a corner, kept open by a light rod."""
    x, y = 2 * p["a"] * sin(p["theta"]), 2 * p["a"] * cos(p["theta"])
    points = {"A": (0.0, 0.0), "B": (x, -y), "C": (0.0, -2 * y), "D": (-x, -y)}
    rods = {name: (name, p["m"] * p["g"]) for name in ("AB", "BC", "CD", "DA")}
    return frame(points, rods, {"BD": ("light rod", "BD")}, "A", brace="BD", gravity=p["g"])


def on_two_strings(p: Data, tops: Points) -> Frame:
    """A level rod hung by two strings, from one point or from two."""
    points = {"A": (-p["a"], 0.0), "B": (p["a"], 0.0)} | tops
    ends = list(tops) * (2 // len(tops))
    strings = {end: ("string", end + top) for end, top in zip("AB", ends, strict=True)}
    rods = {"AB": ("AB", p["m"] * p["g"])}
    return frame(points, rods, strings, "".join(tops), brace="B", gravity=p["g"])


def on_inclined_strings(p: Data) -> Frame:
    """Both strings from one point."""
    return on_two_strings(p, {"O": (0.0, p["a"] * tan(p["alpha"]))})


def on_vertical_strings(p: Data) -> Frame:
    """Each string from a point of its own."""
    return on_two_strings(p, {"P": (-p["a"], p["s"]), "Q": (p["a"], p["s"])})


def two_level_rods(p: Data) -> Frame:
    """Two rods in one level line, hinged at A and to one another, held up by strings at B and C."""
    a = p["a"]
    points = {"A": (0.0, 0.0), "B": (2 * a, 0.0), "C": (4 * a, 0.0), "Y": (2 * a, TIE), "Z": (4 * a, TIE)}
    rods = {rod: (rod, p["m"] * p["g"]) for rod in ("AB", "BC")}
    ties = {"B": ("string", "BY"), "C": ("string", "CZ")}
    return frame(points, rods, ties, "AYZ", brace="B", gravity=p["g"])


def trestle(p: Data) -> Frame:
    """Two rods hinged at the top on a smooth floor, a rope between their feet."""
    x, y = 2 * p["l"] * cos(p["alpha"]), 2 * p["l"] * sin(p["alpha"])
    points = {"A": (0.0, y), "B": (-x, 0.0), "C": (x, 0.0)}
    rods, rope = {name: (name, p["M"] * p["g"]) for name in ("AB", "AC")}, {"rope": ("string", "BC")}
    floors = {"B": FLOOR, "C": FLOOR}
    return frame(points, rods, rope, floors=floors, brace="rope", gravity=p["g"])


def over_an_edge(p: Data) -> Frame:
    """A level rod across the rough edge O, its long end held up."""
    points = {"A": (-p["a"], 0.0), "O": (0.0, 0.0), "B": (3 * p["a"], 0.0), "Z": (3 * p["a"], TIE)}
    rods, ties = {"AB": ("ABO", p["m"] * p["g"])}, {"tie": ("string", "BZ")}
    of = frame(points, rods, ties, "Z", brace="tie", gravity=p["g"])
    mu = Quantity.of(Fraction(p["mu"]))
    edge = Contact("edge at O", Place("AB", "O"), "edge", vec(FLOOR, NUMBER), True, mu)
    support = Support("edge", "rough peg", ("O",), ("edge at O",))
    return replace(of, contacts={"edge at O": edge}, supports={**of.supports, "edge": support})


def ladder(p: Data) -> Frame:
    """A rod between a smooth wall and a smooth floor, its foot tied to the corner."""
    x, y = 2 * p["l"] * cos(p["alpha0"]), 2 * p["l"] * sin(p["alpha0"])
    points = {"A": (x, 0.0), "B": (0.0, y), "O": (0.0, 0.0)}
    rods, ties = {"AB": ("AB", p["m"] * p["g"])}, {"tie": ("string", "AO")}
    return frame(points, rods, ties, "O", floors={"A": FLOOR, "B": WALL}, brace="tie", gravity=p["g"])


# forces in motion


def chimney(p: Data, share: float) -> Frame:
    """A leaning chimney, cut at a share of its height, hinged there and held in line at one side."""
    along, across = (
        np.array([sin(p["theta"]), cos(p["theta"])]),
        np.array([cos(p["theta"]), -sin(p["theta"])]),
    )
    cut, arm = share * p["L"] * along, ARM * across
    top = tuple(p["L"] * along)
    points = {"O": (0.0, 0.0), "C": tuple(cut), "B": top, "Z": (top[0] - TIE, top[1])}
    points |= {"P": tuple(cut + arm - ARM * along), "Q": tuple(cut + arm + ARM * along)}
    weight = p["m"] * p["g"]
    rods = {"OC": ("OCP", share * weight), "CB": ("CBQ", (1 - share) * weight)}
    members = {"side": ("light rod", "PQ"), "tie": ("string", "BZ")}
    return frame(points, rods, members, "OZ", brace="tie", gravity=p["g"])


def on_its_third(p: Data, lean: float) -> Frame:
    """A rod nearly upright on a pivot a third of the way from its lower end, held at its top."""
    way = np.array([sin(lean), cos(lean)])
    top = tuple(4 * p["a"] / 3 * way)
    points = {"A": tuple(-2 * p["a"] / 3 * way), "P": (0.0, 0.0), "B": top, "Z": (top[0] - TIE, top[1])}
    rods, ties = {"AB": ("ABP", p["m"] * p["g"])}, {"tie": ("string", "BZ")}
    return frame(points, rods, ties, "PZ", brace="tie", gravity=p["g"])


def driven(p: Data, at: float) -> Frame:
    """A hinged rod at an angle to the downward vertical, under the couple that balances it at theta."""
    x, y = 2 * p["a"] * sin(at), -2 * p["a"] * cos(at)
    points = {"A": (0.0, 0.0), "B": (x, y), "Z": (x - TIE, y)}
    rods, ties = {"AB": ("AB", p["m"] * p["g"])}, {"tie": ("string", "BZ")}
    of = frame(points, rods, ties, "AZ", brace="tie", gravity=p["g"])
    couple = Quantity.of(Fraction(p["m"] * p["g"] * p["a"] * sin(p["theta"])), MOMENT)
    return replace(of, loads={"drive": Load("drive", "couple", Place("AB", "B"), (couple,))})


# swinging, turned by an angle from where they rest


def pendulum(p: Data, by: float = 0.0) -> Frame:
    """A rod hung by its end."""
    points = turned({"A": (0.0, 0.0), "B": (0.0, -p["L"])}, by)
    return frame(points, {"AB": ("AB", p["m"] * p["g"])}, hooks="A", gravity=p["g"])


def hung_above_its_middle(p: Data, h: float, by: float = 0.0) -> Frame:
    """A rod hung by a point h above its middle."""
    points = {"A": (0.0, p["L"] / 2 - h), "S": (0.0, 0.0), "B": (0.0, -p["L"] / 2 - h)}
    return frame(turned(points, by), {"AB": ("ABS", p["m"] * p["g"])}, hooks="S", gravity=p["g"])


def l_frame(p: Data, by: float = 0.0) -> Frame:
    """Two rods joined at a right angle, by a hinge and a light brace; it leans by atan(1/3)."""
    a = p["a"]
    points = turned({"A": (0.0, 0.0), "B": (0.0, -2 * a), "C": (2 * a, -2 * a)}, by - atan(1 / 3))
    rods = {rod: (rod, p["m"] * p["g"]) for rod in ("AB", "BC")}
    return frame(points, rods, {"brace": ("light rod", "AC")}, "A", gravity=p["g"])


def t_frame(p: Data, by: float = 0.0) -> Frame:
    """Two rods joined in a T, by a hinge and a light brace."""
    length = p["L"]
    drawn = {"S": (0.0, 0.0), "M": (0.0, -length), "E": (-length / 2, -length), "F": (length / 2, -length)}
    rods = {"SM": ("SM", p["m"] * p["g"]), "EF": ("EFM", p["m"] * p["g"])}
    return frame(turned(drawn, by), rods, {"brace": ("light rod", "SE")}, "S", gravity=p["g"])


def in_an_elastic_loop(p: Data, by: float = 0.0) -> Frame:
    """A light rod with a weight at its end; a loop from a point of it round two pegs beside its hinge."""
    a, natural = p["a"], 2 * p["a"]
    drawn = turned({"A": (0.0, 0.0), "B": (0.0, -4 * a), "X": (0.0, -a)}, by)
    loads = {"B": ("weight", (p["m"] * p["g"],))}
    points = {"P": (-a, 0.0), "Q": (a, 0.0), **drawn}
    of = frame(points, {"AB": ("ABX", 0.0)}, hooks="A", loads=loads, gravity=p["g"])
    loop = Link(
        "loop",
        "elastic string",
        (Place("AB", "X"), Place("AB", "X")),
        (Place(GROUND, "P"), Place(GROUND, "Q")),
        natural=Quantity.of(Fraction(natural), LENGTH),
        stiffness=Quantity.of(Fraction(p["lam"] / natural), FORCE_PER_LENGTH),
    )
    return replace(of, links={"loop": loop})


def plank(p: Data, by: float = 0.0) -> Frame:
    """A rod that has rolled on a rough log: it touches where the normal has turned by the angle."""
    a, r = p["a"], p["r"]
    n, t = np.array([-sin(by), cos(by)]), np.array([cos(by), sin(by)])
    touch = r * n
    middle = touch + r * by * t
    points = {"O": (0.0, 0.0), "X": tuple(touch), "A": tuple(middle - a * t), "B": tuple(middle + a * t)}
    of = frame(points, {"AB": ("ABX", p["m"] * p["g"])}, gravity=p["g"])
    contact = Contact("log at X", Place("AB", "X"), "log", vec(tuple(n), NUMBER), True)
    log = Support("log", "rough cylinder", ("X",), ("log at X",), centre="O")
    return replace(of, contacts={"log at X": contact}, supports={"log": log})
