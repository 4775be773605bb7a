"""What is said around equations: which part, what is internal, which way forces act, what results mean."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from simlab.frame.quantity import Quantity
from simlab.results.wording import called, listed
from simlab.results.working import Equation, Step, Words
from simlab.working.algebra import same
from simlab.working.lettering import Lettering, along_words
from simlab.working.lines import Acting
from simlab.working.parts import Nodes, in_words
from simlab.working.places import point_words
from simlab.working.search import Block, Chain
from simlab.working.senses import reason
from simlab.working.steps import Solver
from simlab.working.survey import Candidate


class Narrative:
    """Tells a chain step by step; remembers which letters and parts have been introduced."""

    def __init__(self, lettering: Lettering, solver: Solver, arguments: dict[int, Words]) -> None:
        self.lettering = lettering
        self.frame = lettering.frame
        self.solver = solver
        self.arguments = arguments
        self._seen: dict[int, tuple[Acting, int]] = {}  # how each unknown first came in
        self._parts: set[Nodes] = set()

    # throughout

    def before(self, chain: Chain, nil: bool = False) -> tuple[Words, ...]:
        """What holds throughout: symmetry, where the chain uses it or what is asked is `nil` by it."""
        found = self.lettering.reduction.symmetry
        if found is None or not (nil or self._uses_symmetry(chain)):
            return ()
        on_axis = next((f" through {a}" for a, b in found.mirror.points.items() if a == b), "")
        line = "the vertical" if found.mirror.is_upright else "the level line"
        same_on_both = f"The frame and its loads are the same on both sides of {line}{on_axis}"
        said: list[Words] = [
            (f"{same_on_both}, so the forces on one side are the mirror images of those on the other.",)
        ]
        for name in found.hinges:
            one, other = (called(body) for body in self.frame.frame.joints[name].bodies)
            up = "upward" if found.mirror.is_upright else "level"
            sentence = (
                f"At {name} the forces of {one} and {other} on each other are equal and opposite, "
                f"and also mirror images of each other: so they have no {up} component. "
                f"(Nothing else is on the pin {name}.)"
            )
            said.append((sentence,))
        return tuple(said)

    def _uses_symmetry(self, chain: Chain) -> bool:
        """Whether an unknown of some part of the chain is nothing, or an image, by symmetry."""
        for one in chain.equations:
            for _, unknown, _ in self._lines(one.part):
                image = self.lettering.image(unknown)
                if image is None or image[0] != unknown:
                    return True
        return False

    def _lines(self, nodes: Nodes) -> Iterator[tuple[Acting, int, int]]:
        """The unknown forces on a part: the line, its unknown, and on which side of it the part is."""
        for line in self.lettering.lines:
            sense = line.sense_on(nodes)
            if sense and line.unknown is not None and line.factor is None:
                yield line, line.unknown, sense

    # steps

    def steps(self, blocks: Sequence[Block], finds: Sequence[Sequence[int]]) -> Iterator[Step]:
        """The steps of some blocks, in order."""
        for block, found in zip(blocks, finds, strict=True):
            equations = [self.solver.balances.equation(one) for one in block]
            many = len({one.part for one in block}) > 1
            reasons = [words for one in block for words in self._reasons(one.part, equations, many)]
            names = [self.lettering.names[unknown] for unknown in found]
            lines = self.solver.solve(block, equations, names)
            closing = [words for unknown in found for words in self._closing(unknown)]
            yield Step(tuple(equations), lines, tuple(names), tuple(reasons), tuple(closing))

    def lone(self, one: Candidate) -> Step:
        """An equation by itself, as it is first written."""
        equation = self.solver.balances.equation(one)
        reasons = tuple(self._reasons(one.part, [equation]))
        algebra = self.solver.algebra
        raw = algebra.raw(equation, None)
        short = algebra.line(algebra.divided(algebra.collected(self.solver.items(one))))
        return Step((equation,), (raw,) if same(raw, short) else (raw, short), equation.brings, reasons)

    def left_over(self, one: Candidate) -> Step:
        """An equation with every force known: what it leaves is a relation between the letters given."""
        equation = self.solver.balances.equation(one)
        reasons = tuple(self._reasons(one.part, [equation]))
        algebra = self.solver.algebra
        lines = [algebra.raw(equation, None)]
        items = algebra.spread(algebra.put_in(self.solver.items(one), self.solver.values))
        gathered = algebra.gathered(items)
        for line in (algebra.line(some) for some in (items, gathered, algebra.cancelled(gathered))):
            if not same(lines[-1], line):
                lines.append(line)
        return Step((equation,), tuple(lines), (), reasons)

    def _reasons(self, nodes: Nodes, equations: Sequence[Equation], many: bool = False) -> Iterator[Words]:
        """What is internal in a part when it is first looked at, and each new letter that is needed.

        `many`: several parts are looked at at once, so that each is named.
        """
        if nodes not in self._parts:
            self._parts.add(nodes)
            internal = self._internal(nodes)
            if internal:
                within = f"of {in_words(self.frame, nodes)} are internal" if many else "are internal here"
                yield (f"{internal} {within}: equal and opposite in pairs, they drop out.",)
        brought = {name for equation in equations for name in equation.brings}
        fresh: list[int] = []
        turned: dict[str, list[Words]] = {}  # letters that act the other way here, by their point
        for line, unknown, sense in self._lines(nodes):
            image = self.lettering.image(unknown)
            if image is None or self.lettering.names[image[0]] not in brought:
                continue
            stands_for = image[0]
            if stands_for not in self._seen:
                self._seen[stands_for] = line, sense
                fresh.append(stands_for)
            elif (line, -sense) == self._seen[stands_for] and line.is_component:
                letter = Quantity.symbol(self.lettering.names[stands_for], positive=False)
                said = letter, f" acts {self.lettering.sense_words(line, sense)}"
                turned.setdefault(point_words(line.first.point), []).append(said)
        for at, some in turned.items():
            joined: Words = some[0] if len(some) == 1 else (*some[0], " and ", *some[1])
            yield ("By Newton's third law ", *joined, f" on {in_words(self.frame, nodes)} at {at}.")
        yield from (self.introduction(unknown) for unknown in fresh)

    def _internal(self, nodes: Nodes) -> str:
        """Which forces are inside a part and drop out of its equations."""
        inner = [one for one in self.frame.all if one.first.body in nodes and one.second.body in nodes]
        if not inner:
            return ""
        hinges, members = dict[str, None](), dict[str, None]()
        for one in inner:
            if one.size is not None:
                members[called(one.size[0])] = None
            for unknown, _ in one.ways:
                at = self.frame.unknowns[unknown].at
                if self.frame.unknowns[unknown].share == "pull":
                    members[called(at)] = None
                else:
                    hinges[point_words(one.first.point)] = None
        what = []
        if hinges:
            what.append(f"at {listed(list(hinges))}")
        if members:
            what.append(f"in {listed(list(members))}")
        return f"The forces {' and '.join(what)}"

    def _closing(self, unknown: int) -> Iterator[Words]:
        """What the sign of a result means."""
        name = self.lettering.names[unknown]
        value, sense = self.solver.values[name], self.lettering.sense(unknown)
        sign = value.sign()
        line, side = self.seen(unknown)
        if sign == 0 and not value.is_zero:
            yield (Quantity.symbol(name, positive=False), " is 0 at these values.")
        elif sign < 0 and sense.rule != "alone":
            yield (f"Negative: {self._other_way(line, side, unknown)}.",)
        elif sense.rule == "string" and sign > 0:
            yield (f"Positive, so {called(line.what)} is taut.",)

    def _other_way(self, line: Acting, side: int, unknown: int) -> str:
        if self.frame.unknowns[unknown].share == "pull":
            now = "thrust" if self.lettering.sense(unknown).flip > 0 else "tension"
            return f"{called(line.what)} is in {now}"
        way, turning = self.lettering.way(line, -side)
        if turning:
            return f"it acts {'anticlockwise' if turning > 0 else 'clockwise'}"
        return f"it acts {along_words(self.frame, way)}"

    def seen(self, unknown: int) -> tuple[Acting, int]:
        """The line of an unknown, and on which side of it it first came in."""
        if unknown not in self._seen:
            line = next(line for line in self.lettering.lines if line.unknown == unknown)
            return line, 1
        return self._seen[unknown]

    def introduction(self, unknown: int) -> Words:
        """The sentence that introduces a letter, with its argument."""
        line, side = self.seen(unknown)
        argument = self.arguments.get(unknown, ())
        said = reason(self.lettering, line, side)
        if self.lettering.sense(unknown).rule == "alone" and not argument:
            argument = (f"It acts {self.lettering.sense_words(line, side)}.",)
        return (*said, *((" ", *argument) if argument else ()))
