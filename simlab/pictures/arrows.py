"""Forces as arrows: weights, forces of supports, of light members, and of hinges, to one scale.

Every arrow is a force *on* the frame, drawn with its tail where the force acts:

- weights from the rod's centre, hung weights from the foot of their lantern;
- the force of a support on what it holds, from the point of contact;
- a thrust on the rods outwards from the member, a tension on the rods inwards along it;
- couples as arcs, and the parts of a rough support's force, along its normal and across it, dashed;
- the force of a pin on each rod that turns on it, its tail set a little along that rod, so that the
  two opposite forces at a hinge can be told apart.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Literal

import numpy as np

from simlab.frame.model import GROUND, Name
from simlab.frame.quantity import FORCE as FORCE_DIM
from simlab.pictures.camera import Camera
from simlab.pictures.marks import Arrow, Label, Mark, Point, Points, Side, faded
from simlab.pictures.moments import couples, moment_arc
from simlab.pictures.palette import FORCE
from simlab.pictures.plan import Plan
from simlab.pictures.structure import sides_towards
from simlab.pictures.tails import loading, tail_of, weights
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.forces import Forces, Key
from simlab.results.trace import Instant
from simlab.results.wording import figures

Kind = Literal["weights", "supports", "members", "hinges"]
KINDS: tuple[Kind, ...] = ("weights", "supports", "members", "hinges")
Words = Mapping[
    Key | Name, str
]  # what stands beside an arrow, by its key (weights: the rod's or load's name)

LONGEST = 190.0  # [page units] of the largest arrow: a sixth of the page
LEAST = 0.25  # [page units]: a shorter arrow cannot be seen
SHORT = 3.0  # [page units]: in a diagram that does not move a shorter one is no arrow
WORDED = (1.5, SHORT)  # [page units] lengths of an arrow between which its words come up
LEAST_PART = 24.0  # [page units]: a force with a shorter part is not shown in parts
COMING = 10.0  # [page units] more, until those parts are wholly there
MOMENT = 3.0  # [page units] of a force at the frame's own arm: from there on a moment's arc is wholly there
OUTSIDE = 0.9  # how much words like to be outside the frame, against ahead of their arrow
NEGLIGIBLE = 1e-9  # of the largest force: as good as none


def largest(plan: Plan, forces: Forces[float] | None, kinds: Collection[Kind] = KINDS) -> float:
    """The largest force that the kinds of arrow would show [N]."""
    sizes = [0.0]
    if "weights" in kinds:
        sizes += [float(np.hypot(*force)) for _, force in loading(plan)]
    if forces is not None:
        for key, reaction in forces.reactions.items():
            if kind_of(plan, key) in kinds:
                sizes.append(float(np.hypot(*reaction.force)))
    return max(sizes)


def scale_for(largest_force: float, longest: float = LONGEST) -> float:
    """The scale [page units/N] at which the largest force is `longest` page units long."""
    return longest / largest_force if largest_force > 0 else 0.0


def kind_of(plan: Plan, key: Key) -> Kind:
    """Which kind of arrow a reaction is."""
    if key.by in plan.frame.links:
        return "members"
    if key.by == GROUND or key.by in plan.frame.supports:
        return "supports"
    return "hinges"


def role_of(plan: Plan, key: Key, forces: Forces[float]) -> str:
    """The role of a reaction's arrow: thrust or tension, hinge force, support force."""
    kind = kind_of(plan, key)
    if kind == "members":
        return "tension" if forces.tensions.get(key.by, 0.0) >= 0 else "thrust"
    if key.at in plan.frame.contacts and kind == "hinges":
        return "contact force"
    return "support force" if kind == "supports" else "hinge force"


def force_arrows(
    plan: Plan,
    forces: Forces[float] | None,
    camera: Camera,
    *,
    kinds: Collection[Kind] = KINDS,
    only: Collection[Key | Name] | None = None,
    instant: Instant | None = None,
    words: Words | None = None,
    grain: float | None = None,
) -> list[Mark]:
    """The arrows of the kinds asked for, to the camera's scale, and the words beside them.

    With an `instant` its poses and its share of the weights count, and its forces where none are
    given. `only` limits the arrows to some keys (weights: the names of rods and loads). `words` gives
    texts by key; arrows without one stay without.
    """
    if forces is None and instant is not None:
        forces = instant.forces
    grain = camera.grain if grain is None else grain
    found: list[tuple[Key | Name, str, Points, Point]] = []
    if "weights" in kinds:
        found += [
            (name, _weight_role(plan, name), tail, force)
            for name, tail, force in weights(plan, instant, grain)
        ]
    for key, reaction in (forces.reactions if forces is not None else {}).items():
        if forces is not None and kind_of(plan, key) in kinds and not is_said_twice(plan, key, kinds):
            tail = tail_of(plan, key, reaction, instant, grain, camera.per_newton * camera.grain)
            found.append((key, role_of(plan, key, forces), tail, reaction.force))
    marks: list[Mark] = []
    if "weights" in kinds:
        marks += couples(plan, grain, words or {}, instant, only)
    for what, role, tail, force in found:
        if only is not None and what not in only:
            continue
        marks += _moment(plan, what, forces, camera, grain, words)
        long = float(np.hypot(*camera.arrow(force)))
        if long >= LEAST:
            sides = _beside(force, plan.away(tail))
            marks += _arrow(arrow_name(what), role, tail, force)
            marks += _words(arrow_name(what), role, tail, force, sides, (words or {}).get(what), long)
            marks += _parts(plan, what, tail, force, camera)
    return marks


