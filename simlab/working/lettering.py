"""Letters for the unknowns of a working, and the sense in which each is taken to act."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import count

from simlab.errors import SimlabFault
from simlab.frame.model import GROUND, Name
from simlab.frame.quantity import Quantity
from simlab.results import wording
from simlab.results.wording import called, sides, spaced
from simlab.statics.velocity import Exact
from simlab.working.interactions import Interactions, Unknown
from simlab.working.lines import Acting
from simlab.working.places import point_words
from simlab.working.reduction import Reduction

POOLS = {
    "pull": ("T", "S", "F", "Z"),
    "normal": ("R", "N", "S", "Q"),
    "rough": ("N", "R", "S", "Q"),
    "friction": ("F", "G", "H", "J"),
    "across": ("X", "H", "U"),
    "upwards": ("Y", "V", "Z"),
    "moment": ("M", "G", "K"),
}
LONGEST_INDEX = 2  # letters of a point's name that may stand as an index


@dataclass
class Sense:
    """How an unknown is taken to act: `flip` times its own way; argued for, or only assumed."""

    flip: int
    argued: bool
    rule: str  # "", "light", "smooth", "string", "strut", "alone", "fold", "assumed"


class Lettering:
    """The letter and the sense of every unknown that is left."""

    def __init__(self, frame: Interactions, reduction: Reduction, lines: list[Acting]) -> None:
        self.frame = frame
        self.reduction = reduction
        self.lines = lines
        self.names = dict(self._names())
        self.senses: dict[int, Sense] = {}

    def image(self, unknown: int) -> tuple[int, int] | None:
        """The unknown that stands for one, and the sign; None if symmetry makes it nothing."""
        return self.reduction.image[unknown]

    def sense(self, unknown: int) -> Sense:
        """The sense of an unknown left; where nothing else was decided, the plain one."""
        if unknown not in self.senses:
            self.senses[unknown] = plain_sense(self.frame, self.frame.unknowns[unknown])
        return self.senses[unknown]

    def way(self, line: Acting, sense: int) -> tuple[Exact, int]:
        """The unit vector of an unknown force on a part in its assumed sense, or the way it turns."""
        x, y = line.way if line.turning else self.frame.unit(line.way)
        if line.unknown is None:
            return (x * sense, y * sense), line.turning * sense
        image = self.image(line.unknown)
        sign = sense if image is None else sense * image[1] * self.sense(image[0]).flip
        return (x * sign, y * sign), line.turning * sign

    # letters

    def _names(self) -> Iterator[tuple[int, Name]]:
        """A letter for each unknown left: alone of its kind a bare one, else with its place as an index."""
        taken = set(self.frame.frame.symbols) | set(self.frame.frame.points)
        free = self.reduction.free
        kinds: dict[str, list[int]] = {}
        for unknown in free:
            kinds.setdefault(self._kind(unknown), []).append(unknown)
        for kind, members in kinds.items():
            for letter in free_letters(POOLS[kind]):
                names = self._indexed(letter, members)
                if not taken & {letter, *names}:
                    break
            taken |= {letter, *names}
            yield from zip(members, names, strict=True)

    def _indexed(self, letter: Name, members: list[int]) -> list[Name]:
        """The letter itself for one unknown; with an index for each of several."""
        if len(members) == 1:
            return [letter]
        indices = [self._index(unknown) for unknown in members]
        by_place = len(set(indices)) == len(indices) and all(indices)
        base, primes = letter.rstrip("'"), letter.count("'") * "'"
        return [f"{base}_{indices[k] if by_place else k + 1}{primes}" for k in range(len(members))]

    def _kind(self, unknown: int) -> str:
        one = self.frame.unknowns[unknown]
        if one.share == "normal" and self.frame.frame.contacts[one.at].rough:
            return "rough"
        return one.share

    def _index(self, unknown: int) -> str:
        """The point of a force, where that is a letter or two."""
        one, model = self.frame.unknowns[unknown], self.frame.frame
        if one.at in model.contacts:
            point = model.contacts[one.at].on.point
        elif one.at in model.joints:
            point = model.joints[one.at].point
            others = [u for u in self.reduction.free if self.frame.unknowns[u].at == one.at]
            if len({self.frame.unknowns[u].on for u in others}) > 1:
                point = f"{point}{self._which(one)}"
        else:
            return ""
        return point if len(point) <= LONGEST_INDEX + 1 and point.isalnum() else ""

    def _which(self, one: Unknown) -> str:
        """Which of several bodies on a pin: its place in the pin's order; nothing for the ground."""
        joint = self.frame.frame.joints[one.at]
        order = [body for body in joint.bodies if body not in self.frame.light and body != GROUND]
        return str(order.index(one.on) + 1) if one.on in order else ""

    # words, of a letter as it acts on one side of a line

    def words(self, line: Acting, sense: int) -> str:
        """Which force a letter is: "the tension in the rope", "the reaction of the quay at A"."""
        unknown = self.left(line)
        one, model = self.frame.unknowns[unknown], self.frame.frame
        if one.share == "pull":
            kind = "tension" if self.sense(unknown).flip > 0 else "thrust"
            return f"the {kind} in {called(line.what)}"
        place = line.first if sense > 0 or line.second is None else line.second
        other = line.second if sense > 0 else line.first
        at = point_words(line.first.point)
        if line.what in model.contacts:
            contact = model.contacts[line.what]
            by = called(contact.by) if sense > 0 else self._node(place.body)
            kinds = {"normal": "normal reaction" if contact.rough else "reaction", "friction": "friction"}
            if sense > 0:
                return f"the {kinds[one.share]} of {by} at {at}"
            return f"the {kinds[one.share]} on {by} at {at}"
        if one.share == "moment":
            return f"the moment of the wall on {self._node(place.body)} at {at}"
        what = {"across": "horizontal", "upwards": "vertical"}[one.share]
        if other is not None and other.body == GROUND:
            return f"the {what} component of the reaction of {self._support(line)} at {at}"
        by_other = "" if other is None else f" from {self._node(other.body)}"
        return f"the {what} component of the force on {self._node(place.body)} at {at}{by_other}"

    def _support(self, line: Acting) -> str:
        """What holds a hinge or a built-in end."""
        supports = self.frame.frame.supports.values()
        return next((called(s.name) for s in supports if line.what in s.joints_or_contacts), "the ground")

    def _node(self, name: Name) -> str:
        return f"the pin {spaced(name)}" if name in self.frame.frame.joints else called(name)

    def left(self, line: Acting) -> int:
        """The unknown that stands for that of a line."""
        if line.unknown is None:
            raise SimlabFault(f"the force of {line.what} is given and has no letter")
        image = self.image(line.unknown)
        return line.unknown if image is None else image[0]

    def sense_words(self, line: Acting, sense: int) -> str:
        """The sense assumed on that side, in words; of a light member nothing."""
        if self.frame.unknowns[self.left(line)].share == "pull":
            return ""
        way, turning = self.way(line, sense)
        if turning:
            return "anticlockwise" if turning > 0 else "clockwise"
        if line.what in self.frame.frame.contacts:
            is_push = self.frame.unknowns[self.left(line)].share == "normal"
            return surface_words(self.frame, way, is_push)
        return along_words(self.frame, way)

    def rubbing(self, line: Acting, side: int) -> tuple[Quantity, str] | None:
        """Of a contact about to slip, its coefficient of friction, and the way its friction acts."""
        for other in self.lines:
            if other.factor is not None and other.what == line.what and line.factor is None:
                way, _ = self.way(other, side)
                return other.factor, surface_words(self.frame, way, is_push=False)
        return None


