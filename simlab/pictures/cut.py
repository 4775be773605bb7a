"""A part cut out of its frame: what is drawn of it, and what each force on it is drawn as."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from simlab.frame.model import GROUND, Frame, Joint, Name, Place
from simlab.pictures.marks import Points
from simlab.pictures.plan import Plan
from simlab.results.cutting import is_light_rod, member_of, pulls, solid
from simlab.results.forces import Key
from simlab.results.working import Action, Part


def cut_out(frame: Frame, part: Part, ends: Collection[Name] = ()) -> Frame:
    """The part as a frame of its own: its bodies, pins and loads, and the light members wholly inside it.

    Supports and the rest of the frame are left out; the forces that stand for them are the part's actions.
    `ends`: points outside it that are kept as bare pins, since given lengths are measured to them.
    """
    bodies = {*part.bodies, *_light_rods_inside(frame, part)}
    joints = {
        name: replace(joint, bodies=tuple(body for body in joint.bodies if body in bodies))
        for name, joint in frame.joints.items()
        if name in part.pins or bodies & set(joint.bodies)
    }
    joints |= {end: Joint(end, "pin", end, ()) for end in ends}
    links = {
        name: link
        for name, link in frame.links.items()
        if all(_is_held(frame, part, place) for place in link.places)
    }
    loads = {action.what for action in part.actions if isinstance(action.what, str)}
    named = {point for body in bodies for point in frame.bodies[body].points}
    named |= {joint.point for joint in joints.values()}
    named |= {place.point for link in links.values() for place in link.places}
    return replace(
        frame,
        points={name: at for name, at in frame.points.items() if name in named},
        bodies={name: body for name, body in frame.bodies.items() if name in bodies},
        joints=joints,
        links=links,
        contacts={
            name: contact
            for name, contact in frame.contacts.items()
            if contact.on.body in bodies and contact.by in bodies
        },
        supports={},
        loads={name: load for name, load in frame.loads.items() if name in loads},
        brace=frame.brace if frame.brace in links else None,
    )


def _is_held(frame: Frame, part: Part, place: Place) -> bool:
    """Whether a place belongs to a part; a pin on which just one body turns belongs to that body."""
    if place.body in part.bodies or place.body in part.pins:
        return True
    joint = frame.joints.get(place.body)
    return joint is not None and solid(frame, joint) in [[body] for body in part.bodies]


def _light_rods_inside(frame: Frame, part: Part) -> list[Name]:
    """The light rods both of whose hinges belong to a part."""

    def holds(joint: Joint) -> bool:
        held = solid(frame, joint)
        return joint.name in part.pins or (bool(held) and set(held) <= set(part.bodies))

    return [
        name
        for name in frame.bodies
        if name not in part.bodies
        and is_light_rod(frame, name)
        and all(holds(joint) for joint in frame.joints.values() if name in joint.bodies)
    ]


def role_of(frame: Frame, part: Part, action: Action, way: Points, whole: Plan) -> str:
    """The role of an action's arrow along `way`: that of a weight, a load, a tension ..."""
    key = action.what
    load = frame.loads.get(key) if isinstance(key, str) else None
    member = member_of(frame, part, action)
    if load is not None:
        return "weight" if load.kind == "weight" else "load"
    if member is not None:
        along = float(way[0]), float(way[1])
        return "tension" if pulls(frame, whole.values, member, action, along) else "thrust"
    if not isinstance(key, Key):
        return "weight" if key in frame.bodies else _between_bodies(frame, key)
    if key.by == GROUND or key.by in frame.supports or _is_grounded(frame, part, key):
        return "support force"
    return _between_bodies(frame, key.at)


def _between_bodies(frame: Frame, at: Name) -> str:
    return "contact force" if at in frame.contacts else "hinge force"


def _is_grounded(frame: Frame, part: Part, key: Key) -> bool:
    """Whether a pin's force on the part is its support's: nothing but the ground is on the pin besides."""
    joint = frame.joints.get(key.at)
    if joint is None or key.by != key.at or GROUND not in joint.bodies:
        return False
    rest: Collection[Name] = set(joint.bodies) - set(part.bodies) - {GROUND}
    return not rest and joint.name not in part.pins and frame.is_bare(joint.name)
