"""Measures of a frame's forces as rows over the unknowns of its equations: what a condition speaks of."""

from __future__ import annotations

from collections.abc import Mapping

from simlab.errors import BadInput
from simlab.exact.direction import size
from simlab.exact.field import Element
from simlab.frame.question import Asked
from simlab.results.forces import Key
from simlab.statics.equations import Component, Equations

Row = Mapping[int, Element]  # over the unknowns


def measured(equations: Equations, asked: Asked) -> Row:
    """A force as a sum over the unknowns: sum of coefficient * unknown; friction along the tangent.

    Raises BadInput for what is no plain multiple of an unknown (the size of a force, a ratio).
    """
    frame, one, at = equations.frame, equations.field.one, asked.at
    match asked.measure:
        case "tension" | "thrust" if at in frame.links:
            link, sign = frame.links[at], one if asked.measure == "tension" else -one
            length = one if link.over else size(*equations.along(at))[0]
            return {equations.of_link(link): sign * length}
        case "normal" | "reaction" | "friction" if at in frame.contacts:
            contact = frame.contacts[at]
            part: Component = "rub" if asked.measure == "friction" else "push"
            if (Key.of(contact), part) in equations.number:
                length = size(*equations.vec(contact.normal))[0]
                return {equations.number[Key.of(contact), part]: length}
        case "across" | "upwards":
            part = "x" if asked.measure == "across" else "y"
            for (of, kind), number in equations.number.items():
                if isinstance(of, Key) and of.at == at and kind == part and asked.on in (None, of.on):
                    return {number: one}
    raise BadInput(
        f'"{asked.words}" cannot stand in a condition: a tension or thrust, a normal reaction, or a '
        "horizontal or vertical force at a hinge can."
    )
