"""Pure edits of a frame: its bodies given by masses instead of weights, or the other way about.

Only weights change: of bodies, and of what hangs from them. Other forces, couples, loads per length stay.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

from simlab.frame import prose
from simlab.frame.change import at, put
from simlab.frame.manuscript import somewhere
from simlab.frame.model import Frame, Load, Name
from simlab.frame.quantity import ACCELERATION, FORCE, MASS, Quantity
from simlab.frame.question import Asked, Given, Symbol

TEN = Quantity.of(10, ACCELERATION)  # in round numbers a kilogram weighs ten newtons
NEAR_TEN = 0.25  # [m/s^2] from 10 to 9.8 and 9.81, and then some
SHORT = 100  # a mass that is written down as it is, is a whole number of these parts of a kilogram
MASSES, WEIGHTS = ("m", "M"), ("W", "G")  # letters for them, of which the first that is free is taken
OF_LETTERS = ("value", "least", "greatest", "range")  # what is asked of letters, not of forces
_INDEX = re.compile(r"[A-Za-z]+?(_?\d+|_\w+)?'*")
MASS_NOUN, WEIGHT_NOUN = ("mass", "kg"), ("weight", "N")


def in_masses(frame: Frame) -> Frame:
    """The frame with m*g for each letter W that is a weight; numbers of newtons as masses times g.

    m has the index of W, or one that counts where several letters are weights. Its value shown is a round
    one, a tenth of the newtons, where g is near 10. Numbers of newtons become masses if all of them are
    masses of at most two places.

    >>> from simlab.frame.scene import read_scene
    >>> kite = in_masses(read_scene("scenes/kite_lantern.toml", letter=True))
    >>> str(kite.bodies["LB"].weight), kite.shown["m"].decimal, kite.symbols["m"].meaning
    ('2*g*m', '0.2', 'mass of each short cane')
    """
    letters = [name for name in frame.symbols if name in _weights(frame)]
    new = _names(frame, letters, MASSES)
    g, is_letter = frame.gravity.at(frame.shown), bool(frame.gravity.names)

    def mass(symbol: Symbol) -> Symbol:
        low, high = (_over(end, g, frame.gravity) for end in (symbol.low, symbol.high))
        is_free = low is None and high is None
        round_number = is_free and abs(g.number() - TEN.number()) <= NEAR_TEN
        shown = symbol.shown / (TEN if round_number else g)
        meaning = prose.reworded(symbol.meaning, {"weight": "mass", "weights": "masses"})
        return Symbol(new[symbol.name], meaning, "kg", shown, low, high, symbol.found)

    changed = _relettered(frame, {name: mass(frame.symbols[name]) for name in letters}, frame.gravity)
    times = str(frame.gravity) if is_letter else ""
    for old, letter in new.items():
        changed = _reworded(changed, old, letter, ("weight", "mass"), times)
    numbers = _numbers(changed)
    if not numbers or any(_is_long(weight / g) for weight in numbers):
        return replace(changed, has_masses=frame.has_masses or bool(new))
    question = prose.remeasured(
        changed.question, WEIGHT_NOUN, MASS_NOUN, lambda n: (Quantity.of(n) / Quantity(g.expr)).decimal
    )
    changed = _with_weights(changed, lambda weight: weight if weight.names else weight / g * frame.gravity)
    return replace(changed, question=question, has_masses=True)


def in_weights(frame: Frame) -> Frame:
    """The frame with a weight W for each letter m that is a mass, and with g as a number throughout.

    >>> from simlab.frame.scene import read_scene
    >>> bracket = in_weights(read_scene("scenes/banner_bracket.toml"))
    >>> bracket.has_masses, bracket.question.split(",")[0]
    (False, 'A uniform pole PE of weight 58.8 N and length 2 m is smoothly hinged ...
    """
    g = frame.gravity.at(frame.shown)
    if frame.gravity.names:
        frame = put(frame, {name: frame.shown[name] for name in frame.gravity.names})
    letters = [name for name, symbol in frame.symbols.items() if symbol.shown.dim == MASS]
    new = _names(frame, letters, WEIGHTS)

    def weight(symbol: Symbol) -> Symbol:
        low, high = (None if end is None else end * g for end in (symbol.low, symbol.high))
        meaning = prose.reworded(symbol.meaning, {"mass": "weight", "masses": "weights"})
        return Symbol(new[symbol.name], meaning, "N", symbol.shown * g, low, high, symbol.found)

    changed = _relettered(
        frame, {name: weight(frame.symbols[name]) for name in letters}, Quantity.of(1) / g
    )
    for old, letter in new.items():
        question = prose.relettered(changed.question, f"{old}g", letter, ("weight", "weight"), "")
        changed = _reworded(replace(changed, question=question), old, letter, ("mass", "weight"), "/g")
    question = prose.remeasured(
        changed.question, MASS_NOUN, WEIGHT_NOUN, lambda n: (Quantity.of(n) * Quantity(g.expr)).decimal
    )
    return replace(changed, question=prose.without_gravity(question), has_masses=False)


def _is_long(mass: Quantity) -> bool:
    """Whether a mass in kilograms has more than two places, or is no fraction at all."""
    return not (mass * Quantity.of(SHORT)).expr.is_Integer


def _over(end: Quantity | None, g: Quantity, letter: Quantity) -> Quantity | None:
    """An end of a range of weights as one of masses; one in letters stays in letters."""
    return None if end is None else end / (letter if end.names else g)


def _weighing(frame: Frame) -> Iterator[Quantity]:
    """What bodies and hung loads weigh."""
    yield from (body.weight for body in frame.bodies.values())
    yield from (load.value[0] for load in frame.loads.values() if load.kind == "weight")


def _weights(frame: Frame) -> frozenset[Name]:
    """The letters of forces that stand for weights."""
    names = frozenset(name for weight in _weighing(frame) for name in weight.names)
    return frozenset(name for name in names if frame.symbols[name].shown.dim == FORCE)


def _numbers(frame: Frame) -> list[Quantity]:
    """The weights that are given in newtons."""
    return [weight for weight in _weighing(frame) if not weight.names and not weight.is_zero]


def _with_weights(frame: Frame, change: Callable[[Quantity], Quantity]) -> Frame:
    """The frame with every weight changed."""

    def changed(load: Load) -> Load:
        return replace(load, value=(change(load.value[0]),)) if load.kind == "weight" else load

    return replace(
        frame,
        bodies={n: replace(body, weight=change(body.weight)) for n, body in frame.bodies.items()},
        loads={name: changed(load) for name, load in frame.loads.items()},
    )


def _names(frame: Frame, letters: list[Name], bases: tuple[str, ...]) -> dict[Name, Name]:
    """A new letter for each, with its index; numbered, where there is no telling them apart by that."""
    used = {*frame.symbols, *frame.points, *frame.bodies}
    if len(letters) == 2 and letters[0].swapcase() == letters[1]:  # W and w: M and m
        base = bases[0].lower()
        new = [base.upper() if name.isupper() else base for name in letters]
        if not used & set(new):
            return dict(zip(letters, new, strict=True))
    ends = [(_INDEX.fullmatch(name) or [""] * 2)[1] or "" for name in letters]
    if len(set(ends)) < len(letters):
        ends = [str(k) for k in range(1, len(letters) + 1)]
    for base in bases:
        new = [f"{base}{end}" for end in ends]
        if not used & set(new):
            return dict(zip(letters, new, strict=True))
    return {name: f"{bases[0]}_of_{name}" for name in letters}


def _relettered(frame: Frame, symbols: Mapping[Name, Symbol], factor: Quantity) -> Frame:
    """The frame with new letters, times a factor, put for old ones; in the old order."""
    new: dict[Name, Quantity] = {}
    for old, symbol in symbols.items():
        least = symbol.low if symbol.found and symbol.low is not None else symbol.shown
        value = least.number({**frame.shown, symbol.name: symbol.shown})
        is_positive = value > 0 or (symbol.found and value == 0)
        new[old] = Quantity.symbol(symbol.name, symbol.shown.dim, is_positive)
    products = {old: letter * factor for old, letter in new.items()}
    changed = put(frame, products)
    mine = {old: at(symbol, products) for old, symbol in symbols.items()}  # ends may be in old letters
    kept = {**changed.symbols, **mine}
    given = {symbol.name: symbol.shown for symbol in kept.values() if not symbol.found}
    for name, symbol in kept.items():
        if symbol.found and symbol.low is not None and symbol.high is not None:
            kept[name] = replace(symbol, shown=somewhere(symbol.low, symbol.high, given))
    changed = replace(changed, symbols={kept[name].name: kept[name] for name in frame.symbols})
    asked = tuple(_asked_of(one, new) for one in changed.asked)
    return replace(changed, asked=asked)


def _asked_of(asked: Asked, new: Mapping[Name, Quantity]) -> Asked:
    """Where a letter itself is asked for, the new letter, without its factor."""
    if asked.measure not in OF_LETTERS or asked.at not in new:
        return asked
    letter = new[asked.at]
    words = re.sub(rf"\b{asked.at}$", str(letter), asked.words)
    return replace(asked, words=words, at=str(letter), value=None if asked.value is None else letter)


def _reworded(frame: Frame, old: Name, new: Name, nouns: tuple[str, str], times: str) -> Frame:
    """The frame with a letter of its question, and of what is asked and given, put for another."""
    question = prose.relettered(frame.question, old, new, nouns, times)
    factor = f"*{times}" if times.isidentifier() else times

    def written(words: str) -> str:
        words = re.sub(rf"/{old}\b", f"/({new}{factor})", words)
        return re.sub(rf"\b{old}\b", f"{new}{factor}", words)

    def told(given: Given) -> Given:
        left = given.left if given.left.measure not in OF_LETTERS else _worded(given.left, written)
        start = given.words.startswith(given.left.words) and left is given.left
        n = len(left.words) if start else 0  # "tension in W <= W": the member's name stays
        return replace(given, words=given.words[:n] + written(given.words[n:]), left=left)

    asked = tuple(_worded(a, written) if a.measure == "value" else a for a in frame.asked)
    return replace(frame, question=question, asked=asked, given=tuple(map(told, frame.given)))


def _worded(asked: Asked, written: Callable[[str], str]) -> Asked:
    return replace(asked, words=written(asked.words))
