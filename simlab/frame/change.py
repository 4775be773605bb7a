"""Pure edits of a frame: each gives a new one."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from simlab.errors import BadInput, nearest
from simlab.frame import expression
from simlab.frame.model import Frame, Name
from simlab.frame.points import of_kind
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
        brace=None if frame.brace == link else frame.brace,
    )


def showing(frame: Frame, values: Mapping[Name, str]) -> Frame:
    """The frame with other demonstration values, written as in a scene file: {"alpha": "50 deg"}.

    Raises BadInput for an unknown letter, other dimensions, or a value outside the letter's range.
    """
    symbols = dict(frame.symbols)
    for name, written in values.items():
        if name not in symbols:
            known = ", ".join(symbols) or "none"
            raise BadInput(
                f'--set {name}: the scene has no letter "{name}". Letters: {known}.'
                + nearest(name, symbols)
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
    changed = replace(frame, symbols=symbols)
    check(changed, lambda message, table, key: BadInput(f"{frame.name}, [{table}] {key}: {message}"))
    return changed
