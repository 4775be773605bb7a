"""Exact components -> exact magnitude and direction, as a book states a force."""

from __future__ import annotations

from collections.abc import Mapping

from simlab.errors import BadInput
from simlab.exact.direction import direction, magnitude, size
from simlab.exact.field import Field
from simlab.exact.form import textbook
from simlab.frame.model import Values, Vec
from simlab.frame.quantity import FORCE, Quantity
from simlab.results.forces import Key
from simlab.results.statics import Statics
from simlab.results.vector import OnSlope, Vector


def vectors(statics: Statics) -> Mapping[Key, Vector]:
    """The magnitude sqrt(X^2 + Y^2) [N] and direction of every force; one of no exact form is left out."""
    known: dict[tuple[Quantity, Quantity], Vector | None] = {}
    found = {}
    for key, reaction in statics.case.forces.reactions.items():
        if reaction.force not in known:
            known[reaction.force] = vector(reaction.force, statics.values)
        result = known[reaction.force]
        if result is not None:
            found[key] = result
    return found


def vector(force: Vec, values: Values) -> Vector | None:
    """The magnitude and direction of one force (X, Y) [N]; None where they have no exact form here.

    >>> from fractions import Fraction
    >>> two, three = (Quantity.of(n, FORCE) for n in (2, 3))
    >>> found = vector((-three, two), {})
    >>> str(found.size), str(found.angle), found.right, found.up
    ('sqrt(13)', 'atan(2/3)', -1, 1)
    """
    exprs = [part.expr for part in force]
    try:
        field = Field.containing(exprs, {name: value.expr for name, value in values.items()})
        x, y = (field.element(expr) for expr in exprs)
        way = direction(x, y)
        return Vector(Quantity(magnitude(x, y), FORCE), Quantity(way.angle), way.right, way.up)
    except BadInput:
        return None


def to_vertical(found: Vector, values: Values) -> Quantity:
    """The acute angle of a force's line to the vertical: arctan(3/2) where the other is arctan(2/3).

    >>> two = Quantity.of(2)
    >>> str(to_vertical(Vector(two, (two / Quantity.of(3)).function("atan"), 1, 1), {}))
    'atan(3/2)'
    """
    right_angle = Quantity.pi() / Quantity.of(2)
    tangent = found.angle.tangent
    if tangent is None:
        return right_angle - found.angle
    try:
        field = Field.containing([tangent.expr], {name: value.expr for name, value in values.items()})
        cotangent = field.one / field.element(tangent.expr)
        return Quantity(textbook(cotangent)).function("atan")
    except BadInput:
        return right_angle - found.angle


def on_slope(statics: Statics, key: Key) -> OnSlope | None:
    """The normal reaction and the friction at a rough sloping contact; None anywhere else."""
    contact = statics.frame.contacts.get(key.at)
    reaction = statics.case.forces.reactions[key]
    if contact is None or not contact.rough:
        return None
    exprs = [part.expr for part in (*reaction.force, *contact.normal)]
    try:
        field = Field.containing(exprs, {name: value.expr for name, value in statics.values.items()})
        fx, fy, nx, ny = (field.element(expr) for expr in exprs)
        if nx.sign() == 0 or ny.sign() == 0:
            return None
        length, _ = size(nx, ny)
        push, rub = (fx * nx + fy * ny) / length, (fx * ny - fy * nx) / length
        if rub.sign() == 0 or push.sign() <= 0:
            return None
        up = -nx.sign() * rub.sign() > 0  # along the tangent (ny, -nx)
        friction = rub if rub.sign() > 0 else -rub
        return OnSlope(Quantity(textbook(push), FORCE), Quantity(textbook(friction), FORCE), up)
    except BadInput:
        return None
