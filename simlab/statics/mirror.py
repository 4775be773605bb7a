"""Symmetry proved in letters, what follows from it, and that against the solution that does not use it.

If a mirror takes the frame and its loads to itself, it takes forces in balance to forces in balance;
forces that are unique are then their own images. On a hinge on the axis that joins two rods that are
images of each other, and carries nothing else, R and its image add up to nothing: R has no component
along the axis.
"""

from __future__ import annotations

from simlab.exact.field import Element, Field
from simlab.frame.model import GROUND, Frame, Name, Place, Values, Vec
from simlab.frame.quantity import Quantity
from simlab.frame.symmetry import Mirror, mirror
from simlab.results.forces import Key
from simlab.results.statics import Statics
from simlab.results.symmetry import Symmetry

Exact = tuple[Element, Element]


def symmetry(frame: Frame, values: Values) -> Symmetry | None:
    """What follows from the symmetry of a frame, proved in its letters; None where there is none.

    >>> from simlab.frame.scene import read_scene
    >>> frame = read_scene("scenes/kite_lantern.toml")
    >>> symmetry(frame, frame.shown).hinges
    ('B',)
    """
    found = mirror(frame)
    if found is None or not _holds(frame, values, found):
        return None
    images = {key: _image(frame, found, key) for key in _keys(frame)}
    pairs = tuple((a, b) for a, b in images.items() if a < b)
    members = tuple((a, b) for a, b in found.links.items() if a < b)
    hinges = tuple(name for name in frame.joints if _is_plain(frame, found, name))
    return Symmetry(found, pairs, members, hinges, _sentences(frame, found, pairs, members, hinges))


def used(symmetry: Symmetry, statics: Statics) -> bool:
    """Whether every statement about forces that are unique is true of a solution found without it."""
    forces = statics.case.forces
    pairs = [(a, b) for a, b in symmetry.reactions if a in forces.reactions and b in forces.reactions]
    plain = [
        key
        for key in forces.reactions
        if key.at in symmetry.hinges and key.by == key.at and key.on != key.at
    ]
    vectors = [forces.reactions[key].force for pair in pairs for key in pair]
    vectors += [forces.reactions[key].force for key in plain]
    tensions = [
        (forces.tensions[a], forces.tensions[b])
        for a, b in symmetry.members
        if {a, b} <= set(forces.tensions)
    ]
    quantities = [q for vec in (*vectors, symmetry.mirror.direction, symmetry.mirror.point) for q in vec]
    turns = [(forces.reactions[a].moment, forces.reactions[b].moment) for a, b in pairs]
    moments = [(m, n) for m, n in turns if m is not None and n is not None]
    quantities += [q for pair in moments for q in pair]
    here = statics.values if statics.only_here else {}
    proof = _Reflection(
        symmetry.mirror, statics.values, [*quantities, *(q for t in tensions for q in t)], here
    )
    for a, b in pairs:
        image = proof.turned(proof.vec(forces.reactions[a].force))
        if image != proof.vec(forces.reactions[b].force):
            return False
    if any(not (proof.element(m) + proof.element(n)).is_zero for m, n in moments):
        return False
    along = proof.vec(symmetry.mirror.direction)
    for key in plain:
        x, y = proof.vec(forces.reactions[key].force)
        if not (x * along[0] + y * along[1]).is_zero:
            return False
    return all(proof.element(a) == proof.element(b) for a, b in tensions)


class _Reflection:
    """Images in an exact field."""

    def __init__(self, found: Mirror, values: Values, quantities: list[Quantity], put: Values) -> None:
        self._put = put
        exprs = [q.at(put).expr for q in (*quantities, *found.point, *found.direction)]
        self.field = Field.containing(exprs, {name: value.expr for name, value in values.items()})
        self.point, self.along = self.vec(found.point), self.vec(found.direction)

    def element(self, quantity: Quantity) -> Element:
        return self.field.element(quantity.at(self._put).expr)

    def vec(self, vec: Vec) -> Exact:
        return self.element(vec[0]), self.element(vec[1])

    def turned(self, vector: Exact) -> Exact:
        """The image of a vector: 2 (v.d) d/|d|^2 - v."""
        dx, dy = self.along
        twice = (vector[0] * dx + vector[1] * dy) * 2 / (dx * dx + dy * dy)
        return twice * dx - vector[0], twice * dy - vector[1]

    def image(self, point: Exact) -> Exact:
        """The image of a point."""
        x, y = self.turned((point[0] - self.point[0], point[1] - self.point[1]))
        return self.point[0] + x, self.point[1] + y


