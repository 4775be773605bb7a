"""Frames for the simulation's tests, built from plain numbers: the scene reader plays no part."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from math import cos, pi, sin, sqrt
from typing import Any

from simlab.frame.model import GROUND, Body, Contact, Frame, Joint, Link, Load, Place, Support, Vec
from simlab.frame.quantity import ACCELERATION, FORCE, LENGTH, NUMBER, Quantity, distance2

HALF = Quantity.of(1) / Quantity.of(2)
Numbers = tuple[float, float]


def vec(numbers: Sequence[float], dim: tuple[int, int, int] = LENGTH) -> Vec:
    """A vector of exactly these doubles."""
    x, y = (Quantity.of(Fraction(number), dim) for number in numbers)
    return x, y


def frame(
    points: Mapping[str, Numbers],
    rods: Mapping[str, tuple[Sequence[str], float]],
    members: Mapping[str, tuple[Any, Sequence[str]]] | None = None,
    hooks: Sequence[str] = "",
    built_in: Sequence[str] = "",
    floors: Mapping[str, Numbers] | None = None,
    loads: Mapping[str, tuple[Any, tuple[float, ...]]] | None = None,
    brace: str | None = None,
    gravity: float = 10.0,
) -> Frame:
    """A frame of points; a word names points of one letter each, a tuple names any.

    rods: "ABP", weight [N]: ends A and B, P between; members: kind, "AB"; floors: normal by point;
    loads by point: "weight" or "force", components [N].
    """
    members, floors, loads = members or {}, floors or {}, loads or {}
    where = {name: vec(xy) for name, xy in points.items()}
    bodies = {}
    for name, (on, weight) in rods.items():
        a, b = where[on[0]], where[on[1]]
        centre = ((a[0] + b[0]) * HALF, (a[1] + b[1]) * HALF)
        gyration2 = distance2(a, b) / Quantity.of(12)
        named = {p: where[p] for p in on}
        w = Quantity.of(Fraction(weight), FORCE)
        bodies[name] = Body(name, "rod", named, (a, b), w, centre, gyration2)
    joints = {}
    for point in points:
        meeting = tuple(name for name, (on, _) in rods.items() if point in on)
        tied = sum(point in ends for _, ends in members.values())
        if point in built_in:
            joints[point] = Joint(point, "built-in", point, (GROUND, *meeting))
        elif point in hooks:
            joints[point] = Joint(point, "pin", point, (GROUND, *meeting))
        elif len(meeting) > 1 or (not meeting and tied > 1):
            joints[point] = Joint(point, "pin", point, meeting)

    def place(point: str) -> Place:
        if point in joints and joints[point].kind == "pin":
            return Place(point, point)
        return Place(next(name for name, (on, _) in rods.items() if point in on), point)

    contacts, supports = {}, {}
    for point, normal in floors.items():
        name = f"floor {point} at {point}"
        contacts[name] = Contact(name, place(point), f"floor {point}", vec(normal, NUMBER))
        supports[f"floor {point}"] = Support(f"floor {point}", "smooth floor", (point,), (name,))
    for point in (*hooks, *built_in):
        kind: Any = "built-in" if point in built_in else "hook"
        supports[f"support {point}"] = Support(f"support {point}", kind, (point,), (point,))
    return Frame(
        name="small",
        title="small",
        question="",
        source="the tests' own",
        symbols={},
        points=where,
        bodies=bodies,
        joints=joints,
        links={n: Link(n, kind, (place(ends[0]), place(ends[1]))) for n, (kind, ends) in members.items()},
        contacts=contacts,
        supports=supports,
        loads={
            f"load {p}": Load(
                f"load {p}", kind, place(p), tuple(Quantity.of(Fraction(v), FORCE) for v in parts)
            )
            for p, (kind, parts) in loads.items()
        },
        gravity=Quantity.of(Fraction(gravity), ACCELERATION),
        brace=brace,
    )


def letters(n: int, first: str = "A") -> list[str]:
    """Names of n points: A to Z, then A1 to Z1, and so on; or from a small a."""
    return [chr(ord(first) + i % 26) + (str(i // 26) if i >= 26 else "") for i in range(n)]


def arch(rise: float, weight: float = 10.0) -> Frame:
    """Two rods hinged to each other and to two level hinges 2 m apart."""
    points = {"A": (0.0, 0.0), "C": (1.0, rise), "B": (2.0, 0.0)}
    return frame(points, {"AC": ("AC", weight), "CB": ("CB", weight)}, hooks="AB")


def rhombus(drop: float, weight: float = 10.0) -> Frame:
    """Four rods of 1 m hung by a corner, the side corners `drop` below it, kept apart by a strut."""
    x = sqrt(1 - drop * drop)
    points = {"A": (0.0, 0.0), "B": (-x, -drop), "C": (0.0, -2 * drop), "D": (x, -drop)}
    rods = {name: (name, weight) for name in ("AB", "AD", "BC", "DC")}
    return frame(points, rods, {"brace": ("strut", "BD")}, hooks="A", brace="brace")


def rod_at(angle: float, weight: float = 10.0) -> Frame:
    """A rod of 1 m hung by an end, turned by an angle from hanging straight down."""
    return frame({"A": (0.0, 0.0), "B": (sin(angle), -cos(angle))}, {"AB": ("AB", weight)}, hooks="A")


def stepladder(weights: Numbers = (10.0, 20.0), slope: float = 0.5) -> Frame:
    """Two legs of 1 m on a smooth floor, a rope between them 0.3 m up the legs."""
    x, y = sin(slope), cos(slope)
    points = {"C": (0.0, y), "A": (-x, 0.0), "B": (x, 0.0)}
    points |= {"U": (-0.7 * x, 0.3 * y), "V": (0.7 * x, 0.3 * y)}
    rods = {"CA": ("CAU", weights[0]), "CB": ("CBV", weights[1])}
    floors = {"A": (0.0, 1.0), "B": (0.0, 1.0)}
    return frame(points, rods, {"rope": ("string", "UV")}, floors=floors, brace="rope")


def polygon(n: int, weight: float = 10.0, heavy: Sequence[int] = (), heavier: float = 10000.0) -> Frame:
    """A ring of n rods hung by a corner and kept in shape by n - 3 light rods from that corner.

    heavy : the rods that weigh more
    """
    names = letters(n)
    points = {name: (sin(2 * pi * i / n), cos(2 * pi * i / n)) for i, name in enumerate(names)}
    weights = [heavier if i in heavy else weight for i in range(n)]
    sides = zip(names, names[1:] + names[:1], weights, strict=True)
    rods = {a + b: ((a, b), w) for a, b, w in sides}
    members = {f"brace {p}": ("light rod", (names[0], p)) for p in names[2:-1]}
    return frame(points, rods, members, hooks=names[:1])


def row(rods: int, weight: float = 10.0) -> Frame:
    """Level rods in a row, the first hinged to a wall, the far end of each hung by a light rod."""
    names, above = letters(rods + 1), letters(rods + 1, "a")[1:]
    points = {name: (float(i), 0.0) for i, name in enumerate(names)}
    points |= {name: (float(i), 1.0) for i, name in enumerate(above, 1)}
    heavy = {a + b: ((a, b), weight) for a, b in pairwise(names)}
    hangers = {f"hanger {b}": ("light rod", (a, b)) for a, b in zip(names[1:], above, strict=True)}
    return frame(points, heavy, hangers, hooks=(names[0], *above))


def tower(panels: int, weight: float = 10.0, top: float = 10.0) -> Frame:
    """Square panels of three heavy rods and a light diagonal, one on the other."""
    left, right = letters(panels + 1), letters(panels + 1, "a")
    points = {name: (0.0, float(i)) for i, name in enumerate(left)}
    points |= {name: (1.0, float(i)) for i, name in enumerate(right)}
    return frame(points, *_panels(left, right, weight, top), hooks=(left[0], right[0]))


def cantilever(panels: int, weight: float = 10.0, end: float = 10.0) -> Frame:
    """The same panels out from a wall, one beside the other."""
    upper, lower = letters(panels + 1), letters(panels + 1, "a")
    points = {name: (float(i), 0.0) for i, name in enumerate(upper)}
    points |= {name: (float(i), -1.0) for i, name in enumerate(lower)}
    return frame(points, *_panels(upper, lower, weight, end), hooks=(upper[0], lower[0]))


def _panels(one: list[str], other: list[str], weight: float, last: float) -> tuple[Any, Any]:
    """Rods and members of panels between two rows of points; the last beam may weigh more."""
    rods, members = {}, {}
    for i in range(len(one) - 1):
        beam = (one[i + 1], other[i + 1])
        for ends in (one[i : i + 2], other[i : i + 2], beam):
            rods["".join(ends)] = (ends, weight)
        members["brace " + one[i]] = ("light rod", (one[i], other[i + 1]))
    rods["".join(beam)] = (beam, last)
    return rods, members


def bow(
    rods: int,
    weight: float = 10.0,
    heavy: Sequence[int] = (),
    heavier: float = 10000.0,
    thin: bool = False,
) -> Frame:
    """An arch along a half circle between two hinges: two stiff halves leaning on each other.

    Each half is braced from its own hinge, or, `thin`, over each of its joints. heavy : the rods that
    weigh more
    """
    names = letters(rods + 1)
    points = {name: (-cos(pi * i / rods), sin(pi * i / rods)) for i, name in enumerate(names)}
    weights = [heavier if i in heavy else weight for i in range(rods)]
    crown = rods // 2
    if thin:
        ends = [(names[i - 1], names[i + 1]) for i in range(1, rods) if i != crown]
    else:
        ends = [(names[0], name) for name in names[2 : crown + 1]]
        ends += [(names[-1], name) for name in names[crown:-2]]
    return frame(
        points,
        {a + b: ((a, b), w) for (a, b), w in zip(pairwise(names), weights, strict=True)},
        {f"brace {a}{b}": ("light rod", (a, b)) for a, b in ends},
        hooks=(names[0], names[-1]),
    )
