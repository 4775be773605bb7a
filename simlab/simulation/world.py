"""A frame as an engine world: bodies, joints, and the table from names to both.

A pin with n bodies is n - 1 pivots from the body that carries it (the ground, if it is held). The
force of the pin on its other bodies is read from those pivots; on its carrier it follows from the
pin's own balance, since loads and light members on the pin act on the carrier in the engine:

    force on the pin by the ground - forces on its bodies + members + contacts + loads = 0
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf

import numpy as np
import pymunk

from simlab.frame.model import GROUND, Link, Name, Place
from simlab.results import Floats, Forces
from simlab.simulation.drawn import Drawn, Pair
from simlab.simulation.engine import add_torque
from simlab.simulation.impulses import Impulse
from simlab.simulation.masses import Mass, carrier, home, knots
from simlab.simulation.poses import ahead, placed, push
from simlab.simulation.reactions import forces
from simlab.simulation.reel import Moment, Script, numbers
from simlab.simulation.strings import Known, OverPegs

# A force to be given to the engine at every step: body, point in its coordinates [m], force [N].
Push = tuple[pymunk.Body, Pair, Pair]
Velocity = tuple[float, float, float]  # v_x, v_y [m/s], angular velocity [rad/s]
Contacts = Mapping[Name, Pair]  # force of each contact on what rests there [N]


class World:
    """The engine world of a frame, in which a body's mass is its weight over `gravity`.

    drawn : the frame in numbers
    gravity : acceleration [m/s^2] in the engine's downward direction
    bodies : engine body by name; `ground` is the engine's static body
    lifts : what cancels the weight of bodies that have none; applied, couples : the other loads
    links, pins : Impulse by link, by (pin, body); built_in : (force, moment) by joint
    strings, known : members over pegs, and those whose tension is known, by link
    knots : the bodies that are points of strings at pegs
    With `bars`, members whose tension follows from their length are bars all the same.
    """

    def __init__(
        self, drawn: Drawn, gravity: float, masses: Mapping[Name, Mass], bars: bool = True
    ) -> None:
        self.drawn = drawn
        self.frame = drawn.frame
        self.space = pymunk.Space()
        self.ground = self.space.static_body
        self.masses = masses
        self.bodies = {name: self._body(mass) for name, mass in self.masses.items()}
        self.gravity = gravity
        self.set_gravity(gravity)
        self.centres: dict[Name, Pair] = {  # of the frame's bodies, in the engine bodies' own coordinates
            name: (drawn.centres[name][0] - mass.centre[0], drawn.centres[name][1] - mass.centre[1])
            for name, mass in self.masses.items()
            if name in drawn.centres
        }
        self.pins: dict[tuple[Name, Name], Impulse] = {}
        self.built_in: dict[Name, tuple[Impulse, Impulse]] = {}
        self.links: dict[Name, Impulse] = {}
        self.strings: dict[Name, OverPegs] = {}
        self.known: dict[Name, Known] = {}
        self._add_joints()
        for link in self.frame.links.values():
            if link.tension is not None or (link.is_given and not bars):
                self.known[link.name] = Known(self, link)
            elif link.over:
                self.strings[link.name] = OverPegs(self, link)
            else:
                self.add_link(link)
        self.knots = frozenset(knot for name in self.strings for knot in knots(self.frame.links[name]))
        self.applied = tuple(self._applied())
        self.couples = tuple(self._couples())
        self.lifts = tuple(self._lifts())
        self.pushes = (*self.lifts, *self.applied)
        self._there: tuple[object, ...] = ()
        self._script: Script | None = None

    def _body(self, mass: Mass) -> pymunk.Body:
        body = pymunk.Body(1.0, 1.0)
        body.position = mass.centre
        self.space.add(body)
        return body

    @property
    def members(self) -> frozenset[Name]:
        """The light members that are there."""
        return frozenset({*self.links, *self.strings, *self.known})

    def set_gravity(self, gravity: float) -> None:
        """Let the same weights be those of other masses, weight / gravity; impulses in joints stay."""
        self.gravity = gravity
        self.space.gravity = (0.0, -gravity)
        for name, mass in self.masses.items():
            inertia = mass.inert / gravity
            self.bodies[name].mass = inertia
            self.bodies[name].moment = inertia * mass.gyration2 if mass.gyration2 > 0 else inf

    def engine(self, name: Name) -> pymunk.Body:
        """The engine body of a name."""
        return self.ground if name == GROUND else self.bodies[name]

    def local(self, name: Name, point: Name) -> Pair:
        """A drawn point in an engine body's own coordinates (all bodies are drawn unturned)."""
        return self.at(name, self.drawn.points[point])

    def at(self, name: Name, place: Pair) -> Pair:
        """A place of the drawing in an engine body's own coordinates."""
        if name == GROUND:
            return place
        cx, cy = self.masses[name].centre
        return place[0] - cx, place[1] - cy

    def _add_joints(self) -> None:
        for joint in self.frame.joints.values():
            held = carrier(self.frame, joint.name)
            for body in joint.bodies:
                if body == held:
                    continue
                pivot = pymunk.PivotJoint(
                    self.engine(held),
                    self.engine(body),
                    self.local(held, joint.point),
                    self.local(body, joint.point),
                )
                self.space.add(pivot)
                if joint.kind == "built-in":
                    gear = pymunk.GearJoint(self.ground, self.engine(body), 0.0, 1.0)
                    self.space.add(gear)
                    self.built_in[joint.name] = Impulse(pivot), Impulse(gear)
                else:
                    self.pins[joint.name, body] = Impulse(pivot)

    def ends(self, link: Link) -> tuple[pymunk.Body, pymunk.Body, Pair, Pair]:
        """The engine bodies at a link's ends and its anchors in their coordinates."""
        a, b = (home(self.frame, place) for place in link.ends)
        anchors = (self.local(name, place.point) for name, place in zip((a, b), link.ends, strict=True))
        return (self.engine(a), self.engine(b), *anchors)  # type: ignore[return-value]

    def add_link(self, link: Link) -> None:
        """A light member as a bar between two pins."""
        joint = pymunk.PinJoint(*self.ends(link))
        self.space.add(joint)
        self.links[link.name] = Impulse(joint)

    def cut(self, name: Name) -> None:
        """Take a light member out."""
        if name in self.known:
            del self.known[name]
        elif name in self.strings:
            self.strings.pop(name).slacken()
            for knot in knots(self.frame.links[name]):
                self.space.remove(self.bodies.pop(knot))
        else:
            self.space.remove(self.links.pop(name).joint)

    def _lifts(self) -> Iterator[Push]:
        for name, mass in self.masses.items():
            if mass.lift:
                (x, y), (cx, cy) = mass.lifted, mass.centre
                yield self.bodies[name], (x - cx, y - cy), (0.0, mass.lift)

    def _applied(self) -> Iterator[Push]:
        for load in self.frame.loads.values():
            at = home(self.frame, load.place)
            if load.kind in ("force", "spread") and at != GROUND:
                yield self.bodies[at], self.local(at, load.place.point), self.drawn.loads[load.name]

    def _couples(self) -> Iterator[tuple[pymunk.Body, float]]:
        for name, couple in self.drawn.couples.items():
            on = self.frame.loads[name].place.body
            if on != GROUND:
                yield self.bodies[on], couple

    def step(self, dt: float, share: float = 1.0) -> None:
        """One step of the engine, with a share of the loads on."""
        for body, anchor, (fx, fy) in self.pushes:
            push(body, anchor, (share * fx, share * fy), dt)
        for body, couple in self.couples:
            add_torque(body, share * couple)
        for member in self.known.values():
            member.apply(dt)
        self.space.step(dt)

    def where(self, place: Place, dt: float = 0.0) -> Pair:
        """The position of a place [m], now or a time dt from now."""
        body, at = self.spot(place)
        return placed(ahead(body, dt), at)

    def spot(self, place: Place) -> tuple[pymunk.Body, Pair]:
        """The engine body that a place is on, and where it is in that body's own coordinates."""
        name = home(self.frame, place)
        return self.engine(name), self.local(name, place.point)

    def engine_velocity(self, name: Name, velocity: Velocity) -> Velocity:
        """The velocity of an engine body, from that of the centre of a frame's body or of a pin."""
        if name not in self.centres:
            return velocity
        vx, vy, turning = velocity
        body = self.bodies[name]
        arm = body.position - body.local_to_world(self.centres[name])
        return vx - turning * arm.y, vy + turning * arm.x, turning

    @property
    def script(self) -> Script:
        """What stands where in its rows, with the joints that are there now."""
        there = (*self.links.values(), *self.strings, *self.known)
        if self._script is None or there != self._there:
            self._there, self._script = there, Script(self)
        return self._script

    def moment(self, dt: float = 1.0) -> Moment[float]:
        """The world after a step of dt [s]."""
        script = self.script
        return Moment(script, dt, numbers(script.row(dt)))

    def poses(self) -> Floats:
        """x, y of each body's centre [m] and its turn from the drawn pose [rad], shape (bodies, 3)."""
        return np.array(self.moment().poses(), dtype=np.float64).reshape(-1, 3)

    def forces(
        self,
        dt: float,
        contacts: Contacts,
        share: float = 1.0,
        touching: Mapping[Name, Pair] | None = None,
    ) -> Forces[float]:
        """Every reaction of the last step, of dt [s]: `reactions.forces`."""
        return forces(self.moment(dt), contacts, share, touching or {})
