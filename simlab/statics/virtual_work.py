"""Virtual work: a force from the one motion that it prevents, by a road of its own.

    force * (how far its point yields) = sum over loads of (load * how far it goes)

The holds of the frame are equations between velocities (`statics.kinematics`); take one out, find a motion
that breaks it and no other, and the loads' work on it gives the force, exactly.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from simlab.errors import BadInput
from simlab.exact.elimination import Row
from simlab.exact.field import Element, Field
from simlab.exact.form import textbook
from simlab.frame.model import GROUND, Frame, Link, Name, Place, Values
from simlab.frame.quantity import FORCE, LENGTH, MOMENT, NUMBER, Quantity
from simlab.results.statics import Statics
from simlab.results.virtual_work import Moves, Part, Term, VirtualWork
from simlab.statics.kinematics import Hold, Kinematics
from simlab.statics.velocity import on, plus

MOST_FREE = 2  # motions that are taken out of the one shown; more make long expressions


@dataclass(frozen=True)
class Work:
    """One load, and how far it goes as a row over the unknown velocities."""

    load: Name
    moves: Moves
    size: Element
    by: Row


@dataclass(frozen=True)
class Found:
    """The force, and the motion that yields by 1 against it; or the reason why there is none.

    `free` are the motions that do not yield, on which the loads do no work.
    """

    force: Element | None
    motion: Row
    reason: str = ""
    free: tuple[Row, ...] = ()
    special: bool = False  # the shape is, at the values


def by_virtual_work(frame: Frame, values: Values, of: Name, part: Part = "tension") -> VirtualWork:
    """A force by virtual work, with the motion and the sum from which it comes.

    "tension" of the light member `of`; "normal" or "friction" (along the normal turned clockwise) of the
    contact `of`; "across" or "upwards" of the ground on the fixed hinge or built-in end `of`, or "moment".
    Where a contact is about to slip, "normal" is the normal part of its whole reaction.

    Raises BadInput where there is no such force of unknown size.

    >>> from simlab.frame.scene import read_scene
    >>> frame = read_scene("scenes/stall_trestle.toml")
    >>> found = by_virtual_work(frame, frame.shown, "rope")
    >>> found.force is not None
    True
    """
    kinematics, found = _solved(frame, values, of, part)
    if found.force is None:
        return VirtualWork(of, part, None, {}, {}, (), found.reason, found.special)
    zero = kinematics.field.zero
    motion = _plainest(kinematics, found)
    unit = NUMBER if part == "moment" else LENGTH  # of what yields by 1, over time

    def shown(row: Row, over: tuple[int, int, int] = LENGTH) -> Quantity:
        return Quantity(textbook(on(row, motion, zero)), _ratio(over, unit))

    terms = []
    for work in works(kinematics):
        over = NUMBER if work.moves == "turns" else LENGTH
        by = shown(work.by, over)
        if not by.is_zero:
            size = Quantity(textbook(work.size), MOMENT if work.moves == "turns" else FORCE)
            terms.append(Term(work.load, work.moves, size, by))
    velocity = {}
    for place in _places(frame):
        x, y = kinematics.velocity(place)
        velocity[place] = shown(x), shown(y)
    turn = {body: shown(kinematics.turn(body), NUMBER) for body in frame.bodies}
    force = Quantity(textbook(found.force), MOMENT if part == "moment" else FORCE)
    return VirtualWork(of, part, force, velocity, turn, tuple(terms), "", found.special)


def agrees(frame: Frame, values: Values, statics: Statics) -> Mapping[Name, bool]:
    """For each light member whose tension statics settles: whether virtual work gives the very same.

    The two are compared as elements of one exact field; at the values, where either road holds only there.
    """
    kinematics = Kinematics(frame, values)
    same = {}
    for name, link in frame.links.items():
        if link.is_given or name not in statics.case.forces.tensions:
            continue
        _, found = _solved(frame, values, name, "tension", kinematics)
        if found.force is None:
            same[name] = False
            continue
        here = values if found.special or statics.only_here else {}
        exprs = [
            q.at(here).expr
            for q in (Quantity(found.force.expr(), FORCE), statics.case.forces.tensions[name])
        ]
        field = Field.containing(exprs, {letter: value.expr for letter, value in values.items()})
        same[name] = field.element(exprs[0]) == field.element(exprs[1])
    return same


def works(kinematics: Kinematics) -> Iterator[Work]:
    """Every load with how far it goes: its work is size * by."""
    frame, one = kinematics.frame, kinematics.field.one
    for body in frame.bodies.values():
        if not body.weight.is_zero:
            down = plus((kinematics.velocity_of_centre(body)[1], -one))
            yield Work(body.name, "falls", kinematics.element(body.weight), down)
    for load in frame.loads.values():
        if load.place.body == GROUND:
            continue
        if load.couple is not None:
            yield Work(
                load.name, "turns", kinematics.element(load.couple), kinematics.turn(load.place.body)
            )
            continue
        x, y = kinematics.velocity(load.place)
        if load.kind == "weight":
            yield Work(load.name, "falls", kinematics.element(load.value[0]), plus((y, -one)))
        else:
            yield Work(load.name, "goes across", kinematics.element(load.value[0]), x)
            yield Work(load.name, "goes upwards", kinematics.element(load.value[1]), y)
    for link in frame.links.values():
        if link.is_given:
            shorter = plus((kinematics.lengthening(link), -one))
            yield Work(link.name, "shortens", tension(kinematics, link), shorter)


def tension(kinematics: Kinematics, link: Link) -> Element:
    """The tension of a member for which it is given or follows from its length; slack strings have none."""
    if link.tension is not None:
        return kinematics.element(link.tension)
    if link.natural is None or link.stiffness is None:
        raise BadInput(f'the tension of "{link.name}" is not given: give it, or natural and stiffness')
    parts = zip(link.places, link.places[1:], strict=False)
    length = sum((kinematics.lengths[ends] for ends in parts), kinematics.field.zero)
    longer = length - kinematics.element(link.natural)
    if link.kind == "elastic string" and longer.sign() < 0:
        return kinematics.field.zero
    return kinematics.element(link.stiffness) * longer


def _solved(
    frame: Frame, values: Values, of: Name, part: Part, general: Kinematics | None = None
) -> tuple[Kinematics, Found]:
    """The force in letters, or with the values put for those of the shape where it is special at them."""
    kinematics = general or Kinematics(frame, values)
    found = _found(kinematics, of, part)
    if found is not None:
        return kinematics, found
    for letters in (kinematics.letters_of_shape & set(values), set(values)):
        here = Kinematics(frame, values, letters)
        found = _found(here, of, part)
        if found is not None:
            return here, Found(found.force, found.motion, found.reason, found.free, special=True)
    raise BadInput(f'the force of "{of}" cannot be told at these values')


def _found(kinematics: Kinematics, of: Name, part: Part) -> Found | None:
    """The force; None if the shape is special at the values, so that letters mislead."""
    hold = _hold(kinematics, of, part)
    if kinematics.unsaid:
        names = ", ".join(kinematics.unsaid)
        return Found(None, {}, f"the question does not say which way {names} would slip")
    free = kinematics.motions(without=hold)
    if free.vanishing is not None:
        return None
    zero = kinematics.field.zero
    rates = [on(hold.row, motion, zero) for motion in free.null_space]
    if any(not rate.is_zero and rate.sign() == 0 for rate in rates):
        return None
    yielding = [i for i, rate in enumerate(rates) if not rate.is_zero]
    if not yielding:
        reason = f"with {of} taken out nothing moves: only together with other forces is it to be found"
        return Found(None, {}, reason)
    best = min(yielding, key=lambda i: (len(free.null_space[i]), i))
    loads = [(work.size, work.by) for work in works(kinematics)]
    motion = free.null_space[best]
    done = _work(loads, motion, zero)
    others = []
    for i, other in enumerate(free.null_space):
        if i != best:
            others.append(plus((other, kinematics.field.one), (motion, -rates[i] / rates[best])))
        left = _work(loads, other, zero) - done * (rates[i] / rates[best])
        if not left.is_zero:
            if left.sign() == 0 and not kinematics.field.is_numeric:
                return None
            return Found(None, {}, f"the loads move the frame, whatever the force of {of}")
    size = kinematics.field.with_root(hold.size2)[1]
    step = -size / rates[best]  # so that it yields by 1 against the force
    return Found(done * step, plus((motion, step)), free=tuple(others))


def _plainest(kinematics: Kinematics, found: Found) -> Row:
    """The motion, or the motion less its share of the free ones if the loads' ways are shorter to write so.

    What is left is at right angles to the free motions (in the velocities of centres and pins), so that a
    frame that is the same on both sides moves alike on both.
    """
    if not 0 < len(found.free) <= MOST_FREE:
        return found.motion
    one, zero = kinematics.field.one, kinematics.field.zero
    rows = [row for body in kinematics.frame.bodies.values() for row in kinematics.velocity_of_centre(body)]
    rows += [row for pin in kinematics.pins.values() for row in pin]

    def product(a: Row, b: Row) -> Element:
        return sum((on(row, a, zero) * on(row, b, zero) for row in rows), zero)

    even = found.motion
    square: list[tuple[Row, Element]] = []
    for free in found.free:
        motion = free
        for other, other2 in square:
            motion = plus((motion, one), (other, -product(motion, other) / other2))
        motion2 = product(motion, motion)
        if not motion2.is_zero:
            square.append((motion, motion2))
            even = plus((even, one), (motion, -product(even, motion) / motion2))
    return min(even, found.motion, key=lambda motion: _price(kinematics, motion))


def _price(kinematics: Kinematics, motion: Row) -> int:
    """How long the different ways of the loads are to write."""
    ways = {on(work.by, motion, kinematics.field.zero) for work in works(kinematics)}
    return sum(len(way.num) + len(way.den) for way in ways if not way.is_zero)


def _hold(kinematics: Kinematics, of: Name, part: Part) -> Hold:
    for hold in kinematics.holds:
        if hold.of == of and hold.part == part:
            return hold
    known = ", ".join(f"{h.part} of {h.of}" for h in kinematics.holds if h.part != "rigid")
    raise BadInput(f'there is no unknown {part} of "{of}". Forces to be found: {known or "none"}')


def _work(loads: list[tuple[Element, Row]], motion: Row, zero: Element) -> Element:
    return sum((size * on(by, motion, zero) for size, by in loads), zero)


def _places(frame: Frame) -> list[Place]:
    """Every place at which something acts and that can move; a point on a pin as the pin's."""
    pins = {name: joint for name, joint in frame.joints.items() if joint.kind == "pin"}
    places = [Place(name, joint.point) for name, joint in pins.items()]
    others = [place for link in frame.links.values() for place in link.places]
    others += [contact.on for contact in frame.contacts.values()]
    others += [load.place for load in frame.loads.values()]
    for place in others:
        on_pin = any(j.point == place.point and place.body in j.bodies for j in pins.values())
        if place.body != GROUND and not on_pin:
            places.append(place)
    return list(dict.fromkeys(places))


def _ratio(a: tuple[int, int, int], b: tuple[int, int, int]) -> tuple[int, int, int]:
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]
