"""Frames that are the same on both sides of a line: the mirror, and what it takes to what.

    P' = m + 2*((P - m).d) d/|d|^2 - (P - m),    m on the axis, d along it

Found in numbers at the values shown; `statics.mirror` proves it in letters.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping
from dataclasses import dataclass
from math import hypot

from simlab.frame.model import GROUND, Frame, Load, Name, Place, Vec
from simlab.frame.quantity import Quantity

# Share of the frame's size (of the weights, for loads) within which two things are the same at the values
# shown: far above the rounding of doubles, far below what can be drawn.
SAME = 1e-9

Point = tuple[float, float]
Axis = tuple[Point, Point]  # a point on it, and a unit vector along it


@dataclass(frozen=True)
class Mirror:
    """An axis (a point on it [m], a direction) and the partner of every part; on the axis its own."""

    point: Vec
    direction: Vec
    points: Mapping[Name, Name]
    bodies: Mapping[Name, Name]
    joints: Mapping[Name, Name]
    links: Mapping[Name, Name]
    contacts: Mapping[Name, Name]
    loads: Mapping[Name, Name]

    @property
    def is_upright(self) -> bool:
        """Whether the axis is vertical."""
        return self.direction[0].is_zero


def mirror(frame: Frame) -> Mirror | None:
    """The mirror that takes a frame with its loads to itself at the values shown; None if there is none.

    The axis is vertical where anything has weight. Otherwise the first of: vertical, level, any other.

    >>> from simlab.frame.scene import read_scene
    >>> found = mirror(read_scene("scenes/kite_lantern.toml"))
    >>> found.points["L"], found.points["K"], found.is_upright
    ('R', 'K', True)
    """
    matching = _Matching(frame)
    for axis in matching.axes():
        found = matching.at(axis)
        if found is not None:
            return found
    return None


class _Matching:
    """A frame in numbers, to be matched with its image."""

    def __init__(self, frame: Frame) -> None:
        self.frame = frame
        self.where = {name: self._point(frame.points[name]) for name in self._used()}
        self.centres = {name: self._point(body.centre) for name, body in frame.bodies.items()}
        self.marks = [*self.where.values(), *self.centres.values()]
        count = max(len(self.marks), 1)
        self.middle = sum(x for x, _ in self.marks) / count, sum(y for _, y in self.marks) / count
        self.size = max(
            (hypot(p[0] - self.middle[0], p[1] - self.middle[1]) for p in self.marks), default=0.0
        )
        forces = [abs(self._number(v)) for load in frame.loads.values() for v in load.value]
        self.force = max([*forces, *(self._number(b.weight) for b in frame.bodies.values())], default=0.0)

    def _number(self, quantity: Quantity) -> float:
        return quantity.number(self.frame.shown)

    def _point(self, vec: Vec) -> Point:
        return self._number(vec[0]), self._number(vec[1])

    def _used(self) -> list[Name]:
        """The points at which something acts, in the frame's order."""
        frame = self.frame
        used = {joint.point for joint in frame.joints.values()}
        used |= {place.point for link in frame.links.values() for place in link.places}
        used |= {contact.on.point for contact in frame.contacts.values()}
        used |= {load.place.point for load in frame.loads.values()}
        return [name for name in frame.points if name in used]

    def axes(self) -> Iterator[Axis]:
        """Every line that could be the axis: through the middle of all points, and halfway between two."""
        if not self.marks or not self.size:
            return
        middle = self.middle
        yield middle, (0.0, 1.0)
        frame = self.frame
        if any(not b.is_light for b in frame.bodies.values()) or any(
            load.kind == "weight" for load in frame.loads.values()
        ):
            return
        yield middle, (1.0, 0.0)
        arms = [(x - middle[0], y - middle[1]) for x, y in self.marks]
        far = max(arms, key=lambda arm: hypot(*arm))
        for arm in arms:
            for x, y in ((far[0] + arm[0], far[1] + arm[1]), (arm[1] - far[1], far[0] - arm[0])):
                length = hypot(x, y)
                if length > SAME * self.size:
                    yield middle, (x / length, y / length)

    def at(self, axis: Axis) -> Mirror | None:
        """The pairing of all parts by one axis; None where some part has no partner."""
        frame, self.axis = self.frame, axis
        points = self._pairing(
            self.where, lambda a, b: self._near(self._image(self.where[a]), self.where[b])
        )
        bodies = self._pairing(frame.bodies, self._are_bodies)
        if points is None or bodies is None:
            return None
        self.points, self.partner = points, {**bodies, GROUND: GROUND}
        joints = self._pairing(frame.joints, self._are_joints)
        if joints is None:
            return None
        self.partner |= {a: b for a, b in joints.items() if a not in frame.bodies}
        links = self._pairing(frame.links, self._are_links)
        contacts = self._pairing(frame.contacts, self._are_contacts)
        loads = self._pairing(frame.loads, self._are_loads)
        if links is None or contacts is None or loads is None:
            return None
        point, direction = self._exact(points, bodies)
        return Mirror(point, direction, points, bodies, joints, links, contacts, loads)

    def _pairing(
        self, parts: Mapping[Name, object], are: Callable[[Name, Name], bool]
    ) -> dict[Name, Name] | None:
        """The partner of each part; of several alike, each is taken once."""
        taken: dict[Name, Name] = {}
        for name in parts:
            if name in taken:
                continue
            partner = next((b for b in parts if b not in taken and are(name, b) and are(b, name)), None)
            if partner is None:
                return None
            taken[name], taken[partner] = partner, name
        return taken

    # images

    def _image(self, point: Point) -> Point:
        (mx, my), _ = self.axis
        x, y = self._turned((point[0] - mx, point[1] - my))
        return mx + x, my + y

    def _turned(self, vector: Point) -> Point:
        """The image of a vector."""
        _, (dx, dy) = self.axis
        along = vector[0] * dx + vector[1] * dy
        return 2 * along * dx - vector[0], 2 * along * dy - vector[1]

    def _near(self, a: Point, b: Point) -> bool:
        return hypot(a[0] - b[0], a[1] - b[1]) <= SAME * self.size

    def _same(self, a: Quantity | None, b: Quantity | None) -> bool:
        if a is None or b is None:
            return a is b
        left, right = self._number(a), self._number(b)
        return abs(left - right) <= SAME * max(abs(left), abs(right))

    def _place(self, place: Place) -> Hashable:
        """The image of a place, by names."""
        return self.partner.get(place.body, place.body), self.points[place.point]

    def _are_bodies(self, a: Name, b: Name) -> bool:
        one, other = self.frame.bodies[a], self.frame.bodies[b]
        images = [self._image(self._point(corner)) for corner in one.outline]
        corners = [self._point(corner) for corner in other.outline]
        return (
            one.kind == other.kind
            and self._same(one.weight, other.weight)
            and self._same(one.radius, other.radius)
            and self._near(self._image(self.centres[a]), self.centres[b])
            and len(images) == len(corners)
            and all(any(self._near(image, corner) for corner in corners) for image in images)
        )

    def _are_joints(self, a: Name, b: Name) -> bool:
        one, other = self.frame.joints[a], self.frame.joints[b]
        return (
            one.kind == other.kind
            and self.points[one.point] == other.point
            and {self.partner[body] for body in one.bodies} == set(other.bodies)
        )

    def _are_links(self, a: Name, b: Name) -> bool:
        one, other = self.frame.links[a], self.frame.links[b]
        images = [self._place(place) for place in one.places]
        places = [(place.body, place.point) for place in other.places]
        return (
            one.kind == other.kind
            and images in (places, places[::-1])
            and self._same(one.natural, other.natural)
            and self._same(one.stiffness, other.stiffness)
            and self._same(one.tension, other.tension)
        )

    def _are_contacts(self, a: Name, b: Name) -> bool:
        one, other = self.frame.contacts[a], self.frame.contacts[b]
        bodies = self.frame.bodies
        ways = [(one.normal, other.normal)]
        if one.slips is not None and other.slips is not None:
            ways.append((one.slips, other.slips))
        return (
            self._place(one.on) == (other.on.body, other.on.point)
            and (self.partner[one.by] == other.by if one.by in bodies else other.by not in bodies)
            and (one.rough, one.two_sided, one.about_to) == (other.rough, other.two_sided, other.about_to)
            and (one.slips is None) == (other.slips is None)
            and self._same(one.friction, other.friction)
            and all(self._are_ways(this, that) for this, that in ways)
        )

    def _are_ways(self, a: Vec, b: Vec) -> bool:
        """Whether the image of one vector points the same way as the other."""
        (x, y), (u, v) = self._turned(self._point(a)), self._point(b)
        sizes = hypot(x, y) * hypot(u, v)
        return abs(x * v - y * u) <= SAME * sizes and x * u + y * v > 0

    def _are_loads(self, a: Name, b: Name) -> bool:
        one, other = self.frame.loads[a], self.frame.loads[b]
        if one.kind != other.kind or self._place(one.place) != (other.place.body, other.place.point):
            return False
        if one.couple is not None and other.couple is not None:
            return self._same(one.couple, -other.couple)
        x, y = self._turned(self._force(one))
        u, v = self._force(other)
        return hypot(x - u, y - v) <= SAME * self.force

    def _force(self, load: Load) -> Point:
        return self._point(load.force)

    def _exact(self, points: Mapping[Name, Name], bodies: Mapping[Name, Name]) -> tuple[Vec, Vec]:
        """The axis in letters: through a point on it or halfway between two, square to their line."""
        frame = self.frame
        pairs = [(frame.points[a], frame.points[b]) for a, b in points.items()]
        pairs += [(frame.bodies[a].centre, frame.bodies[b].centre) for a, b in bodies.items()]
        (ax, ay), (bx, by) = next(((a, b) for a, b in pairs if a != b), pairs[0])
        half = Quantity.of(1) / Quantity.of(2)
        point = next((a for a, b in pairs if a == b), ((ax + bx) * half, (ay + by) * half))
        _, (dx, dy) = self.axis
        if abs(dx) <= SAME:
            return point, (Quantity.zero(), Quantity.of(1))
        if abs(dy) <= SAME:
            return point, (Quantity.of(1), Quantity.zero())
        return point, (ay - by, bx - ax)
