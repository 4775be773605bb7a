"""A frame whose contacts are the engine's own: shapes that meet, press, rub, slip and lift off.

Every contact is a pair of shapes that meet nothing but each other, so each has its own coefficient: the
engine multiplies the coefficients of the two, and one of them is 1. One of the pair is a point
(of no size) or a round; the other a round or a flat, which is a thick bar whose side passes through the
point of contact along the tangent. So the push acts exactly where the question says. The engine has no
hollow shapes and none that hold from both sides: bowls and wires are guides, whose friction goes by the
push of the step before.
"""

from __future__ import annotations

from math import hypot

import pymunk

from simlab.errors import BadInput
from simlab.frame.model import Contact, Frame, Name
from simlab.simulation.drawn import Drawn, Pair
from simlab.simulation.guide import Guide
from simlab.simulation.masses import home, masses
from simlab.simulation.meeting import Meeting
from simlab.simulation.running import Running
from simlab.simulation.surfaces import Round, Surface, surfaces
from simlab.simulation.world import World

# A flat or a round stands this share of the frame's size proud: shapes that merely touch are no contact to
# the engine, and would first fall.
OVERLAP = 1e-9
SLOP = 1e-7  # overlap that the engine leaves alone, in frame sizes
DEPTH = 5.0  # of a flat, in frame sizes: deeper than anything sinks
STUCK = 1e6  # coefficient of a contact on which nothing slips
PACE = 400  # steps in the frame's own unit of time
MOST_CONTACTS = 32  # the engine's bits for who meets whom


def untouchable(frame: Frame) -> str:
    """What of a frame cannot be tried here, as a list; nothing if all can."""
    links = frame.links.values()
    kinds = (
        (any(link.stiffness is not None and link.natural is None for link in links), "stretching members"),
        (len(frame.contacts) > MOST_CONTACTS, f"more than {MOST_CONTACTS} contacts"),
    )
    return ", ".join(words for holds, words in kinds if holds)


class Touching:
    """The engine world of a frame with real contacts, stepped in the frame's own time.

    drawn, world : the frame in numbers and in the engine; unit : sqrt(size / g), the time in which things
    fall by half the frame's size [s]; rubs : the shape that carries the coefficient, by contact;
    guides : the contacts that have no shapes; step_length [s]
    Raises BadInput for members or supports that have no real contacts here.
    """

    def __init__(self, drawn: Drawn, even: bool = True) -> None:
        unknown = untouchable(drawn.frame)
        if unknown:
            raise BadInput(f"{drawn.frame.name}: the simulation has no contacts for {unknown} yet.")
        self.drawn = drawn
        self.frame = drawn.frame
        self.world = World(drawn, drawn.gravity, masses(drawn, even=even))
        self.space = self.world.space
        self.unit = (drawn.size / drawn.gravity) ** 0.5
        self.space.collision_slop = SLOP * drawn.size
        self.rubs: dict[Name, pymunk.Shape] = {}
        self.guides: dict[Name, Guide] = {}
        dt = self.unit / PACE
        self.step_length = dt  # never changed: joints would mistake their last impulses for other forces
        self.running = [Running(self.world, self.frame.links[name], dt) for name in self.world.strings]
        self._is_stuck = False
        for i, contact in enumerate(self.frame.contacts.values()):
            self._add(contact, pymunk.ShapeFilter(categories=1 << i, mask=1 << i))

    def step(self) -> None:
        """One step of the engine; what it has no shapes for is put in its place first."""
        for guide in self.guides.values():
            if self._is_stuck:
                guide.forget()
            guide.place(self.step_length, 1.0)
        for running in self.running:
            running.place()
        self.world.step(self.step_length)
        for guide in self.guides.values():
            guide.look(self.step_length)

    def _add(self, contact: Contact, only: pymunk.ShapeFilter) -> None:
        nx, ny = self.drawn.normals[contact.name]
        on, by = surfaces(self.drawn, contact)
        if contact.two_sided or (isinstance(by, Round) and by.hollow):
            self.guides[contact.name] = Guide(self.world, contact, Meeting(self.world, contact))
            return
        front, behind = self._shape(on, (nx, ny)), self._shape(by, (-nx, -ny))
        for shape in (front, behind):
            shape.filter, shape.friction, shape.elasticity = only, 1.0, 0.0
            self.space.add(shape)
        self.rubs[contact.name] = front
        front.friction = self.coefficient(contact)

    def _shape(self, surface: Surface, inward: Pair) -> pymunk.Shape:
        """A circle, or a thick bar whose side passes through the point; `inward` leads into its body."""
        body, size = self.world.engine(surface.body), self.drawn.size
        if isinstance(surface, Round):
            proud = OVERLAP * size if surface.radius else 0.0
            return pymunk.Circle(body, surface.radius + proud, self.world.at(surface.body, surface.centre))
        (x, y), (nx, ny), depth = surface.point, inward, DEPTH * size
        x, y = x + nx * (depth - OVERLAP * size), y + ny * (depth - OVERLAP * size)
        ends = ((x + depth * ny, y - depth * nx), (x - depth * ny, y + depth * nx))
        a, b = (self.world.at(surface.body, end) for end in ends)
        return pymunk.Segment(body, a, b, depth)

    def coefficient(self, contact: Contact) -> float:
        """The coefficient of friction of a contact at the values."""
        if not contact.rough:
            return 0.0
        return STUCK if contact.friction is None else self.drawn.number(contact.friction)

    def stick(self, stuck: bool) -> None:
        """Let every rough contact bear any friction, or only what its coefficient lets it."""
        self._is_stuck = stuck
        for name, shape in self.rubs.items():
            contact = self.frame.contacts[name]
            shape.friction = STUCK if stuck and contact.rough else self.coefficient(contact)

    def gone(self, contact: Contact) -> Pair:
        """How far what rests at a contact has gone along the tangent, and along the normal, over what it
        rests on [m]."""
        x, y = self.drawn.points[contact.on.point]
        on = self._now(home(self.frame, contact.on), (x, y))
        by = self._now(self.frame.under(contact), (x, y))
        dx, dy = on[0] - by[0], on[1] - by[1]
        nx, ny = self.drawn.normals[contact.name]
        return dx * ny - dy * nx, dx * nx + dy * ny

    def _now(self, body: Name, place: Pair) -> Pair:
        x, y = self.world.engine(body).local_to_world(self.world.at(body, place))
        return x, y

    def points(self) -> dict[tuple[Name, Name], Pair]:
        """The present position of every named point of every body [m]."""
        return {
            (name, point): self._now(name, self.drawn.points[point])
            for name, body in self.frame.bodies.items()
            for point in body.points
        }

    def apart(self, shape: Drawn) -> float:
        """The largest distance of a named point from its place in a drawn shape, in frame sizes."""
        found = 0.0
        for (_, point), (x, y) in self.points().items():
            px, py = shape.points[point]
            found = max(found, hypot(x - px, y - py))
        return found / self.drawn.size
