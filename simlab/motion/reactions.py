"""Multipliers as reactions, by the keys of every road."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from simlab.frame.model import GROUND, Frame, Name
from simlab.motion.points import Moving
from simlab.motion.system import System
from simlab.results.forces import Forces, Key, Reaction
from simlab.results.trace import Floats

NOTHING = float("nan")


@dataclass(frozen=True)
class Acting:
    """Every force at one moment, in the order of `Reactions.keys`; NaN where absent or not unique.

    forces (keys, 3): x, y [N], moment [N m]; points (keys, 2) [m]; tensions (links,) [N]; pushes: of
    contacts that hold, the push along n and the friction along t [N].
    """

    forces: Floats
    points: Floats
    tensions: Floats
    pushes: dict[Name, tuple[float, float]]


class Reactions:
    """The forces of a system; `keys` are those of the whole frame, members that are absent among them."""

    def __init__(self, system: System) -> None:
        self.system = system
        self.keys = keys_of(system.frame)
        self.order = {key: i for i, key in enumerate(self.keys)}
        self.links = tuple(system.frame.links)

    def at(self, q: Floats, v: Floats) -> Acting:
        """Every force at coordinates q and rates v, shapes (parts, 3)."""
        return self.of(self.system.moving(q, v), self.system.solve(q, v)[1])

    def of(self, moving: Moving, multipliers: Floats) -> Acting:
        """The multipliers as forces."""
        system = self.system
        pins, members, touches = system.pins, system.members, system.touches
        holding, pulling, touching = np.split(multipliers, [pins.n, pins.n + members.n])
        forces, points = np.full((len(self.keys), 3), NOTHING), np.full((len(self.keys), 2), NOTHING)
        k = len(pins.keys)
        forces[:k, :2], points[:k] = holding[: 2 * k].reshape(-1, 2), moving.at[pins.held]
        forces[pins.built_in, 2] = holding[2 * k :]
        tensions = dict.fromkeys(self.links, NOTHING)
        stretched = system.elastics.stiffness * system.elastics.stretch(moving)
        for lines, sizes in ((members, -pulling), (system.elastics, stretched)):
            tensions |= dict(zip(lines.names, (float(t) for t in sizes), strict=True))
            self._put(forces, points, lines.keys, *lines.pulls(moving, sizes))
        self._put(forces, points, touches.keys, touches.forces(moving, touching), touches.places(moving))
        for name in system.undetermined:
            if isinstance(name, Key):
                forces[self.order[name]] = NOTHING
            else:
                tensions[name] = NOTHING
        friction = touches.frictions(touching)
        pushes = {name: (float(touching[i]), float(friction[i])) for i, name in enumerate(touches.names)}
        return Acting(forces, points, np.array(list(tensions.values())), pushes)

    def _put(self, forces: Floats, points: Floats, keys: list[Key], values: Floats, at: Floats) -> None:
        for key, force, place in zip(keys, values, at, strict=True):
            i = self.order[key]
            # A string that is tied at one place with both its ends pulls there twice.
            forces[i, :2] = force if np.isnan(forces[i, 0]) else forces[i, :2] + force
            points[i] = place

    def table(self, acting: Acting) -> Forces[float]:
        """Those that act and are unique, by key."""
        reactions = {
            key: Reaction(
                (float(x), float(y)), None if np.isnan(m) else float(m), (float(at[0]), float(at[1]))
            )
            for key, (x, y, m), at in zip(self.keys, acting.forces, acting.points, strict=True)
            if not np.isnan(x)
        }
        tensions = zip(self.links, acting.tensions, strict=True)
        return Forces(reactions, {name: float(t) for name, t in tensions if not np.isnan(t)})


def keys_of(frame: Frame) -> tuple[Key, ...]:
    """The keys of every reaction of a frame: of its joints, its light members, its contacts."""
    keys = []
    for joint in frame.joints.values():
        for body in joint.bodies:
            if joint.kind == "pin" or body != GROUND:
                keys.append(Key.of_joint(joint, body))
    for link in frame.links.values():
        ends = (place for place in link.places if place.body != GROUND)
        keys += [Key.of_member(link.name, place) for place in ends]
    keys += [Key.of(contact) for contact in frame.contacts.values()]
    return tuple(dict.fromkeys(keys))
