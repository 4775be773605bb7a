"""Measures of a frame's forces as rows over the unknowns of its equations: what a condition speaks of."""

from __future__ import annotations

from collections.abc import Mapping

from simlab.errors import BadInput, SimlabFault
from simlab.exact.field import Element
from simlab.frame.model import Name
from simlab.frame.question import Asked
from simlab.results.forces import Key
from simlab.statics.equations import Equations

Row = Mapping[int, Element]  # over the unknowns


class Measures:
    """The unknowns of some equations by what they are, and measures as sums of them.

    number : of each unknown, by (light member, part) or (connection, part), for pins (body, pin, part)
    """

    def __init__(self, equations: Equations) -> None:
        self.equations = equations
        self.number: dict[tuple[Name, ...], int] = {}
        for i, unknown in enumerate(equations.unknowns):
            if isinstance(unknown.of, Key):
                self.number[unknown.of.on, unknown.of.at, unknown.part] = i
                self.number.setdefault((unknown.of.at, unknown.part), i)
            else:
                self.number[unknown.of, unknown.part] = i

    def of_link(self, link: Name) -> int:
        """The unknown that stands for a light member's force."""
        for part in ("density", "tension"):
            if (link, part) in self.number:
                return self.number[link, part]
        raise SimlabFault(f"the light member {link} has no unknown")

    def row(self, asked: Asked) -> Row:
        """A force as a sum over the unknowns: sum of coefficient * unknown; friction along the tangent.

        Raises BadInput for what is no plain multiple of an unknown (the size of a force, a ratio).
        """
        one = self.equations.field.one
        at = asked.at
        match asked.measure:
            case "tension" | "thrust":
                sign = one if asked.measure == "tension" else -one
                if (at, "tension") in self.number:
                    return {self.number[at, "tension"]: sign}
                return {self.number[at, "density"]: sign * self._length(self.equations.along(at))}
            case "normal" | "reaction" if (at, "push") in self.number:
                return {self.number[at, "push"]: self._length(self._normal(at))}
            case "friction" if (at, "rub") in self.number:
                return {self.number[at, "rub"]: self._length(self._normal(at))}
            case "across" | "upwards":
                part = "x" if asked.measure == "across" else "y"
                key = (at, part) if asked.on is None else (asked.on, at, part)
                if key in self.number:
                    return {self.number[key]: one}
        raise BadInput(
            f'"{asked.words}" cannot stand in a condition: a tension or thrust, a normal reaction, or a '
            "horizontal or vertical force at a hinge can."
        )

    def _normal(self, contact: Name) -> tuple[Element, Element]:
        return self.equations.vec(self.equations.frame.contacts[contact].normal)

    def _length(self, along: tuple[Element, Element]) -> Element:
        x, y = along
        return self.equations.field.with_root(x * x + y * y)[1]
