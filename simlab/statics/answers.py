"""What a question asks, read off the reactions: a thrust, a tension, the size of a force."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from simlab.errors import BadInput
from simlab.exact.direction import plainest_angle, size
from simlab.exact.field import Element, Field
from simlab.exact.form import textbook
from simlab.frame.model import Values
from simlab.frame.quantity import FORCE, MOMENT, NUMBER, Dim, Quantity
from simlab.frame.question import Asked
from simlab.results.forces import Key
from simlab.results.statics import Condition
from simlab.statics.reactions import Reactions

Size = tuple[Element, tuple[Element, ...]]  # an answer, and what was taken as positive for it


def answered(
    reactions: Reactions, asked: Iterable[Asked]
) -> tuple[Mapping[str, Quantity], tuple[Condition, ...]]:
    """The answers by their words, without those that statics does not settle; on what they hold.

    A thrust or tension is signed: one that turns out to be the other of the two is negative, and whoever
    shows it to a reader names it as what it is; so are components, moments and normal reactions. A force
    or reaction is its size sqrt(X^2 + Y^2), friction its size |F|, a coefficient |F|/N. Least and
    greatest values and ranges are no answers of one state.
    """
    answers: dict[str, Quantity] = {}
    holds: list[Condition] = []
    for one in asked:
        if one.measure == "value" and one.value is not None:
            if _is_real(one.value, reactions.equations.values):
                answers[one.words] = _value(reactions, one.value)
            continue
        found = _found(reactions, one)
        if found is not None:
            (answer, assumed), dim = found, _DIMS.get(one.measure, FORCE)
            answers[one.words] = reactions.printed(answer, dim)
            for quantity in map(reactions.assumed, assumed):
                holds.append(Condition(quantity, one.words, f"{quantity.plain} is positive"))
    return answers, tuple(holds)


_DIMS: dict[str, Dim] = {"moment": MOMENT, "coefficient": NUMBER}  # all else is a force


def _found(reactions: Reactions, asked: Asked) -> Size | None:
    """What is asked of the forces, if statics settles it."""
    at = asked.at
    match asked.measure:
        case "thrust" | "tension":
            if at in reactions.densities:
                tension = reactions.tension(at)
                return (-tension if asked.measure == "thrust" else tension), ()
        case "force" | "reaction":
            force = _force(reactions, asked)
            return None if force is None else size(*force)
        case "across" | "upwards" | "moment":
            component = _component(reactions, asked)
            return None if component is None else (component, ())
        case "normal" | "friction" | "coefficient":
            return _of_contact(reactions, asked)
    return None


def _of_contact(reactions: Reactions, asked: Asked) -> Size | None:
    """The normal reaction N, the size |F| of the friction, or |F|/N."""
    at = asked.at
    pushes, rubs = at in reactions.pushes, at in reactions.rubs
    if asked.measure == "normal":
        return (reactions.push(at), ()) if pushes else None
    if asked.measure == "friction":
        return _size_of_friction(reactions, at) if rubs else None
    if not (pushes and rubs and reactions.push(at).sign()):
        return None
    rub, assumed = _size_of_friction(reactions, at)
    return rub / reactions.push(at), assumed


def _size_of_friction(reactions: Reactions, contact: str) -> Size:
    rub = reactions.rub(contact)
    return size(rub, rub.field.zero)


def _is_asked(key: Key, asked: Asked) -> bool:
    """Whether this is the force on the named body at the connection, or of the support there."""
    return key.at == asked.at and (key.on == asked.on or (asked.on is None and key.by != key.at))


def _force(reactions: Reactions, asked: Asked) -> tuple[Element, Element] | None:
    return next((force for key, force in reactions.forces.items() if _is_asked(key, asked)), None)


def _component(reactions: Reactions, asked: Asked) -> Element | None:
    """A component across or upwards, or the moment; one may be settled where the whole force is not."""
    part = {"across": "x", "upwards": "y"}.get(asked.measure, "moment")
    for key, parts in reactions.settled_parts.items():
        if _is_asked(key, asked):
            return parts.get(part)
    if part == "moment":
        return next((moment for key, moment in reactions.moments.items() if _is_asked(key, asked)), None)
    force = _force(reactions, asked)
    return None if force is None else force[0 if part == "x" else 1]


def _value(reactions: Reactions, value: Quantity) -> Quantity:
    """An expression in the letters in textbook form; as it stands where it has no exact one."""
    letters = {name: known.expr for name, known in reactions.equations.values.items()}
    try:
        if value.is_inverse:
            return Quantity(plainest_angle(value.expr, letters), value.dim)
        return Quantity(textbook(Field.containing([value.expr], letters).element(value.expr)), value.dim)
    except BadInput:
        return value


def _is_real(value: Quantity, values: Values) -> bool:
    """Whether an expression has a value in this shape: the tangent of a right angle has none."""
    try:
        value.number(values)
    except BadInput:
        return False
    return True
