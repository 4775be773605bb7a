"""Values that were found for letters, and the frame with them put in."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

from simlab.errors import BadInput
from simlab.exact.solving import Solution
from simlab.frame.change import settled
from simlab.frame.model import Frame, Name, Values
from simlab.frame.quantity import Quantity
from simlab.results.statics import Root, Statics
from simlab.statics.solution import solve


def as_root(frame: Frame, name: Name, solution: Solution) -> Root:
    """A letter's value for whoever reads it."""
    dim = frame.symbols[name].shown.dim
    exact = solution.exact[name]
    left, right = solution.equation[name]
    return Root(
        name,
        None if exact is None else Quantity(exact, dim),
        (Quantity(left), Quantity(right)),
        solution.low[name],
        solution.high[name],
    )


def put(frame: Frame, roots: Mapping[Name, Root]) -> Frame:
    """The frame with the letters found put into it.

    A letter without an exact expression in square roots stays a letter, given from now on to 30 figures.
    """
    exact = {name: root.exact for name, root in roots.items() if root.exact is not None and is_plain(root)}
    frame = settled(frame, exact)
    return shown_at(frame, {name: root for name, root in roots.items() if name not in exact})


def shown_at(frame: Frame, roots: Mapping[Name, Root]) -> Frame:
    """The frame with the letters found still letters, given from now on, and shown at what was found."""
    found = {
        name: replace(frame.symbols[name], shown=root.near(frame), found=False)
        for name, root in roots.items()
    }
    return replace(frame, symbols={**frame.symbols, **found})


def values_of(frame: Frame, values: Values, found: Collection[Name] = ()) -> Values:
    """The values of the letters that a frame (still) has: of those found, the ones shown."""
    return {
        name: symbol.shown if name in found else values.get(name, symbol.shown)
        for name, symbol in frame.symbols.items()
    }


def state_at(frame: Frame, values: Values, roots: Mapping[Name, Root]) -> Statics | None:
    """The frame with letters found put into it, solved; `roots` are their values.

    None where a member has shrunk to a point, so that it has no direction.
    """
    near = [name for name, root in roots.items() if not is_plain(root)]
    try:
        return replace(solve(frame, values_of(frame, values, near), near=bool(near)), found=roots)
    except BadInput:
        return None


def is_plain(root: Root) -> bool:
    """Whether a letter's value can be put into a frame: an expression with no roots but square ones."""
    return root.exact is not None and not root.exact.has_other_roots
