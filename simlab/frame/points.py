"""Points as a question states them, worked out exactly."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping

from simlab.errors import BadInput, nearest
from simlab.frame.model import Name, Vec
from simlab.frame.part_entries import LoadEntry
from simlab.frame.quantity import LENGTH, NUMBER, Quantity, distance2, in_words
from simlab.frame.scene_entries import PointEntry
from simlab.frame.words import Exact, Heading, Pair

Read = Callable[[Exact], Quantity]

_HEADINGS: Mapping[Heading, tuple[int, int]] = {
    "up": (0, 1),
    "down": (0, -1),
    "left": (-1, 0),
    "right": (1, 0),
}
FORMS = """[x, y]; middle; from, towards with fraction or length; from with length or level_with or
plumb_with, and angle or direction (and lean, to) or square_to, side; lines; at_lengths, side; line
with at_length, nearer or foot_from or level_with or plumb_with or mirror; level_with, plumb_with"""


def heading(direction: Heading) -> Vec:
    """The unit vector of a heading."""
    x, y = _HEADINGS[direction]
    return Quantity.of(x), Quantity.of(y)


def plus(a: Vec, b: Vec, share: Quantity) -> Vec:
    """a + share * b."""
    return a[0] + b[0] * share, a[1] + b[1] * share


def minus(a: Vec, b: Vec) -> Vec:
    """a - b."""
    return a[0] - b[0], a[1] - b[1]


def dot(a: Vec, b: Vec) -> Quantity:
    """The scalar product."""
    return a[0] * b[0] + a[1] * b[1]


def cross(a: Vec, b: Vec) -> Quantity:
    """The component of the vector product out of the plane, anticlockwise positive."""
    return a[0] * b[1] - a[1] * b[0]


class Points:
    """The named points of a scene, each worked out when it is first asked for.

    `shown`, the demonstration values, settle which side of a line is "above"; `found` are the letters
    to be found.
    """

    def __init__(
        self,
        entries: Mapping[Name, tuple[Exact, Exact] | PointEntry],
        read: Read,
        shown: Mapping[Name, Quantity],
        found: Collection[Name] = (),
    ) -> None:
        self.entries = entries
        self.read = read
        self.shown = shown
        self.found = frozenset(found)
        self._lengths: dict[frozenset[Name], Quantity] = {}  # of two points, as the scene states them
        self._found: dict[Name, Vec] = {}
        self._open: list[Name] = []  # being worked out: a point may not depend on itself

    def __getitem__(self, name: Name) -> Vec:
        if name not in self._found:
            if name not in self.entries:
                declared = ", ".join(self.entries) or "none"
                raise BadInput(
                    f'point "{name}" is not declared. Declared points: {declared}. '
                    f"Add {name} to [points] or correct the name." + nearest(name, self.entries)
                )
            if name in self._open:
                chain = " -> ".join([*self._open, name])
                raise BadInput(f"the point depends on itself: {chain}")
            self._open.append(name)
            self._found[name] = self._work_out(name, self.entries[name])
            self._open.pop()
        return self._found[name]

    def distance(self, a: Name, b: Name) -> Quantity:
        """How far two points are apart: as the scene states it, where it does, else by Pythagoras."""
        start, end = self[a], self[b]
        return self._lengths.get(frozenset((a, b))) or distance2(start, end).sqrt()

    def _state(self, a: Name, b: Name, length: Quantity) -> Quantity:
        """Remember a length that the scene states, unless it might be negative for a letter to be found."""
        if length.expr.is_nonnegative or not length.names & self.found:
            self._lengths[frozenset((a, b))] = length
        return length

    def _length(self, text: Exact) -> Quantity:
        return of_kind(self.read(text), LENGTH)

    def _angle(self, text: Exact) -> Quantity:
        return of_kind(self.read(text), NUMBER)

    def _line(self, pair: Pair) -> tuple[Vec, Vec]:
        """A point of the line and the way along it."""
        a, b = self[pair[0]], self[pair[1]]
        if (a[0] - b[0]).is_zero and (a[1] - b[1]).is_zero:
            raise BadInput(f"{pair[0]} and {pair[1]} are one place and make no line")
        return a, minus(b, a)

    def _work_out(self, name: Name, entry: tuple[Exact, Exact] | PointEntry) -> Vec:
        if not isinstance(entry, PointEntry):
            return self._length(entry[0]), self._length(entry[1])
        if entry.middle:
            a, way = self._line(entry.middle)
            half = Quantity.of(1) / Quantity.of(2)
            for end in entry.middle:
                self._state(end, name, self.distance(*entry.middle) * half)
            return plus(a, way, half)
        if entry.from_:
            return self._from(name, entry.from_, entry)
        if entry.lines:
            return self._crossing(*entry.lines)
        if entry.at_lengths and entry.side:
            return self._at_lengths(name, entry.at_lengths, entry.side)
        if entry.line:
            return self._on_line(entry.line, entry)
        if entry.level_with and entry.plumb_with:
            return self[entry.plumb_with][0], self[entry.level_with][1]
        raise BadInput(f"the point is not fixed by these keys. Give one of: {FORMS}")

    def _from(self, name: Name, first: Name, entry: PointEntry) -> Vec:
        start = self[first]
        if entry.towards:
            way = minus(self[entry.towards], start)
            if entry.fraction is not None:
                share = of_kind(self.read(entry.fraction), NUMBER)
                if share.expr.is_nonnegative:
                    self._state(first, name, self.distance(first, entry.towards) * share)
                return plus(start, way, share)
            if entry.length is not None:
                length = self._state(first, name, self._length(entry.length))
                return plus(start, way, length / self.distance(first, entry.towards))
        elif entry.length is not None:
            return plus(start, self.way(entry), self._state(first, name, self._length(entry.length)))
        elif entry.level_with:
            return self._where(start, self.way(entry), self[entry.level_with], 1)
        elif entry.plumb_with:
            return self._where(start, self.way(entry), self[entry.plumb_with], 0)
        raise BadInput(f"from a point: say how far and which way. Give one of: {FORMS}")

    def way(self, entry: PointEntry | LoadEntry) -> Vec:
        """The unit vector of the way to go, or in which a force acts."""
        if entry.angle is not None:
            angle = self._angle(entry.angle)
            return angle.function("cos"), angle.function("sin")
        if entry.direction:
            ahead = heading(entry.direction)
            if entry.lean is None:
                return ahead
            to = next((h for h in _HEADINGS if h == entry.to), None)
            if to is None or not dot(ahead, heading(to)).is_zero:
                sides = "up or down" if entry.direction in ("left", "right") else "left or right"
                raise BadInput(f'leaning from "{entry.direction}": say the side, to = {sides}')
            lean, across = self._angle(entry.lean), heading(to)
            return plus(
                (ahead[0] * lean.function("cos"), ahead[1] * lean.function("cos")),
                across,
                lean.function("sin"),
            )
        if entry.square_to and entry.side:
            _, way = self._line(entry.square_to)
            across = self.turned_to(way, entry.side)
            size = self.distance(*entry.square_to)
            return across[0] / size, across[1] / size
        raise BadInput("say which way: angle, direction (and lean, to), or square_to and side")

    def turned_to(self, way: Vec, side: Heading) -> Vec:
        """`way` turned through a right angle so that it points to `side`."""
        left = (-way[1], way[0])
        towards = dot(left, heading(side)).at(self.shown).number()
        if towards == 0:
            raise BadInput(f'the line runs {side} itself, so "side" cannot be {side}')
        return left if towards > 0 else (-left[0], -left[1])

    def _crossing(self, first: Pair, second: Pair) -> Vec:
        a, along = self._line(first)
        b, other = self._line(second)
        across = cross(along, other)
        if across.at(self.shown).number() == 0:
            raise BadInput(f"the lines {'-'.join(first)} and {'-'.join(second)} do not meet")
        return plus(a, along, cross(minus(b, a), other) / across)

    def _at_lengths(
        self, name: Name, ends: tuple[tuple[str, Exact], tuple[str, Exact]], side: Heading
    ) -> Vec:
        """The third corner of a triangle of given sides (cosine rule)."""
        (a_name, _), (b_name, _) = ends
        a, way = self._line((a_name, b_name))
        p, q = (self._state(end, name, self._length(length)) for end, length in ends)
        base2 = self.distance(a_name, b_name) ** 2
        share = (p * p - q * q + base2) / (Quantity.of(2) * base2)
        height2 = p * p / base2 - share * share
        if height2.at(self.shown).number() < 0:
            raise BadInput(f"no point is {p} from {a_name} and {q} from {b_name}: they are too far apart")
        foot = plus(a, way, share)
        return plus(foot, self.turned_to(way, side), height2.sqrt())

    def _on_line(self, line: Pair, entry: PointEntry) -> Vec:
        a, way = self._line(line)
        if entry.level_with:
            return self._where(a, way, self[entry.level_with], 1)
        if entry.plumb_with:
            return self._where(a, way, self[entry.plumb_with], 0)
        if entry.foot_from:
            return plus(a, way, dot(minus(self[entry.foot_from], a), way) / dot(way, way))
        if entry.mirror:
            point = self[entry.mirror]
            foot = plus(a, way, dot(minus(point, a), way) / dot(way, way))
            return minus((foot[0] + foot[0], foot[1] + foot[1]), point)
        if entry.at_length and entry.nearer in line:
            centre, radius = self[entry.at_length[0]], self._length(entry.at_length[1])
            share = dot(minus(centre, a), way) / dot(way, way)
            gap2 = distance2(centre, plus(a, way, share))
            reach2 = (radius * radius - gap2) / dot(way, way)
            if reach2.at(self.shown).number() < 0:
                raise BadInput(
                    f"the line {'-'.join(line)} passes farther than {radius} from {entry.at_length[0]}"
                )
            step = reach2.sqrt()
            return plus(a, way, share + step if entry.nearer == line[1] else share - step)
        raise BadInput(f"on a line: say where. Give one of: {FORMS}")

    def _where(self, a: Vec, way: Vec, point: Vec, axis: int) -> Vec:
        if way[axis].at(self.shown).number() == 0:
            raise BadInput("the line never gets there: it is " + ("level" if axis else "upright"))
        return plus(a, way, (point[axis] - a[axis]) / way[axis])


def of_kind(quantity: Quantity, dim: tuple[int, int, int]) -> Quantity:
    """The quantity, if it has the dimensions wanted; raises BadInput otherwise."""
    if quantity.dim == dim or quantity.is_zero:
        return Quantity(quantity.expr, dim)
    unit = {LENGTH: ' (with its unit: "3 m")', (1, 0, 0): ' (with its unit: "6 N")'}.get(dim, "")
    raise BadInput(f"{quantity} is {in_words(quantity.dim)}; here goes {in_words(dim)}{unit}")
