"""Which forces each product of an equation's first line stands for."""

from __future__ import annotations

from simlab.frame.model import Name
from simlab.results.working import Equation, Line, Term


def terms_of_line(line: Line, equation: Equation, target: Name | None) -> list[tuple[Term, ...]]:
    """For each product of a line, left side first, the terms it stands for; no list where none can be told.

    As equations are first written: forces alike in size and arm on one side are one product; the letter
    sought (`target`), if one is, comes first and on the left; otherwise what turns anticlockwise (acts
    along the direction) is on the left.
    """
    left = next((term.side for term in equation.terms if term.action.letter == target), 1)
    alike: dict[tuple[int, str, str], list[Term]] = {}
    for term in sorted(equation.terms, key=lambda term: term.action.letter != target):
        alike.setdefault((term.side, str(term.action.size), str(term.arm)), []).append(term)
    sides = [[tuple(terms) for key, terms in alike.items() if key[0] == side] for side in (left, -left)]
    if [len(side) for side in sides] != [len(line.left), len(line.right)]:
        return []
    return [*sides[0], *sides[1]]
