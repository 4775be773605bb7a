"""Frames with a member to take away, for the laws of what follows: scenes, textbook shapes, random ones."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

from endurance import random_frame
from small_frames import frame, polygon, rhombus, stepladder, tower
from solved import scene

from simlab.frame.model import Frame, Load, Place
from simlab.frame.quantity import FORCE, FORCE_PER_LENGTH, LENGTH, Quantity

SCENES = sorted((Path(__file__).parent.parent / "scenes").glob("*.toml"))
# Strings over pegs and rolling discs are in `showings.py`: the tests' own equations do not know them.
BRACED = {
    path.stem: of
    for path in SCENES
    if (of := scene(path)).brace
    and not any(link.over for link in of.links.values())
    and not any(body.kind == "disc" for body in of.bodies.values())
}
WIND = 5.0  # [N], on a tower that would otherwise stand where it stood


def level_chain(n: int) -> Frame:
    """n level rods of 1 m in a line, hinged to the wall and to one another, the far ends held by ties."""
    names = "ABCDEF"[: n + 1]
    points = {name: (float(i), 0.0) for i, name in enumerate(names)}
    points |= {name.lower(): (float(i), 1.0) for i, name in enumerate(names) if i}
    rods = {a + b: (a + b, 10.0) for a, b in pairwise(names)}
    ties = {f"tie {name}": ("string", name + name.lower()) for name in names[1:]}
    return frame(points, rods, ties, hooks="A" + "".join(names[1:]).lower(), brace=f"tie {names[-1]}")


def in_the_wind(of: Frame, pin: str) -> Frame:
    """A level force to the right on a pin."""
    push = tuple(Quantity.of(Fraction(part), FORCE) for part in (WIND, 0.0))
    return replace(of, loads={"wind": Load("wind", "force", Place(pin, pin), push)})


def let_go_of(of: Frame, brace: str) -> Frame:
    """The frame with another brace to take away."""
    return replace(of, brace=brace)


def sprung_rod() -> Frame:
    """A level rod of 1 m on a hinge, held by a spring at its middle and a string at its end."""
    points = {"A": (0.0, 0.0), "B": (1.0, 0.0), "M": (0.5, 0.0), "Y": (0.5, 1.0), "Z": (1.0, 1.0)}
    members = {"spring": ("spring", "MY"), "tie": ("string", "BZ")}
    of = frame(points, {"AB": ("ABM", 10.0)}, members, hooks="AYZ", brace="tie")
    natural = Quantity.of(Fraction(9, 10), LENGTH)
    stiffness = Quantity.of(30, FORCE_PER_LENGTH)
    spring = replace(of.links["spring"], natural=natural, stiffness=stiffness)
    return replace(of, links={**of.links, "spring": spring})


CASES: dict[str, Frame] = {
    **BRACED,
    "rhombus": rhombus(0.6),
    "hexagon, one brace of three": let_go_of(polygon(6), "brace D"),
    "trestle": stepladder(),
    "tower of three panels in the wind, top brace": let_go_of(in_the_wind(tower(3), "D"), "brace C"),
    "three rods from level, last tie": level_chain(3),
}
RANDOM: dict[str, Frame] = {f"random frame {seed}": random_frame(seed) for seed in range(12)}