def _between(low: float, value: float, high: float) -> float:
    """How far a value has come from `low` to `high`, 0 to 1."""
    return min(max((value - low) / (high - low), 0.0), 1.0)


def _parts(plan: Plan, what: Key | Name, tail: Points, force: Point, camera: Camera) -> Iterator[Mark]:
    """The parts of a rough contact's force along its normal and across it, where there are two."""
    contact = plan.frame.contacts.get(what.at) if isinstance(what, Key) else None
    if contact is None or not contact.rough:
        return
    normal = plan.normal(contact)
    along = float(np.array(force) @ normal) * normal
    parts = (("normal", along), ("friction", np.array(force) - along))
    shorter = min(float(np.hypot(x, y)) for _, (x, y) in parts) * camera.per_newton
    opacity = _between(LEAST_PART, shorter, LEAST_PART + COMING)
    if opacity == 0:
        return
    for part, (x, y) in parts:
        name = f"{part} part of {arrow_name(what)}"
        at = (float(tail[0]), float(tail[1]))
        yield Arrow(name=name, role="component", tail=at, vector=(float(x), float(y)), opacity=opacity)


def _moment(
    plan: Plan,
    what: Key | Name,
    forces: Forces[float] | None,
    camera: Camera,
    grain: float,
    words: Words | None,
) -> Iterator[Mark]:
    """The moment of a built-in end, if a reaction has one worth showing."""
    reaction = forces.reactions[what] if forces is not None and isinstance(what, Key) else None
    if reaction is None or reaction.moment is None or not isinstance(what, Key):
        return
    left, bottom, right, top = plan.bounds
    whole = (
        max((abs(f) for r in forces.reactions.values() for f in r.force), default=0.0) if forces else 0.0
    )
    force = abs(reaction.moment) / max(right - left, top - bottom)
    if force > NEGLIGIBLE * whole:
        text = f"{figures(abs(reaction.moment))} N m" if words else ""
        name = f"moment on {what.on} at {what.at}"
        arc = moment_arc(name, reaction.point, reaction.moment, grain, text)
        yield from faded(arc, _between(0.0, force * camera.per_newton, MOMENT))


def is_said_twice(plan: Plan, key: Key, kinds: Collection[Kind] = KINDS) -> bool:
    """Whether a pin only hands a support's force on to one rod, and the support's own arrow is shown."""
    joint = plan.frame.joints.get(key.at)
    if joint is None or key.by != key.at or "supports" not in kinds:
        return False
    return GROUND in joint.bodies and len(joint.bodies) == 2 and plan.frame.is_bare(joint.name)


def arrow_name(key: Key | Name) -> Name:
    """The name of the arrow of a reaction or of a weight, the same in every picture."""
    return f"force on {key.on} at {key.at} by {key.by}" if isinstance(key, Key) else f"weight of {key}"


def _arrow(name: Name, role: str, tail: Points, force: Point) -> Iterator[Mark]:
    yield Arrow(name=name, role=role, tail=(float(tail[0]), float(tail[1])), vector=force)


def _words(
    name: Name,
    role: str,
    tail: Points,
    force: Point,
    sides: tuple[Side, ...],
    text: str | None,
    long: float,
) -> Iterator[Mark]:
    """What stands beside an arrow that is `long` page units long."""
    opacity = _between(WORDED[0], long, WORDED[1])
    if text and opacity > 0:
        yield Label(
            name=f"words of {name}",
            role=role,
            anchor=(float(tail[0]), float(tail[1])),
            vector=force,
            text=text,
            size=FORCE,
            sides=sides,
            opacity=opacity,
        )


def _beside(force: Point, outwards: Points) -> tuple[Side, ...]:
    """Sides of an arrow's words: ahead of its tip first, then across it, rather outside the frame."""
    return sides_towards(np.array(force) / np.hypot(*force) + OUTSIDE * outwards)


def _weight_role(plan: Plan, name: Name) -> str:
    load = plan.frame.loads.get(name)
    return "load" if load is not None and load.kind != "weight" else "weight"


def in_newtons(
    plan: Plan,
    forces: Forces[float],
    kinds: Collection[Kind] = KINDS,
    conventions: Conventions = HOUSE,
) -> Words:
    """The size of each force in newtons, to a class's figures, to stand beside its arrow."""
    digits = conventions.figures_of(FORCE_DIM)
    scale = largest(plan, forces)
    words: dict[Key | Name, str] = {}
    if "weights" in kinds:
        for name, force in loading(plan):
            words[name] = f"{figures(float(np.hypot(*force)), digits)} N"
        for name, load in plan.frame.loads.items():
            if load.couple is not None:
                words[name] = f"{figures(abs(load.couple.number(plan.values)), digits)} N m"
    for key, reaction in forces.reactions.items():
        size = float(np.hypot(*reaction.force))
        if kind_of(plan, key) in kinds and size > NEGLIGIBLE * scale:
            words[key] = f"{figures(size, digits)} N"
    return words
