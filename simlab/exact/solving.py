"""All values of letters, within ranges, at which elements of an exact field are zero.

equations -> polynomials without roots -> one polynomial for each letter -> its real roots -> those
combinations of them at which every equation holds, with its square roots positive
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import combinations, product
from typing import Any

import flint
import sympy as sp

from simlab.errors import BadInput, SimlabFault
from simlab.exact import ball
from simlab.exact.closed import ClosedForm, ClosedForms
from simlab.exact.element import Element
from simlab.exact.eliminant import Eliminants, Free
from simlab.exact.form import textbook
from simlab.exact.halfturn import half_turns
from simlab.exact.isolation import PROOF_BITS, Place, element_ball, places
from simlab.exact.linear import is_solution, linear_root
from simlab.exact.unknown import Problem, Unknown

Poly = Any  # flint.fmpz_mpoly

BITS = (128, 256, PROOF_BITS, 2 * PROOF_BITS)  # at each of them the equations must hold
VALUE_BITS = 192  # of low and high: 57 figures


@dataclass(frozen=True)
class Solution:
    """Values of the letters to be found at which all equations hold.

    low, high : at the given letters' values, agreeing to 30 figures at least; angles [rad]
    forms : how each is written
    """

    low: Mapping[str, Fraction]
    high: Mapping[str, Fraction]
    forms: Mapping[str, ClosedForm]

    @cached_property
    def exact(self) -> Mapping[str, Any | None]:
        """An expression in the given letters, or None where none was found."""
        return {name: form.exact for name, form in self.forms.items()}

    @cached_property
    def equation(self) -> Mapping[str, tuple[Any, Any]]:
        """left = right as a textbook writes it."""
        return {name: form.equation for name, form in self.forms.items()}

    @cached_property
    def assumptions(self) -> tuple[Element, ...]:
        """Elements taken as positive for the expressions to be this solution."""
        return tuple({str(a): a for form in self.forms.values() for a in form.assumptions}.values())


def solutions(equations: Sequence[Element], found: Mapping[str, tuple[Any, Any]]) -> tuple[Solution, ...]:
    """Every solution of equations = 0 at the field's values of the given letters, each once, in order.

    equations : elements of one field, or of fields that it was made from by adjoining roots; a square root
        is the positive one at the solution. There may be more of them than letters: all must be zero
    found : the closed range of each letter to be found, exact sympy numbers, angles [rad]; sp.oo is no end

    Raises BadInput if the equations leave a letter free.

    >>> from simlab.exact.field import Field
    >>> w, s, u = sp.symbols("W S theta", positive=True)
    >>> field = Field.containing([w, s, sp.sin(u)], {"W": sp.Integer(2), "S": sp.Integer(1)})
    >>> equation = field.element(5 * w * sp.sin(u) - 2 * s * sp.cos(u))
    >>> solutions([equation], {"theta": (sp.S.Zero, sp.pi / 2)})[0].equation["theta"]
    (tan(theta), 2*S/(5*W))
    """
    if not found:
        raise BadInput("no letter is to be found: say which, and between which values")
    if not equations:
        raise BadInput(f"no equation determines {', '.join(found)}")
    field = max((e.field for e in equations), key=lambda field: field.depth)
    lifted = [field.lift(e) for e in equations]
    problem = Problem(field, found)
    root = linear_root(lifted, problem) if len(found) == 1 else None
    if root is not None:
        return (_of_linear(root, problem.unknowns[0]),) if is_solution(root, lifted, problem) else ()
    answers = _Search(lifted, problem).solutions()
    for name, angle, smaller, rest in half_turns(lifted, found):
        value = _exact_bounds(angle)
        others = solutions(smaller, rest) if rest else _nothing_left(smaller)
        answers.extend(
            Solution(
                {**other.low, name: value[0]},
                {**other.high, name: value[1]},
                {**other.forms, name: ClosedForm(angle, (sp.Symbol(name), angle))},
            )
            for other in others
        )
    return tuple(sorted(answers, key=lambda answer: [answer.low[name] for name in found]))


def _of_linear(root: Element, unknown: Unknown) -> Solution:
    """The only value of a letter that an equation of first degree allows."""
    name, exact = unknown.name, textbook(root)
    if root.sign() == 0:
        low, high = _exact_bounds(sp.S.Zero)
    elif exact.is_Rational:
        low, high = _exact_bounds(exact)
    else:
        low, high = _fractions(lambda bits: element_ball(root, bits))
    form = ClosedForm(exact, (unknown.generator.symbol, exact), tuple(root.field.assumptions))
    return Solution({name: low}, {name: high}, {name: form})


def _nothing_left(equations: Sequence[Element]) -> tuple[Solution, ...]:
    """One solution without letters, if the equations hold as they are."""
    return (Solution({}, {}, {}),) if all(e.sign() == 0 for e in equations) else ()


class _Search:
    """The search for solutions of one problem."""

    def __init__(self, equations: Sequence[Element], problem: Problem) -> None:
        self.equations = [e for e in equations if not e.is_zero]
        self.problem = problem
        self.by_variable = {u.variable: u for u in problem.unknowns}
        self.forms = ClosedForms(problem)
        self._places: dict[str, list[Place]] = {}

    def solutions(self) -> list[Solution]:
        """The solutions with every half-angle tangent finite."""
        eliminants = self._eliminants()
        choices = [self._choices(u, eliminants[u.variable]) for u in self.problem.unknowns]
        return [self._solution(chosen) for chosen in product(*choices) if self._holds(chosen)]

    def _eliminants(self) -> dict[int, list[Poly]]:
        search = Eliminants(list(self.by_variable), self._vanishes, self._possible)
        polys = [self.problem.cleared(e) for e in self.equations]
        try:
            return search.found(polys)
        except Free:  # it may be the conjugates of the equations that have too many common zeros
            sums = [x for a, b in combinations(self.equations, 2) for x in (a + b, a - b) if not x.is_zero]
        try:
            return search.found([*polys, *map(self.problem.cleared, sums)])
        except Free as free:
            name = self.by_variable[free.variable].name
            raise BadInput(
                f"the equations leave {name} free: they are {len(self.equations)} in "
                f"{len(self.by_variable)} letters to be found, and not all of them say something new. "
                f"Give {name} a value or one more condition"
            ) from None

    def _vanishes(self, poly: Poly) -> bool:
        return self.problem.coefficient(poly).sign() == 0

    def _possible(self, poly: Poly) -> bool:
        used = [u for u in self.problem.unknowns if poly.degrees()[u.variable]]
        return bool(self._found(used[0], poly))

    def _found(self, unknown: Unknown, poly: Poly) -> list[Place]:
        key = str(poly)
        if key not in self._places:
            self._places[key] = places(self.problem, unknown, poly)
        return self._places[key]

    def _choices(self, unknown: Unknown, polys: Sequence[Poly]) -> list[Place]:
        """The values that a letter may take; where two polynomials share one, by the simpler."""
        found: list[Place] = []
        for poly in sorted(polys, key=lambda poly: (poly.degrees()[unknown.variable], len(poly))):
            for place in self._found(unknown, poly):
                value = place.value(PROOF_BITS)
                if not any(value.overlaps(other.value(PROOF_BITS)) for other in found):
                    found.append(place)
        return found

    def _holds(self, chosen: Sequence[Place]) -> bool:
        """Whether all equations hold: a ball without zero disproves it, the last is taken to prove it."""
        for bits in BITS:
            point = self.problem.point(bits, [place.variable(bits) for place in chosen])
            if point is None:
                return False
            with flint.ctx.workprec(bits):
                if not all(ball.polynomial(e.num, point).contains(0) for e in self.equations):
                    return False
                divided = not any(ball.polynomial(e.den, point).contains(0) for e in self.equations)
        return divided

    def _solution(self, chosen: Sequence[Place]) -> Solution:
        forms = _Forms(self.forms, {place.unknown.name: place for place in chosen})
        bounds = {place.unknown.name: _bounds(place, forms) for place in chosen}
        return Solution(
            {name: low for name, (low, _) in bounds.items()},
            {name: high for name, (_, high) in bounds.items()},
            forms,
        )


class _Forms(Mapping[str, ClosedForm]):
    """The closed form of each place, sought when it is first asked for: most zeros are no end."""

    def __init__(self, forms: ClosedForms, places: Mapping[str, Place]) -> None:
        self._forms, self._places = forms, places
        self._found: dict[str, ClosedForm] = {}

    def __getitem__(self, name: str) -> ClosedForm:
        if name not in self._found:
            self._found[name] = self._forms.of(self._places[name])
        return self._found[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._places)

    def __len__(self) -> int:
        return len(self._places)


def _bounds(place: Place, forms: Mapping[str, ClosedForm]) -> tuple[Fraction, Fraction]:
    if place.is_nought:
        return Fraction(0), Fraction(0)
    exact = place.exact
    if not place.unknown.is_angle and (exact is None or not exact.is_Rational):
        exact = forms[place.unknown.name].exact
    if exact is not None and exact.is_Rational:  # of angles only an end of the range
        return _exact_bounds(exact)
    return _fractions(place.value)


def _exact_bounds(number: Any) -> tuple[Fraction, Fraction]:
    if number.is_Rational:
        return Fraction(int(number.p), int(number.q)), Fraction(int(number.p), int(number.q))

    def value(bits: int) -> Any:
        with flint.ctx.workprec(bits):
            return ball.constant(number)

    return _fractions(value)


def _fractions(value: Callable[[int], Any]) -> tuple[Fraction, Fraction]:
    """Bounds of a number that is not zero, from its balls."""
    bits = VALUE_BITS
    while bits <= ball.LAST_BITS:
        x = value(bits)
        if x.rel_accuracy_bits() > VALUE_BITS // 2 + 10:
            middle, radius = (_fraction(part) for part in (x.mid(), x.rad()))
            return middle - radius, middle + radius
        bits *= 2
    raise SimlabFault("a value could not be computed to 30 figures")


def _fraction(number: Any) -> Fraction:
    mantissa, exponent = number.man_exp()
    return Fraction(int(mantissa)) * Fraction(2) ** int(exponent)
