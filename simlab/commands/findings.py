"""What was found, in words: each shape in which the frame can rest, and how far letters may go."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import degrees

from simlab.frame.model import Frame, Name
from simlab.frame.quantity import NUMBER, Dim, Quantity
from simlab.lesson.amounts import FIXED_SPACE, LONGEST, Pieces, exactly, figures_in
from simlab.notation.page import Heading, Line, Maths, line
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.statics import Findings, Range, Rest, Root, Statics
from simlab.results.wording import capital, figures, scaled

HOW: dict[Rest, str] = {
    "fixed": "it stands firm",
    "stable": "it rests in stable equilibrium",
    "neutral": "it rests in neutral equilibrium, wherever it is slid to",
    "unstable": "it is in equilibrium, but unstable: the least push makes it fall",
    "undecided": "it is in equilibrium",
}
ABOUT_TO = "It is about to"
AT_LIMIT = "at its limit"
BEYOND_BOUNDS = " (towards it, forces grow beyond all bounds)"
LONGEST_EQUATION = 240  # [characters]: nobody reads a longer one
MEASURES = ("least", "greatest", "range")


def ranges(findings: Findings, conventions: Conventions = HOUSE) -> Iterator[Line]:
    """How far letters may go: "μ is at least cot α / 2 = 0.357 (on the point of slipping at A)"."""
    for asked in findings.frame.asked:
        if asked.measure in MEASURES:
            found = findings.ranges.get(asked.at, ())
            if asked.measure != "range" and len(found) == 1:
                found = (_only(asked.measure, found[0]),)
            for stretch in found:
                yield line(*_stretch(findings.frame, stretch, conventions), indent=True)
            if not found and not findings.advice:
                yield line(f"there is no {_letter(asked.at)} for which it can rest", indent=True)


def _only(measure: str, found: Range) -> Range:
    """Of a range the end that is asked for; the whole of it where that is not limited."""
    if measure == "least" and found.low is not None and not found.is_one_value:
        return replace(found, high=None)
    if measure == "greatest" and found.high is not None and not found.is_one_value:
        return replace(found, low=None)
    return found


def _stretch(frame: Frame, found: Range, conventions: Conventions) -> Pieces:
    letter = _letter(found.of)
    low, high = (None if end is None else _end(frame, end, conventions) for end in (found.low, found.high))
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


def _end(frame: Frame, root: Root, conventions: Conventions) -> Pieces:
    """An end of a range: exactly where that is short, and its value."""
    value = shown(frame, root, conventions)
    if conventions.exact == "figures":
        return [value]
    if root.exact is not None and len(root.exact.plain) <= LONGEST:
        if _is_said(frame, root):
            return [value]
        return [*_exactly(frame, root), f" ={FIXED_SPACE}{value}"]
    left, right = root.equation
    return [f"{value} (", Maths(left.expr), " = ", Maths(right.expr), ")"]


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


def shape(
    findings: Findings, state: Statics, conventions: Conventions = HOUSE
) -> tuple[Heading, Line] | None:
    """The heading of one shape, and how the frame rests in it; None where no letter was to be found."""
    if not state.found:
        return None
    asked, roots = findings.frame, state.found.values()
    values = {
        root.of: f"{_letter(root.of)} ={FIXED_SPACE}{shown(asked, root, conventions)}" for root in roots
    }
    words = ", ".join(values.values()).replace(FIXED_SPACE, " ")
    turned = any(_is_angle(asked, name) for name in state.found)
    heading = Heading(f"In the shape with {words}" if turned else f"When {words}")
    new = [root for root in roots if root.of not in findings.ranges]  # the others have been told as ends
    how = _how(state)
    if not new:
        return heading, line(capital(how))
    if conventions.exact == "figures":
        return heading, line(capital(how))
    if len(new) > 1 and all(is_told(root) for root in new):
        sides = [[Maths(side.expr) for side in root.equation] for root in new]
        told = [part for left, right in sides for part in (left, " = ", right, ", ")]
        return heading, line(*told, f"so {' and '.join(values[root.of] for root in new)}: {how}")
    joined = [part for root in new for part in (*_equation(asked, root, conventions), ", ")]
    return heading, line(*joined[:-1], f": {how}")


def _is_solved(root: Root) -> bool:
    """Whether its equation is the letter's own value."""
    return root.exact is not None and str(root.equation[0]) == root.of


def is_told(root: Root) -> bool:
    """Whether its equation is told before its value: one that says more, and is not too long."""
    return not _is_solved(root) and sum(len(side.plain) for side in root.equation) <= LONGEST_EQUATION


def _how(state: Statics) -> str:
    """How the frame is there; the advice says the rest."""
    about = state.advice.split(", and every force")[0]
    if state.verdict != "determined":
        return state.advice
    return f"{about[0].lower()}{about[1:]}." if ABOUT_TO in about else f"{HOW[state.case.freedom.rest]}."


def _equation(frame: Frame, root: Root, conventions: Conventions) -> Pieces:
    """'tan θ = 1/3, so θ = 18.4°'; or the letter's own exact value."""
    letter, value = _letter(root.of), shown(frame, root, conventions)
    if _is_solved(root):
        exact: Pieces = [] if _is_said(frame, root) else [*_exactly(frame, root), " = "]
        return [f"{letter} = ", *exact, value]
    if not is_told(root):
        return [f"{letter} ={FIXED_SPACE}{value}"]
    left, right = root.equation
    return [Maths(left.expr), " = ", Maths(right.expr), f", so {letter} ={FIXED_SPACE}{value}"]


def _exactly(frame: Frame, root: Root) -> Pieces:
    """The exact value, with its unit where it is a bare number of it."""
    if root.exact is None:
        return []
    if _is_angle(frame, root.of):
        return [Maths(root.exact.expr, True)]
    return exactly(root.exact, frame.shown)


def shown(frame: Frame, root: Root, conventions: Conventions = HOUSE) -> str:
    """The value in figures with its unit; a whole number of degrees, a short decimal as it is."""
    exact = root.exact
    if _is_angle(frame, root.of):
        size = None if exact is None or exact.names else _in_degrees(exact).decimal
        return f"{size or figures(degrees(root.value))}°".replace("-", "−")
    scale, unit = scaled(Quantity.of(1, _dim(frame, root)), root.value)
    size = None if exact is None else (exact / Quantity.of(scale)).decimal
    dim = _dim(frame, root)
    digits = conventions.figures_of(dim)
    if size is not None and conventions.figures is not None and dim[0] and figures_in(size) > digits:
        size = None
    return f"{size or figures(root.value / scale, digits)}{unit}".replace(" ", FIXED_SPACE).replace(
        "-", "−"
    )


def _dim(frame: Frame, root: Root) -> Dim:
    if root.exact is not None:
        return root.exact.dim
    return frame.symbols[root.of].shown.dim if root.of in frame.symbols else NUMBER


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
