"""An equation of a part, exactly: every force with its lever arm or its cosine."""

from __future__ import annotations

from dataclasses import replace

from simlab.exact.element import Element
from simlab.exact.words import product
from simlab.frame.model import Name, Vec
from simlab.frame.quantity import FORCE, LENGTH, MOMENT, NUMBER, Dim, Quantity
from simlab.results.forces import Key
from simlab.results.working import Action, Equation, Part, Term
from simlab.statics.velocity import Exact, dot, minus
from simlab.working import parts
from simlab.working.lettering import Lettering
from simlab.working.lines import Acting
from simlab.working.places import Direction, Spot
from simlab.working.survey import Candidate

ONE = Quantity.of(1).expr


class Balances:
    """Writes parts and equations with the letters of one working."""

    def __init__(self, lettering: Lettering) -> None:
        self.lettering = lettering
        self.frame = lettering.frame

    def printed(self, element: Element, dim: Dim = NUMBER) -> Quantity:
        """An element in textbook form."""
        return replace(self.frame.printed(element), dim=dim)

    @staticmethod
    def _vec(vec: Exact, dim: Dim) -> Vec:
        """A vector to draw by: nobody reads its expressions."""
        return Quantity(vec[0].expr(), dim), Quantity(vec[1].expr(), dim)

    # parts

    def part(self, nodes: frozenset[Name]) -> Part:
        """A part with every force on it that is not nothing by symmetry."""
        inside = [name for name in self.frame.frame.bodies if name in nodes or self._is_inside(name, nodes)]
        return Part(
            tuple(inside),
            tuple(name for name in self.frame.frame.joints if name in nodes),
            parts.in_words(self.frame, nodes),
            tuple(action for _, _, action in self.actions(nodes)),
            nodes == frozenset(self.frame.nodes),
        )

    def _is_inside(self, body: Name, nodes: frozenset[Name]) -> bool:
        """Whether a light rod lies wholly within a part."""
        if body not in self.frame.light:
            return False
        held = [
            one for one in self.frame.all if any(self.frame.unknowns[u].at == body for u, _ in one.ways)
        ]
        return all(one.first.body in nodes and one.second.body in nodes for one in held)

    def actions(self, nodes: frozenset[Name]) -> list[tuple[Acting, int, Action]]:
        """The forces on a part: lines of action, on which side of them it is, and as drawn."""
        found = []
        for line in self.lettering.lines:
            sense = line.sense_on(nodes)
            if sense and not (line.unknown is not None and self.lettering.image(line.unknown) is None):
                found.append((line, sense, self._action(line, sense)))
        return found

    def _action(self, line: Acting, sense: int) -> Action:
        way, turning = self.lettering.way(line, sense)
        place = line.first if sense > 0 or line.second is None else line.second
        name = line.point if line.unknown is None or sense > 0 else place.point
        at = self._vec(line.at, LENGTH)
        if line.second is not None and sense < 0 and place.point in self.frame.points:
            at = self.frame.frame.points[place.point]
        elif name is not None and name in self.frame.frame.points:
            at = self.frame.frame.points[name]
        letter, size = None, Quantity.zero(FORCE)
        if line.unknown is None and line.size is not None:
            size = self._given(line, line.size)
        elif line.unknown is not None:
            image = self.lettering.image(line.unknown)
            letter = self.lettering.names[line.unknown if image is None else image[0]]
            size = Quantity.symbol(letter, MOMENT if line.turning else FORCE, positive=False)
            if line.factor is not None:
                size = Quantity(product(ONE, [(line.factor.expr, ONE), (size.expr, ONE)]), size.dim)
        what: Key | Name = (line.keys[0] if sense > 0 else line.keys[1]) or line.what
        vector = (Quantity.zero(), Quantity.zero()) if turning else self._vec(way, NUMBER)
        return Action(what, letter, size, at, vector, name, turning, place.body)

    def _given(self, line: Acting, size: Element) -> Quantity:
        """A weight or load as the question has it, where that has no minus in front."""
        model = self.frame.frame
        if line.what in model.bodies:
            return model.bodies[line.what].weight
        if line.what not in model.loads:  # a tension or a push that is known
            return self.printed(size, FORCE)
        load = model.loads[line.what]
        if load.kind == "weight":
            return load.value[0]
        return self.printed(size, MOMENT if line.turning else FORCE)

    # equations

    def equation(self, candidate: Candidate) -> Equation:
        """A candidate written out."""
        place, nodes = candidate.place, candidate.part
        terms = []
        for line, sense, action in self.actions(nodes):
            term = self._term(line, sense, action, place)
            if term is not None:
                terms.append(term)
        part = self.part(nodes)
        if isinstance(place, Spot):
            known = None if place.name is None else self.frame.frame.points[place.name]
            point = self._vec(place.at, LENGTH) if known is None else known
            return Equation(part, "moments", place.words, "", point, None, tuple(terms))
        way = self._vec(self.frame.unit(place.way), NUMBER)
        return Equation(part, "resolving", "", place.words, None, way, tuple(terms))

    def _term(self, line: Acting, sense: int, action: Action, place: Spot | Direction) -> Term | None:
        share = self._share(line, sense, place)
        if share.is_zero:
            return None
        way, turning = self.lettering.way(line, sense)
        side = share.sign() or 1
        foot = None
        if isinstance(place, Spot) and not turning:
            along = dot(minus(place.at, line.at), way)
            foot = self._vec((line.at[0] + along * way[0], line.at[1] + along * way[1]), LENGTH)
        dim = NUMBER if isinstance(place, Direction) or turning else LENGTH
        return Term(action, self.printed(share * side, dim), side, foot)

    def _share(self, line: Acting, sense: int, place: Spot | Direction) -> Element:
        """The moment or component of a unit of a force, the way that it is taken to act on a part."""
        way, turning = self.lettering.way(line, sense)
        if isinstance(place, Direction):
            return self.frame.field.zero if turning else dot(way, self.frame.unit(place.way))
        arm = minus(line.at, place.at)
        return self.frame.field.one * turning if turning else arm[0] * way[1] - arm[1] * way[0]

    def coefficients(self, candidate: Candidate) -> tuple[dict[Name, Element], list[Element]]:
        """An equation as elements: by letter, and the weights and loads one by one; sums with sign."""
        letters: dict[Name, Element] = {}
        loads: list[Element] = []
        for line in self.lettering.lines:
            sense = line.sense_on(candidate.part)
            if not sense or (line.unknown is not None and self.lettering.image(line.unknown) is None):
                continue
            share = self._share(line, sense, candidate.place)
            if share.is_zero:
                continue
            if line.unknown is None and line.size is not None:
                loads.append(share * line.size)
            elif line.unknown is not None:
                image = self.lettering.image(line.unknown)
                name = self.lettering.names[line.unknown if image is None else image[0]]
                if line.factor is not None:
                    share = share * self.frame.element(line.factor)
                letters[name] = letters[name] + share if name in letters else share
        return {name: value for name, value in letters.items() if not value.is_zero}, loads
