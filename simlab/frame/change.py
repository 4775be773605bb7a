"""Pure edits of a frame: each gives a new one."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any

from simlab.errors import BadInput, nearest
from simlab.frame import expression
from simlab.frame.manuscript import somewhere
from simlab.frame.model import Frame, Name
from simlab.frame.points import of_kind
from simlab.frame.quantity import Quantity
from simlab.frame.soundness import check


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


def put(frame: Frame, found: Mapping[Name, Quantity]) -> Frame:
    """The frame with quantities put for letters of whatever kind; those letters are gone."""
    kept = {name: symbol for name, symbol in frame.symbols.items() if name not in found}
    changed: Frame = _at(replace(frame, symbols=kept), found)
    return changed


def _at(part: Any, found: Mapping[Name, Quantity]) -> Any:
    """Any part of a frame with quantities put for letters, however deep they are."""
    if isinstance(part, Quantity):
        return part.at(found)
    if isinstance(part, tuple):
        return tuple(_at(inner, found) for inner in part)
    if isinstance(part, Mapping):
        return {name: _at(inner, found) for name, inner in part.items()}
    if is_dataclass(part) and not isinstance(part, type):
        inner = {field.name: _at(getattr(part, field.name), found) for field in fields(part)}
        return replace(part, **inner)
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
            raise BadInput(
                f'--set {name}: the scene has no letter "{name}". Letters: {known}.'
                + nearest(name, symbols)
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
