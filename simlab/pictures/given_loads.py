"""Loads as the question gives them: arrows of one length, not to scale, with their letters or numbers."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import numpy as np

from simlab.frame.model import Load, Name, Values, Vec
from simlab.frame.quantity import FORCE as FORCE_DIM
from simlab.frame.quantity import Quantity, distance2
from simlab.pictures.marks import Arrow, Label, Mark, Point
from simlab.pictures.moments import couples
from simlab.pictures.names import exact, weight_name
from simlab.pictures.palette import FORCE
from simlab.pictures.plan import Plan
from simlab.pictures.spread import bar_of
from simlab.pictures.structure import sides_towards
from simlab.pictures.tails import weights
from simlab.results.forces import Key
from simlab.results.wording import figures

STANDARD, LONGER = 84.0, 124.0  # [page units] of arrows that are not to scale: of weights, of forces
OFF = Fraction(101, 100)  # a second value of a letter, off the first by one part in a hundred
NEAR = 1e-9  # relative: equal to rounding
SIMPLE = 12  # largest denominator of a simple multiple of a letter
LONGEST_TEX = 60  # characters of an expression that still fits beside an arrow


def given_weights(plan: Plan, grain: float) -> list[Mark]:
    """The weights, forces, couples and spread loads of a question, with their names."""
    marks: list[Mark] = []
    for name, tail, force in weights(plan, None, grain):
        load = plan.frame.loads.get(name)
        at = (float(tail[0]), float(tail[1]))
        if float(np.hypot(*force)) == 0:
            continue
        if load is not None and load.kind == "spread":
            marks += _spread_words(plan, load, grain)
        else:
            marks += _given_arrow(plan, name, at, force, grain)
    texts: dict[Key | Name, str] = {
        n: couple_words(plan, load) for n, load in plan.frame.loads.items() if load.kind == "couple"
    }
    marks += couples(plan, grain, texts)
    return marks


def _given_arrow(plan: Plan, name: Name, at: Point, force: Point, grain: float) -> Iterator[Mark]:
    """One arrow of the standard length, and its words at its tip."""
    body, load = plan.frame.bodies.get(name), plan.frame.loads.get(name)
    way = np.array(force) / np.hypot(*force)
    is_force = load is not None and load.kind == "force"
    x, y = way * (LONGER if is_force else STANDARD) * grain
    vector = (float(x), float(y))
    role = "load" if is_force else "weight"
    yield Arrow(name=f"weight of {name}", role=role, tail=at, vector=vector, measure="length")
    if body is not None:
        text = weight_name(body.weight, plan.frame.gravity, plan.frame.has_masses)
    elif load is not None:
        text = load_words(plan, load)
    yield Label(
        name=f"words of weight of {name}",
        role=role,
        anchor=at,
        vector=vector,
        measure="length",
        led=True,
        text=text,
        size=FORCE,
        sides=sides_towards(way) if is_force else ("s", "e", "w", "se", "sw"),
        clearance=8.0,
    )


def _size(quantity: Quantity, plan: Plan) -> Quantity:
    """The size of a quantity, whatever its sign."""
    return -quantity if quantity.number(plan.values) < 0 else quantity


def load_words(plan: Plan, load: Load) -> str:
    """The size of a weight or a force as mathematics: 2W, 6g N, P, 30 N."""
    if load.kind == "weight":
        return weight_name(load.value[0], plan.frame.gravity, plan.frame.has_masses)
    size = magnitude(plan, load.force)
    if size is None:
        return ""
    return exact(size) if size.names else f"{size.decimal or figures(size.number())} N"


def couple_words(plan: Plan, load: Load) -> str:
    """The size of a couple as mathematics: M, 5 N m."""
    size = _size(load.value[0], plan)
    return exact(size) if size.names else f"{size.decimal or figures(size.number())} N m"


def magnitude(plan: Plan, force: Vec) -> Quantity | None:
    """The size of a force in its shortest form: along an axis, a simple multiple of a letter, a number.

    None where it has none so short.
    """
    for one, other in (force, force[::-1]):
        if one.is_zero:
            return _size(other, plan)
    names = sorted(force[0].names | force[1].names)
    off = {**plan.values, **{name: plan.values[name] * Quantity.of(OFF) for name in names}}
    size, size_off = _number(force, plan.values), _number(force, off)
    for name in names:
        if plan.frame.symbols[name].shown.dim != FORCE_DIM:
            continue
        ratio = size / plan.values[name].number()
        multiple = Fraction(ratio).limit_denominator(SIMPLE)
        ratio_off = size_off / off[name].number()
        if abs(float(multiple) - ratio) < NEAR * ratio and abs(ratio - ratio_off) < NEAR * ratio:
            return Quantity.of(multiple) * Quantity.symbol(name, FORCE_DIM)
    whole = (force[0] * force[0] + force[1] * force[1]).sqrt()
    return whole if not names or len(whole.tex) <= LONGEST_TEX else None


def _number(force: Vec, values: Values) -> float:
    """The size of a force in newtons."""
    return float(np.hypot(force[0].number(values), force[1].number(values)))


def _spread_words(plan: Plan, load: Load, grain: float) -> Iterator[Mark]:
    """What a spread load comes to for each metre, beside the middle of its bar."""
    whole = magnitude(plan, load.force)
    if load.spread is None or whole is None:
        return
    points = plan.frame.bodies[load.place.body].points
    each = whole / distance2(*(points[name] for name in load.spread)).sqrt()
    number = each.decimal or figures(each.number()) if not each.names else ""
    text = f"{number} N per metre" if number else f"{exact(each)} per metre"
    bar = bar_of(plan, load, grain)
    x, y = bar.mean(axis=0)
    way = np.array(plan.loads[load.name])
    yield Label(
        name=f"words of weight of {load.name}",
        role="load",
        anchor=(float(x), float(y)),
        text=text,
        size=FORCE,
        sides=sides_towards(-way / np.hypot(*way)),
        clearance=12.0,
    )
