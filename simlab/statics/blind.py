"""Values at which a usual slip gives the right answer: the question then cannot tell who understood."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations
from typing import Any

import sympy as sp

from simlab.frame.model import GROUND, Frame, Name, Values
from simlab.frame.quantity import FORCE, Quantity
from simlab.frame.question import Symbol
from simlab.results.fairness import Blind
from simlab.results.statics import Statics
from simlab.statics.validity import RIGHT_ANGLE, is_nothing

# Tangents of angles with short sines and cosines (3-4-5, 5-12-13), and round angles [degrees].
TANGENTS = tuple(Fraction(n, m) for n, m in ((3, 4), (4, 3), (5, 12), (12, 5)))
ROUND = (30, 60)
HALF_TURN = 180

SWAPPED = "sine and cosine are swapped"
MIXED_UP = "the two are taken for each other"
INVERTED = "the tangent of its direction is turned over"
EQUAL = "they are taken as equal without reason"
NO_UPRIGHT = "its upright part is taken as nothing"


def blind(statics: Statics, symmetric: bool = False) -> tuple[Blind, ...]:
    """Slips (shared/teaching.md, common practice) that go unseen at the values shown.

    `symmetric`: whether the question says that it is, and forces are equal or level for that reason.
    """
    if statics.verdict != "determined":
        return ()
    return (
        *_swaps(statics),
        *_fixed_angles(statics.frame),
        *_twins(statics),
        *_diagonals(statics),
        *(() if symmetric else _equal_reactions(statics)),
        *(() if symmetric else _vanishing(statics)),
    )


def _swaps(statics: Statics) -> Iterator[Blind]:
    """Angles at which every answer that depends on them is the same with sine and cosine swapped."""
    for name, symbol in statics.frame.symbols.items():
        answers = [q.expr for q in _answers(statics) if name in q.names]
        if not symbol.is_angle or symbol.found or not answers:
            continue
        telling = [expr for expr in answers if _depends(expr, name)]
        if not all(_sees(expr, name, statics.values) for expr in telling):
            better = _better(symbol, telling, statics.values)
            yield Blind(symbol.said(symbol.shown), SWAPPED, *better)


def _answers(statics: Statics) -> list[Quantity]:
    """What was asked, and what was found of letters, exactly."""
    found = (root.exact for root in statics.found.values())
    return [*statics.answers.values(), *(exact for exact in found if exact is not None)]


def _letter(expr: Any, name: Name) -> Any:
    return next(s for s in expr.free_symbols if str(s) == name)


def _swapped(expr: Any, name: Name) -> Any:
    letter = _letter(expr, name)
    return expr.subs(letter, RIGHT_ANGLE - letter)


def _sees(expr: Any, name: Name, values: Values) -> bool:
    """Whether the answer tells sine from cosine of the letter at the values."""
    return not is_nothing(expr - _swapped(expr, name), values)


def _depends(expr: Any, name: Name) -> bool:
    """Whether the swap makes any difference at some other value of the letter: sin 2x never shows it."""
    letter, elsewhere = _letter(expr, name), sp.atan(sp.Rational(1, 3))
    others = {s: sp.Rational(7, 5) for s in expr.free_symbols if s != letter}
    difference = (expr - _swapped(expr, name)).subs(letter, elsewhere).subs(others)
    return not is_nothing(difference, {})


def _better(symbol: Symbol, answers: list[Any], values: Values) -> tuple[Quantity | None, Quantity | None]:
    """The nearest better angle in the letter's range: (its tangent if that is the short one, the angle)."""
    angles: list[tuple[Quantity | None, Quantity]] = [
        (Quantity.of(tangent), Quantity.of(tangent).function("atan")) for tangent in TANGENTS
    ]
    angles += [(None, Quantity.pi() * Quantity.of(Fraction(degrees, HALF_TURN))) for degrees in ROUND]
    low, high = symbol.low or Quantity.zero(), symbol.high or Quantity(RIGHT_ANGLE)
    good = [
        (tangent, angle)
        for tangent, angle in angles
        if sp.N(low.expr) <= sp.N(angle.expr) <= sp.N(high.expr)
        and all(_sees(expr, symbol.name, {**values, symbol.name: angle}) for expr in answers)
    ]
    return min(good, key=lambda pair: abs(sp.N(pair[1].expr - symbol.shown.expr)), default=(None, None))


