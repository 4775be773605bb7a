"""One step of a working: its equations, the algebra that solves them, and what the result means."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from simlab.errors import SimlabFault
from simlab.exact.element import Element
from simlab.exact.words import product
from simlab.frame.model import Name
from simlab.frame.quantity import Quantity
from simlab.results.working import Equation, Line, Words
from simlab.working.algebra import ONE, Algebra, Item, common_factor, same
from simlab.working.balances import Balances
from simlab.working.survey import Candidate


class Solver:
    """Solves blocks of equations line by line, remembering the letters found."""

    def __init__(self, balances: Balances) -> None:
        self.balances = balances
        self.algebra = Algebra(balances)
        self.values: dict[Name, Element] = {}
        self.label = 0

    def items(self, candidate: Candidate) -> list[Item]:
        """A candidate as a sum that is zero."""
        letters, loads = self.balances.coefficients(candidate)
        return [
            *(Item(name, value) for name, value in letters.items()),
            *(Item(None, value) for value in loads),
        ]

    def solve(
        self, block: Sequence[Candidate], equations: Sequence[Equation], finds: Sequence[Name]
    ) -> tuple[Line, ...]:
        """The lines of a block; the values of what it finds are remembered."""
        if len(block) == 1:
            lines = self._alone(self.items(block[0]), equations[0], finds[0])
        else:
            lines = list(self._together([self.items(one) for one in block], equations, finds))
        return tuple(lines)

    def find(self, block: Sequence[Candidate], finds: Sequence[Name]) -> None:
        """Only the values of what a block finds, without a line."""
        zero = self.balances.frame.field.zero
        rows: list[list[Element]] = []
        for one in block:
            items = self.algebra.put_in(self.items(one), self.values)
            row = [sum((i.coefficient for i in items if i.letter == name), zero) for name in finds]
            rows.append([*row, -sum((i.coefficient for i in items if i.letter is None), zero)])
        for column in range(len(finds)):
            pivot = next((k for k in range(column, len(rows)) if rows[k][column].sign()), None)
            if pivot is None:
                raise SimlabFault(f"{finds[column]} is not decided by its equations")
            rows[column], rows[pivot] = rows[pivot], rows[column]
            for k in range(len(rows)):
                if k != column and not rows[k][column].is_zero:
                    factor = rows[k][column] / rows[column][column]
                    rows[k] = [a - factor * b for a, b in zip(rows[k], rows[column], strict=True)]
        for k, name in enumerate(finds):
            self.values[name] = rows[k][-1] / rows[k][k]

    # one equation

    def _alone(self, items: list[Item], equation: Equation, target: Name) -> list[Line]:
        lines = [self.algebra.raw(equation, target)]
        if any(item.letter in self.values for item in items):
            items = self.algebra.put_in(items, self.values)
            _append(lines, self.algebra.line(self.algebra.divided(items, target), target))
        items = self.algebra.divided(self.algebra.collected(items), target)
        _append(lines, self.algebra.line(items, target))
        _append(lines, self._found(items, target))
        return lines

    def _found(self, items: Sequence[Item], target: Name) -> Line:
        """The last line: letter = value."""
        front = next((i.coefficient for i in items if i.letter == target), None)
        if front is None or any(i.letter not in (None, target) for i in items):
            raise SimlabFault(f"{target} is not alone in its last equation")
        rest = sum((i.coefficient for i in items if i.letter is None), self.balances.frame.field.zero)
        self.values[target] = -rest / front
        return self.algebra.is_line(target, self.values[target])

    # several at once

    def _together(
        self, sums: list[list[Item]], equations: Sequence[Equation], finds: Sequence[Name]
    ) -> Iterator[Line]:
        labelled = []
        for items, equation in zip(sums, equations, strict=True):
            known = any(item.letter in self.values for item in items)
            yield self.algebra.raw(equation, None)
            put = self.algebra.put_in(items, self.values) if known else items
            left = self.algebra.divided(self.algebra.collected(put))
            label = self._next()
            yield self.algebra.standing(left, label)
            labelled.append((label, left))
        yield from self._eliminate(labelled, list(finds))

    def _next(self) -> str:
        self.label += 1
        return str(self.label)

    def _eliminate(self, sums: list[tuple[str, list[Item]]], unknowns: list[Name]) -> Iterator[Line]:
        """Remove the last unknown from all sums but one, solve those, put what they find into that one."""
        target = unknowns[0]
        if len(sums) == 1:
            _, items = sums[0]
            items = self.algebra.divided(self.algebra.collected(self.algebra.put_in(items, self.values)))
            line, found = self.algebra.standing(items), self._found(items, target)
            if not same(line, found):
                yield found
            return
        gone = unknowns[-1]
        having = sorted((s for s in sums if any(i.letter == gone for i in s[1])), key=lambda s: len(s[1]))
        if not having:
            raise SimlabFault(f"{gone} stands in no equation of its block")
        pivot, others = having[0], [s for s in sums if s is not having[0]]
        left = []
        for other in others:
            if other in having:
                items, note = self._combined(pivot, other, gone)
                label = self._next() if len(others) > 1 else ""
                yield self.algebra.standing(items, label, note)
                left.append((label, items))
            else:
                left.append(other)
        yield from self._eliminate(left, unknowns[:-1])
        items = self.algebra.put_in(pivot[1], self.values)
        yield self.algebra.line(self.algebra.divided(items), gone, note=(f"from ({pivot[0]})",))
        items = self.algebra.divided(self.algebra.collected(items))
        line, found = self.algebra.line(items, gone), self._found(items, gone)
        if not same(line, found):
            yield found

    def _combined(
        self, pivot: tuple[str, list[Item]], other: tuple[str, list[Item]], gone: Name
    ) -> tuple[list[Item], Words]:
        """The combination of two sums without one letter, and how it was made."""
        a = next(i.coefficient for i in pivot[1] if i.letter == gone)
        b = next(i.coefficient for i in other[1] if i.letter == gone)
        factor = common_factor([self.balances.printed(x).expr for x in (a, b)])
        common = self.balances.frame.field.element(factor)
        times_other, times_pivot = a / common, b / common
        if times_other.sign() < 0:
            times_other, times_pivot = -times_other, -times_pivot
        sums = [Item(i.letter, i.coefficient * times_other) for i in other[1]]
        sums += [Item(i.letter, -i.coefficient * times_pivot) for i in pivot[1]]
        left = self.algebra.collected(sums)
        shorter = self.algebra.divided(left)
        # `standing` turns each sum so that its first letter is positive: the note is of the lines shown
        of_other = times_other * (_lead(other[1]) * _lead(left))
        of_pivot = -times_pivot * (_lead(pivot[1]) * _lead(left))
        shares = sorted(((of_other, other[0]), (of_pivot, pivot[0])), key=lambda pair: -pair[0].sign())
        note: list[str | Quantity] = []
        for k, (share, label) in enumerate(shares):
            minus = share.sign() < 0
            note += [f" {'−' if minus else '+'} "] if k or minus else []
            note += [f"({label})", *self._times(-share if minus else share)]
        if any(a.coefficient != b.coefficient for a, b in zip(left, shorter, strict=True)):
            note.append(", divided through")
        return shorter, tuple(note)

    def _times(self, factor: Element) -> Words:
        if factor == 1:
            return ()
        form = self.balances.printed(factor).expr
        if form.is_Add:
            return " × (", Quantity(form), ")"
        return " × ", Quantity(product(ONE, [(form, ONE)]))


def _lead(items: Sequence[Item]) -> int:
    """The sign that `standing` turns a sum by."""
    return next((i.coefficient.sign() for i in items if i.letter is not None), 1) or 1


def _append(lines: list[Line], line: Line) -> None:
    if not same(lines[-1], line):
        lines.append(line)