def free_letters(pool: Sequence[Name]) -> Iterator[Name]:
    """The letters of a pool, then the same with primes, without end."""
    for primes in count():
        for letter in pool:
            yield letter + "'" * primes


def along_words(frame: Interactions, way: Exact) -> str:
    """A direction in words: "upwards", "to the left", "upwards and to the right"."""
    to = sides(frame.frame)
    right, up = (0 if part.is_zero else part.sign() for part in way)
    return wording.sense(right, up, to)


def surface_words(frame: Interactions, way: Exact, is_push: bool) -> str:
    """The way of a force of a contact: on a sloping surface square to it, or up or down along it."""
    right, up = (0 if part.is_zero else part.sign() for part in way)
    if not right or not up:
        return along_words(frame, way)
    if is_push:
        return f"perpendicular to the surface, {'upwards' if up > 0 else 'downwards'}"
    return f"along the surface, {'upwards' if up > 0 else 'downwards'}"


def plain_sense(frame: Interactions, one: Unknown) -> Sense:
    """What is said of a force before anything is worked out."""
    model = frame.frame
    if one.share == "pull":
        link = model.links.get(one.at)
        if link is not None and link.kind == "strut":
            return Sense(-1, True, "strut")
        if link is not None and link.is_string:
            return Sense(1, True, "string")
        return Sense(1, False, "light")
    if one.share == "normal":
        two_sided = model.contacts[one.at].two_sided
        return Sense(1, not two_sided, "assumed" if two_sided else "smooth")
    return Sense(1, False, "assumed")
