"""Pure edits of a frame: each gives a new one."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any

from simlab.errors import BadInput, nearest
from simlab.frame import expression
from simlab.frame.manuscript import somewhere
from simlab.frame.model import GROUND, Frame, Load, Name, Place, Values
from simlab.frame.points import of_kind
from simlab.frame.quantity import FORCE, Quantity
from simlab.frame.question import Symbol
from simlab.frame.soundness import check

DEGREES = "deg"  # the end of a letter's name that stands for a fixed angle


def without(frame: Frame, link: Name) -> Frame:
    """The frame with one light member taken away; its pins stay.

    Raises BadInput when there is no light member of that name.
    """
    if link not in frame.links:
        known = ", ".join(frame.links) or "none"
        raise BadInput(
            f'"{link}" is not a light member. Light members: {known}.' + nearest(link, frame.links)
        )
    return replace(
        frame,
        links={name: kept for name, kept in frame.links.items() if name != link},
        asked=tuple(asked for asked in frame.asked if asked.at != link),
        given=tuple(given for given in frame.given if given.left.at != link),
        brace=None if frame.brace == link else frame.brace,
    )


def settled(frame: Frame, found: Mapping[Name, Quantity]) -> Frame:
    """The frame with quantities put for letters that were to be found; those letters are gone.

    found : an exact quantity, in other letters or none, for each letter
    Raises BadInput for a letter that the frame has not, or that was not to be found.

    >>> from simlab.frame.scene import read_scene
    >>> settled(read_scene("scenes/kite_lantern.toml"), {}).found
    ()
    """
    for name in found:
        if name not in frame.found:
            known = ", ".join(frame.found) or "none"
            raise BadInput(f'"{name}" is no letter to be found. Letters to be found: {known}.')
    return put(frame, found)


def with_weight(frame: Frame, name: Name, point: Name, weight: Quantity) -> Frame:
    """The frame with one weight more [N], hung at a point: on its pin, if bodies are hinged there.

    Raises BadInput for a point on nothing that can move, a name that is taken, and what is no force.
    """
    if name in frame.loads:
        raise BadInput(f'"{name}" is taken. Give the weight another name.')
    place = hanging_place(frame, point)
    if place is None:
        known = ", ".join(p for p in frame.points if hanging_place(frame, p)) or "none"
        raise BadInput(f'nothing can be hung at "{point}". Points to hang it at: {known}.')
    load = Load(name, "weight", place, (of_kind(weight, FORCE),))
    return replace(frame, loads={**frame.loads, name: load})


def hanging_place(frame: Frame, point: Name) -> Place | None:
    """Where a weight at a point hangs: on its pin or on its body; None where the ground bears it."""
    for joint in frame.joints.values():
        if joint.point == point:
            return None if GROUND in joint.bodies else Place(joint.name, point)
    on = next((body.name for body in frame.bodies.values() if point in body.points), None)
    return None if on is None else Place(on, point)


def put(frame: Frame, found: Mapping[Name, Quantity]) -> Frame:
    """The frame with quantities put for letters of whatever kind; those letters are gone."""
    kept = {name: symbol for name, symbol in frame.symbols.items() if name not in found}
    changed: Frame = at(replace(frame, symbols=kept), found)
    return changed


def lettered(frame: Frame) -> tuple[Frame, Values]:
    """The frame with a letter, "37deg", for each fixed angle whose cosine is no square root; their values.

    Such numbers are of high degree over the fractions, letters are not. `put` puts the angles back.
    """
    angles = sorted({angle for quantity in quantities(frame) for angle in quantity.odd_angles})
    values, letters, symbols = {}, {}, dict(frame.symbols)
    for angle in angles:
        degrees = Quantity.of(angle * 180)
        name = f"{degrees.decimal or degrees}{DEGREES}"
        values[name] = Quantity.of(angle).times_pi
        letters[angle] = Quantity.symbol(name)
        symbols[name] = Symbol(name, "a fixed angle", "deg", values[name])
    changed: Frame = _each(replace(frame, symbols=symbols), lambda q: q.with_angles(letters))
    return (changed, values) if angles else (frame, {})


def quantities(part: Any) -> Iterator[Quantity]:
    """Every quantity in any part of a frame."""
    if isinstance(part, Quantity):
        yield part
    elif isinstance(part, tuple | list):
        for inner in part:
            yield from quantities(inner)
    elif isinstance(part, Mapping):
        yield from quantities([*part.values()])
    elif is_dataclass(part) and not isinstance(part, type):
        yield from quantities([getattr(part, field.name) for field in fields(part)])


def at(part: Any, found: Mapping[Name, Quantity]) -> Any:
    """Any part of a frame, or results on it, with quantities put for letters, however deep they are."""
    return _each(part, lambda quantity: quantity.at(found))


def _each(part: Any, change: Callable[[Quantity], Quantity]) -> Any:
    """Any part with every quantity in it changed."""
    if isinstance(part, Quantity):
        return change(part)
    if isinstance(part, tuple):
        inner = (_each(one, change) for one in part)
        return type(part)(*inner) if hasattr(part, "_fields") else tuple(inner)
    if isinstance(part, Mapping):
        return {name: _each(one, change) for name, one in part.items()}
    if is_dataclass(part) and not isinstance(part, type):
        changed = {field.name: _each(getattr(part, field.name), change) for field in fields(part)}
        return replace(part, **changed)
    return part


def showing(frame: Frame, values: Mapping[Name, str]) -> Frame:
    """The frame with other demonstration values, written as in a scene file: {"alpha": "50 deg"}.

    Raises BadInput for an unknown letter, other dimensions, a value outside the letter's range, or a
    letter that is to be found.
    """
    symbols = dict(frame.symbols)
    for name, written in values.items():
        if name not in symbols:
            known = ", ".join(name for name in symbols if name not in frame.found) or "none"
            hint = ' Another g is written in the scene: gravity = "10 m/s^2".' if name == "g" else ""
            raise BadInput(
                f'--set {name}: the scene has no letter "{name}". Letters: {known}.'
                + (hint or nearest(name, symbols))
            )
        if symbols[name].found:
            raise BadInput(
                f"--set {name}: {name} is to be found, so it cannot be set. To set it, give it a value "
                "shown instead of between in the scene."
            )
        try:
            shown = of_kind(expression.read(written, {}), symbols[name].shown.dim)
            if symbols[name].is_angle and not re.search("deg|rad|pi|atan|asin|acos", written):
                raise BadInput(f'{written} is no angle. Write "{written} deg"')
        except BadInput as error:
            raise BadInput(f"--set {name}: {error}.") from None
        if symbols[name].shown.number() > 0 >= shown.number():
            raise BadInput(f"--set {name}: {written} is not above 0, as it is in the scene.")
        symbols[name] = replace(symbols[name], shown=shown)
    given = {name: symbol.shown for name, symbol in symbols.items() if not symbol.found}
    for name, symbol in symbols.items():  # where a letter to be found is looked for may depend on others
        if symbol.found and symbol.low is not None and symbol.high is not None:
            symbols[name] = replace(symbol, shown=somewhere(symbol.low, symbol.high, given))
    changed = replace(frame, symbols=symbols)
    check(changed, lambda message, table, key: BadInput(f"{frame.name}, [{table}] {key}: {message}"))
    return changed
