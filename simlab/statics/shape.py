"""Shapes and sizes to be found: all values of letters for which a frame can rest, and how it rests there.

The shapes in which the loads are carried (`statics.equilibria`) and the ends of ranges (`statics.extents`,
`statics.branches`) are put into the frame, and that frame is then solved like any other.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from simlab.errors import BadInput
from simlab.exact.ends import End
from simlab.frame.change import DEGREES, at, lettered
from simlab.frame.model import Frame, Name, Values
from simlab.results.statics import Findings, Range, Root, Statics
from simlab.statics import advice
from simlab.statics.branches import Branches, moves_with
from simlab.statics.energy import stability
from simlab.statics.equilibria import shapes
from simlab.statics.extents import Extent, at_limit, extents
from simlab.statics.friction import NOT_TOGETHER
from simlab.statics.limits import Limit
from simlab.statics.roots import as_root, is_plain, put, state_at, values_of
from simlab.statics.solution import solve

VARIED = ("least", "greatest", "range")


def find(frame: Frame, values: Values | None = None) -> Findings:
    """Solve a question: every shape in which the frame can rest, and how far its letters may go.

    Shapes in which a string would have to push, a contact to pull, or friction to do more than it can
    are left out, unless there is no other. Raises BadInput where nothing settles a letter.
    """
    values = {**frame.shown, **(values or {})}
    if not frame.found:
        return Findings(frame, (solve(frame, values),), {}, "")
    in_letters, angles = lettered(frame)
    if angles:
        return _with_angles(_find(in_letters, {**values, **angles}), angles)
    return _find(frame, values)


def _with_angles(found: Findings, angles: Values) -> Findings:
    """Findings with the fixed angles that letters stood for."""
    back: Findings = at(found, angles)

    def without(part: Mapping[Name, Any]) -> dict[Name, Any]:
        return {name: value for name, value in part.items() if name not in angles}

    def fixed(frame: Frame) -> Frame:
        return replace(frame, symbols=without(frame.symbols))

    def said(words: str) -> str:
        for name in angles:
            words = words.replace(name, f"{name.removesuffix(DEGREES)}°")
        return words

    shapes = [
        replace(
            state,
            frame=fixed(state.frame),
            values=without(state.values),
            advice=said(state.advice),
        )
        for state in back.shapes
    ]
    return replace(back, frame=fixed(back.frame), shapes=tuple(shapes), advice=said(back.advice))


def _find(frame: Frame, values: Values) -> Findings:
    varied = {asked.at for asked in frame.asked if asked.measure in VARIED}
    wanted = [name for name in frame.found if name not in varied]
    if len(varied) > 1:
        raise BadInput(
            f"least or greatest values are asked of {', '.join(sorted(varied))} at once. "
            "Ask for those of one letter."
        )
    states: list[Statics] = []
    ranges: dict[Name, tuple[Range, ...]] = {}
    if varied and wanted and moves_with(frame, values, *varied):
        (letter,) = varied
        found = Branches(frame, values, wanted, letter).extents()
        ranges[letter] = tuple(_range(letter, extent, frame) for extent in found)
        states += _limiting(frame, values, {}, found)
        return _findings(frame, states, ranges)
    for roots, shape in shapes(frame, values, wanted) if wanted else [({}, frame)]:
        if not varied:
            state = state_at(shape, values, roots)
            states += [] if state is None else [_rested(frame, state)]
            continue
        (letter,) = varied
        found = extents(shape, values_of(shape, values), letter)
        ranges[letter] = (*ranges.get(letter, ()), *(_range(letter, extent, shape) for extent in found))
        states += _limiting(shape, values, roots, found)
    return _findings(frame, states, ranges)


def _findings(frame: Frame, states: list[Statics], ranges: Mapping[Name, tuple[Range, ...]]) -> Findings:
    """Those states in which the frame rests, if there are any; each once."""
    resting = [state for state in states if state.rests]
    slipping = [state for state in resting if state.advice != NOT_TOGETHER]
    kept = list(_each_once(slipping or resting or states))
    return Findings(frame, tuple(kept), ranges, _advice(frame, kept, ranges))


def _advice(frame: Frame, states: Sequence[Statics], ranges: Mapping[Name, tuple[Range, ...]]) -> str:
    """A sentence or two to a teacher."""
    letters = " and ".join(frame.symbols[name].looked_in for name in frame.found)
    if any(ranges.values()):
        return ""
    if not states or ranges:
        return f"It cannot rest for any {letters}."
    if len(states) == 1:
        return states[0].advice
    return f"It can rest in {len(states)} ways for {letters}."


def _rested(frame: Frame, state: Statics) -> Statics:
    """How it rests, by its energy along the letters, where small motions leave that open.

    Small motions know the slope of a surface, but not how it bends: where the slope changes with a
    letter that was found, they decide nothing.
    """
    before = state.case.freedom.rest
    bends = any(
        name in part.names for c in frame.contacts.values() for part in c.normal for name in state.found
    )
    if state.verdict != "determined" or before == "fixed" or not (bends or before == "undecided"):
        return state
    at = dict(state.values)
    for name, root in state.found.items():
        near = root.near(frame)
        at[name] = near if root.exact is None or not is_plain(root) else root.exact.at(state.values)
    rest = stability(frame, at)
    freedom = replace(state.case.freedom, rest=rest)
    words = advice.of_rest_found(state.advice, before, rest)
    return replace(state, case=replace(state.case, freedom=freedom), advice=words)


def _each_once(states: Iterable[Statics]) -> Iterator[Statics]:
    seen: list[Statics] = []
    for state in states:
        if not any(state.found == other.found and state.frame == other.frame for other in seen):
            seen.append(state)
            yield state


# limits


def _range(letter: Name, extent: Extent, frame: Frame) -> Range:
    def end(at: End | None) -> Root | None:
        if at is None or (at.is_bound and at.belongs and not extent.is_one_value):
            return None
        return as_root(frame, letter, at.solution)

    def words(limits: Iterable[Limit]) -> tuple[str, ...]:
        return tuple(dict.fromkeys(limit.words for limit in limits))

    return Range(
        letter,
        end(extent.low),
        end(extent.high),
        (words(extent.limits[0]), words(extent.limits[1])),
        (extent.low.belongs, extent.high is None or extent.high.belongs),
    )


def _limiting(
    frame: Frame, values: Values, roots: Mapping[Name, Root], found: Iterable[Extent]
) -> Iterator[Statics]:
    """The frame at each end of each stretch, about to slip or lift as it is there."""
    for extent in found:
        for end, limits in zip((extent.low, extent.high), extent.limits, strict=True):
            if end is not None and end.belongs and (extent.is_one_value or not end.is_bound):
                at = {**roots, **{n: as_root(frame, n, end.solution) for n in end.solution.low}}
                state = state_at(put(at_limit(frame, limits), at), values, at)
                if state is not None:
                    yield state
