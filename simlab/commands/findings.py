"""What was found, in words: each shape in which the frame can rest, and how far letters may go."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees

from simlab.commands.amounts import FIXED_SPACE, LONGEST, Pieces
from simlab.frame.model import Frame, Name
from simlab.frame.quantity import Quantity
from simlab.notation.page import Heading, Line, Maths, line
from simlab.results.statics import Findings, Range, Rest, Root, Statics
from simlab.results.wording import figures, unit_of

HOW: dict[Rest, str] = {
    "fixed": "it stands firm",
    "stable": "it rests, and comes back when pushed",
    "neutral": "it rests, and stays wherever it is slid to",
    "unstable": "it is in balance, but the least push makes it fall",
    "undecided": "it is in balance",
}
ABOUT_TO = "It is about to"
AT_LIMIT = "at its limit"
BEYOND_BOUNDS = " (towards it, forces grow beyond all bounds)"
MEASURES = ("least", "greatest", "range")


def ranges(findings: Findings) -> Iterator[Line]:
    """How far letters may go: "μ is at least cot α / 2 = 0.357 (on the point of slipping at A)"."""
    for asked in findings.frame.asked:
        if asked.measure in MEASURES:
            found = findings.ranges.get(asked.at, ())
            ends = {"least": found[0].low, "greatest": found[-1].high} if found else {}
            limited = any(end is not None for one in found for end in (one.low, one.high))
            if limited and ends.get(asked.measure, found) is None:
                yield line(f"no {asked.measure} {_letter(asked.at)}: nothing limits it so", indent=True)
            for stretch in found:
                yield line(*_stretch(findings.frame, stretch), indent=True)
            if not found:
                yield line(f"there is no {_letter(asked.at)} for which it can rest", indent=True)


def _stretch(frame: Frame, found: Range) -> Pieces:
    letter = _letter(found.of)
    low, high = (None if end is None else _end(frame, end) for end in (found.low, found.high))
    below, above = (
        _limiting(words) if reached else BEYOND_BOUNDS
        for words, reached in zip(found.limiting, found.reached, strict=True)
    )
    least, most = found.reached
    if low and found.is_one_value:
        return [f"{letter} can only be ", *low, below]
    if low and high:
        from_, to = ("" if least else "above "), ("" if most else "below ")
        return [f"{letter} from {from_}", *low, f"{below} to {to}", *high, above]
    if low:
        return [f"{letter} is {'at least' if least else 'more than'} ", *low, below]
    if high:
        return [f"{letter} is {'at most' if most else 'less than'} ", *high, above]
    return [f"{letter} may be anything in its range"]


def _end(frame: Frame, root: Root) -> Pieces:
    """An end of a range: exactly where that is short, and its value."""
    shown = _shown(frame, root)
    if root.exact is not None and len(root.exact.plain) <= LONGEST:
        if _is_said(frame, root):
            return [shown]
        return [Maths(root.exact.expr, _is_angle(frame, root.of)), f" ={FIXED_SPACE}{shown}"]
    left, right = root.equation
    return [f"{shown} (", Maths(left.expr), " = ", Maths(right.expr), ")"]


def _limiting(words: tuple[str, ...]) -> str:
    """What is about to happen at an end, in brackets."""
    if not words:
        return ""
    limits = [word for word in words if word.endswith(AT_LIMIT)]
    does: dict[str, list[str]] = {}  # "slipping": ["A", "B"]
    for word in words:
        if word not in limits:
            what, _, where = word.partition(" at ")
            does.setdefault(what, []).append(where)
    said = [f"{what} at {' and '.join(where)}" if any(where) else what for what, where in does.items()]
    points = [f"on the point of {' and '.join(said)}"] if said else []
    return f" ({' and '.join([*points, *limits])})"


def shape(asked: Frame, state: Statics) -> tuple[Heading, Line] | None:
    """The heading of one shape, and how the frame rests in it; None where no letter was to be found."""
    if not state.found:
        return None
    words = ", ".join(
        f"{_letter(root.of)} = {_shown(asked, root).replace(FIXED_SPACE, ' ')}"
        for root in state.found.values()
    )
    pieces: Pieces = []
    for root in state.found.values():
        pieces += [*_equation(asked, root), ", "]
    pieces[-1] = f": {_how(state)}"
    shaped = any(
        name in part.names for point in asked.points.values() for part in point for name in state.found
    )
    return Heading(f"In the shape with {words}" if shaped else f"With {words}"), line(*pieces)


def _how(state: Statics) -> str:
    """How the frame is there; the advice says the rest."""
    about = state.advice.split(", and every force")[0]
    if state.verdict != "determined":
        return state.advice
    return f"{about[0].lower()}{about[1:]}." if ABOUT_TO in about else f"{HOW[state.case.freedom.rest]}."


def _equation(frame: Frame, root: Root) -> Pieces:
    """'tan θ = 1/3, so θ = 18.4°'; or the letter's own exact value."""
    letter, shown = _letter(root.of), _shown(frame, root)
    left, right = root.equation
    if root.exact is not None and str(left) == root.of:
        angle = _is_angle(frame, root.of)
        exact: Pieces = [] if _is_said(frame, root) else [Maths(root.exact.expr, angle), " = "]
        return [f"{letter} = ", *exact, shown]
    return [Maths(left.expr), " = ", Maths(right.expr), f", so {letter} ={FIXED_SPACE}{shown}"]


def _shown(frame: Frame, root: Root) -> str:
    """The value in three figures with its unit; a whole number of degrees, a short decimal as it is."""
    exact = root.exact
    if _is_angle(frame, root.of):
        size = None if exact is None or exact.names else _in_degrees(exact).decimal
        return f"{size or figures(degrees(root.value))}°".replace("-", "−")
    unit = FIXED_SPACE + unit_of(exact).strip() if exact is not None and unit_of(exact) else ""
    if exact is None and root.of in frame.symbols and frame.symbols[root.of].unit:
        unit = FIXED_SPACE + frame.symbols[root.of].unit
    size = (exact.decimal if exact is not None else None) or figures(root.value)
    return f"{size}{unit}".replace("-", "−")


def _is_said(frame: Frame, root: Root) -> bool:
    """Whether the value in figures is the exact one already: 30°, 0.5 m."""
    if root.exact is None or root.exact.names:
        return False
    return (_in_degrees(root.exact) if _is_angle(frame, root.of) else root.exact).decimal is not None


def _in_degrees(angle: Quantity) -> Quantity:
    return angle * Quantity.of(180) / Quantity.pi()


def _is_angle(frame: Frame, name: Name) -> bool:
    return name in frame.symbols and frame.symbols[name].is_angle


def _letter(name: Name) -> str:
    return Quantity.symbol(name).plain
