"""What a cut through a frame meets: light members, and where they lead."""

from __future__ import annotations

from math import fsum

from simlab.frame.model import GROUND, Frame, Joint, Name, Values, Vec
from simlab.results.forces import Key
from simlab.results.working import Action, Part

Numbers = tuple[float, float]
TWO = 2  # hinges of a light rod that only pulls or pushes


def numbers(vector: Vec, values: Values) -> Numbers:
    """A vector at the values."""
    return vector[0].number(values), vector[1].number(values)


def is_light_rod(frame: Frame, name: Name) -> bool:
    """Whether a body is a light rod that only pulls or pushes: two hinges, and nothing else on it."""
    body = frame.bodies.get(name)
    if body is None or not body.is_light:
        return False
    joints = [joint for joint in frame.joints.values() if name in joint.bodies]
    places = [place for link in frame.links.values() for place in link.places]
    places += [load.place for load in frame.loads.values()]
    places += [contact.on for contact in frame.contacts.values()]
    touched = any(contact.by == name for contact in frame.contacts.values())
    loose = len(joints) == TWO and all(joint.kind == "pin" for joint in joints)
    return loose and not touched and all(place.body != name for place in places)


def solid(frame: Frame, joint: Joint) -> list[Name]:
    """What turns on a pin, but for light rods: bodies, the ground."""
    return [body for body in joint.bodies if body == GROUND or not is_light_rod(frame, body)]


def member_of(frame: Frame, part: Part, action: Action) -> Name | None:
    """The light member that an action comes from, if it does."""
    what = action.what
    names = (what.by, what.on) if isinstance(what, Key) else (what,)
    return next(
        (n for n in names if n in frame.links or (n not in part.bodies and is_light_rod(frame, n))), None
    )


def other_ends(frame: Frame, member: Name, at: Name | None) -> tuple[Name, ...]:
    """The points to which a light member leads from a point of it."""
    link = frame.links.get(member)
    if link is None:
        return tuple(j.point for j in frame.joints.values() if member in j.bodies and j.point != at)
    points = [place.point for place in link.places]
    return tuple(
        points[j] for i, p in enumerate(points) if p == at for j in (i - 1, i + 1) if 0 <= j < len(points)
    )


def leads_to(frame: Frame, values: Values, member: Name, action: Action, way: Numbers) -> Name | None:
    """The end of a light member towards which, or away from which, it acts at a point along `way`."""
    x, y = numbers(action.at, values)

    def nearness(end: Name) -> float:
        u, v = numbers(frame.points[end], values)
        long = ((u - x) ** 2 + (v - y) ** 2) ** 0.5 or 1.0
        return abs(fsum(((u - x) * way[0] / long, (v - y) * way[1] / long)))

    return max(other_ends(frame, member, action.point), key=nearness, default=None)


def pulls(frame: Frame, values: Values, member: Name, action: Action, way: Numbers) -> bool:
    """Whether an action of a light member along `way` pulls its part towards the member's other end."""
    link = frame.links.get(member)
    end = leads_to(frame, values, member, action, way)
    if end is None or (link is not None and link.is_string):
        return True
    (x, y), (u, v) = numbers(action.at, values), numbers(frame.points[end], values)
    return (u - x) * way[0] + (v - y) * way[1] >= 0