def _fixed_angles(frame: Frame) -> Iterator[Blind]:
    """Rods fixed at 45 degrees."""
    names = []
    for name, body in frame.bodies.items():
        if body.kind == "rod":
            (ax, ay), (bx, by) = body.outline
            x, y = sp.simplify((bx - ax).expr), sp.simplify((by - ay).expr)
            if x != 0 and sp.simplify(x**2 - y**2) == 0:
                names.append(name)
    if names:
        better = Quantity.of(TANGENTS[0])
        verb = "leans" if len(names) == 1 else "lean"
        words = f"{' and '.join(filter(None, (', '.join(names[:-1]), names[-1])))} {verb} at 45°"
        yield Blind(words, SWAPPED, better, better.function("atan"))


def _twins(statics: Statics) -> Iterator[Blind]:
    """Two angles, or two forces, of one value, in an answer that would tell them apart."""
    for one, other in combinations(statics.frame.symbols.values(), 2):
        alike = one.shown.dim == other.shown.dim and one.is_angle == other.is_angle
        if not alike or one.shown.expr != other.shown.expr or one.found or other.found:
            continue
        if not (one.is_angle or one.shown.dim == FORCE):
            continue
        used = [q.expr for q in _answers(statics) if {one.name, other.name} & q.names]
        if used and not all(_is_symmetric(expr, one.name, other.name) for expr in used):
            words = f"{one.said(one.shown)} and {other.said(other.shown)}"
            yield Blind(words, MIXED_UP)


def _is_symmetric(expr: Any, one: Name, other: Name) -> bool:
    letters = {str(s): s for s in expr.free_symbols}
    if not {one, other} <= set(letters):
        return False
    a, b = letters[one], letters[other]
    return bool(sp.simplify(expr - expr.subs({a: b, b: a}, simultaneous=True)) == 0)


def _diagonals(statics: Statics) -> Iterator[Blind]:
    """Forces asked for that make 45 degrees with the horizontal at the values, though not for all."""
    for asked in statics.frame.asked:
        for key, reaction in statics.case.forces.reactions.items():
            if asked.measure in ("force", "reaction") and key.at == asked.at and key.on == asked.on:
                x, y = (part.expr for part in reaction.force)
                if x != 0 and y != 0 and is_nothing(x**2 - y**2, statics.values):
                    yield Blind(f"the {asked.words} is at 45°", INVERTED)


def _equal_reactions(statics: Statics) -> Iterator[Blind]:
    """Two contacts of one support that happen to press alike."""
    reactions = statics.case.forces.reactions
    for support in statics.frame.supports.values():
        for one, other in combinations(support.joints_or_contacts, 2):
            pair = [r.force for k, r in reactions.items() if k.at in (one, other) and k.by != k.at]
            if len(pair) != len((one, other)) or one not in statics.frame.contacts:
                continue
            difference = pair[0][1].expr - pair[1][1].expr
            if sp.simplify(difference) != 0 and is_nothing(difference, statics.values):
                yield Blind(f"the reactions at {one} and {other} are equal", EQUAL)


def _vanishing(statics: Statics) -> Iterator[Blind]:
    """A hinge whose upright force is nothing just at the values."""
    for key, reaction in statics.case.forces.reactions.items():
        upright = reaction.force[1]
        is_hinge = key.by == key.at and GROUND not in statics.frame.joints[key.at].bodies
        if is_hinge and upright.names and is_nothing(upright.expr, statics.values):
            yield Blind(f"the force at {key.at} is level", NO_UPRIGHT)
            return