def _holds(frame: Frame, values: Values, found: Mirror) -> bool:
    """Whether the pairing found in numbers is a symmetry whatever the letters are."""
    at = [(frame.points[a], frame.points[b]) for a, b in found.points.items()]
    at += [(frame.bodies[a].centre, frame.bodies[b].centre) for a, b in found.bodies.items()]
    ways = [(frame.contacts[a].normal, frame.contacts[b].normal) for a, b in found.contacts.items()]
    for a, b in found.contacts.items():
        one_way, other_way = frame.contacts[a].slips, frame.contacts[b].slips
        ways += [(one_way, other_way)] if one_way is not None and other_way is not None else []
    forces = [(frame.loads[a].force, frame.loads[b].force) for a, b in found.loads.items()]
    equal: list[tuple[Quantity | None, Quantity | None]] = []
    equal += [(frame.bodies[a].weight, frame.bodies[b].weight) for a, b in found.bodies.items()]
    equal += [(frame.contacts[a].friction, frame.contacts[b].friction) for a, b in found.contacts.items()]
    for a, b in found.links.items():
        link, twin = frame.links[a], frame.links[b]
        equal += [
            (link.natural, twin.natural),
            (link.stiffness, twin.stiffness),
            (link.tension, twin.tension),
        ]
    for a, b in found.loads.items():
        moment, opposite = frame.loads[a].couple, frame.loads[b].couple
        equal += [(moment, -opposite)] if moment is not None and opposite is not None else []
    pairs = [pair for pair in equal if pair != (None, None)]
    numbers = [(a, b) for a, b in pairs if a is not None and b is not None]
    quantities = [q for group in (at, ways, forces) for pair in group for vec in pair for q in vec]
    proof = _Reflection(found, values, [*quantities, *(q for pair in numbers for q in pair)], {})
    for way, other in ways:
        (x, y), (u, v) = proof.turned(proof.vec(way)), proof.vec(other)
        if not (x * v - y * u).is_zero:
            return False
    return (
        len(pairs) == len(numbers)
        and all(proof.image(proof.vec(a)) == proof.vec(b) for a, b in at)
        and all(proof.turned(proof.vec(a)) == proof.vec(b) for a, b in forces)
        and all(proof.element(a) == proof.element(b) for a, b in numbers)
    )


def _keys(frame: Frame) -> list[Key]:
    """Every reaction of a frame, by the keys of `results.forces`."""
    keys = []
    for joint in frame.joints.values():
        for body in joint.bodies:
            if joint.kind == "pin" or body != GROUND:
                keys.append(Key.of_joint(joint, body))
    keys += [Key.of(contact) for contact in frame.contacts.values()]
    for link in frame.links.values():
        keys += [Key.of_member(link.name, place) for place in link.ends if place.body != GROUND]
    return keys


def _image(frame: Frame, found: Mirror, key: Key) -> Key:
    partner = {**found.joints, **found.bodies, GROUND: GROUND}
    if key.by in frame.links and key.at not in frame.joints and key.at not in frame.contacts:
        point = next(p.point for p in frame.links[key.by].ends if Key.of_member(key.by, p) == key)
        return Key.of_member(found.links[key.by], Place(partner[key.on], found.points[point]))
    if key.at in frame.contacts:
        at = found.contacts[key.at]
        return Key(partner[key.on], at, frame.contacts[at].by)
    at = found.joints[key.at]
    return Key(partner[key.on], at, GROUND if key.by == GROUND else at)


def _is_plain(frame: Frame, found: Mirror, name: Name) -> bool:
    """Whether a hinge on the axis joins two images of each other, and nothing else is on its pin."""
    joint = frame.joints[name]
    if (
        joint.kind != "pin"
        or len(joint.bodies) != 2
        or found.joints[name] != name
        or GROUND in joint.bodies
    ):
        return False
    touched = any(contact.on.body == name for contact in frame.contacts.values())
    return found.bodies[joint.bodies[0]] == joint.bodies[1] and frame.is_bare(name) and not touched


def _sentences(
    frame: Frame,
    found: Mirror,
    pairs: tuple[tuple[Key, Key], ...],
    members: tuple[tuple[Name, Name], ...],
    hinges: tuple[Name, ...],
) -> tuple[str, ...]:
    """The statements in words."""
    on_axis = next((f" through {a}" for a, b in found.points.items() if a == b), "")
    level = found.direction[1].is_zero
    line = "vertical" if found.is_upright else "level line" if level else "line of symmetry"
    start = f"The frame and its loads are the same on both sides of the {line}{on_axis}"
    said = (
        [f"{start}: the forces on one side are the mirror images of those on the other."] if pairs else []
    )
    held = [(a.at, b.at) for a, b in pairs if a.by == GROUND or a.at in frame.contacts]
    points = {name: contact.on.point for name, contact in frame.contacts.items()}
    supports = dict.fromkeys((points.get(a, a), points.get(b, b)) for a, b in held)
    for a, b in supports:
        said.append(f"So the reactions at {a} and {b} are mirror images of each other.")
    for a, b in members:
        said.append(f"So the forces in {a} and {b} are equal.")
    for name in hinges:
        one, other = frame.joints[name].bodies
        without = (
            "is level: it has no upward component" if found.is_upright else "has no component along it"
        )
        said.append(
            f"So the force of {one} and {other} on each other at {name} {without}. "
            f"(Nothing but these two is on the pin {name}.)"
        )
    return tuple(said)
