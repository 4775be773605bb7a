"""Forces as arrows: weights, forces of supports, of light members, and of hinges, to one scale.

Every arrow is a force *on* the frame, drawn with its tail where the force acts:

- weights from the rod's centre, hung weights from the foot of their lantern;
- the force of a support on what it holds, from the point of contact;
- a thrust on the rods outwards from the member, a tension on the rods inwards along it;
- the force of a pin on each rod that turns on it, its tail set a little along that rod, so that the
  two opposite forces at a hinge can be told apart.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Literal

import numpy as np

from simlab.frame.model import GROUND, Name
from simlab.pictures.camera import Camera
from simlab.pictures.marks import Arrow, Label, Mark, Point, Points, Side
from simlab.pictures.moments import moment_arc
from simlab.pictures.names import weight_name
from simlab.pictures.palette import FORCE
from simlab.pictures.plan import Plan
from simlab.pictures.structure import sides_towards
from simlab.pictures.weights import foot_of
from simlab.results.forces import Forces, Key, Reaction
from simlab.results.trace import Instant
from simlab.results.wording import figures

Kind = Literal["weights", "supports", "members", "hinges"]
KINDS: tuple[Kind, ...] = ("weights", "supports", "members", "hinges")
Words = Mapping[
    Key | Name, str
]  # what stands beside an arrow, by its key (weights: the rod's or load's name)

LONGEST = 190.0  # [page units] of the largest arrow: a sixth of the page
STANDARD = 84.0  # [page units] of every arrow that is not to scale
INSET = 52.0  # [page units] from a hinge along its rod to the tail of the pin's force on it
LEAST = 3.0  # [page units]: a shorter arrow is no arrow
OUTSIDE = 0.9  # how much words like to be outside the frame, against ahead of their arrow
NEGLIGIBLE = 1e-9  # of the largest force: as good as none


def largest(plan: Plan, forces: Forces[float] | None, kinds: Collection[Kind] = KINDS) -> float:
    """The largest force that the kinds of arrow would show [N]."""
    sizes = [0.0]
    if "weights" in kinds:
        sizes += [float(np.hypot(*force)) for _, _, force in _weights(plan, None, 0.0)]
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
            for name, tail, force in _weights(plan, instant, grain)
        ]
    for key, reaction in (forces.reactions if forces is not None else {}).items():
        if forces is not None and kind_of(plan, key) in kinds and not _is_said_twice(plan, key, kinds):
            tail = _tail(plan, key, reaction, instant, grain, camera.per_newton * camera.grain)
            found.append((key, role_of(plan, key, forces), tail, reaction.force))
    marks: list[Mark] = []
    for what, role, tail, force in found:
        if only is not None and what not in only:
            continue
        marks += _moment(plan, what, forces, grain, words)
        if float(np.hypot(*camera.arrow(force))) >= LEAST:
            sides = _beside(force, plan.away(tail))
            marks += _arrow(arrow_name(what), role, tail, force, sides, (words or {}).get(what))
    return marks


def _moment(
    plan: Plan, what: Key | Name, forces: Forces[float] | None, grain: float, words: Words | None
) -> Iterator[Mark]:
    """The moment of a built-in end, if a reaction has one worth showing."""
    reaction = forces.reactions[what] if forces is not None and isinstance(what, Key) else None
    if reaction is None or reaction.moment is None or not isinstance(what, Key):
        return
    left, bottom, right, top = plan.bounds
    whole = (
        max((abs(f) for r in forces.reactions.values() for f in r.force), default=0.0) if forces else 0.0
    )
    if abs(reaction.moment) > NEGLIGIBLE * whole * max(right - left, top - bottom):
        text = f"{figures(abs(reaction.moment))} N m" if words else ""
        yield from moment_arc(
            f"moment on {what.on} at {what.at}", reaction.point, reaction.moment, grain, text
        )


def _is_said_twice(plan: Plan, key: Key, kinds: Collection[Kind]) -> bool:
    """Whether a pin only hands a support's force on to one rod, and the support's own arrow is shown."""
    joint = plan.frame.joints.get(key.at)
    if joint is None or key.by != key.at or "supports" not in kinds:
        return False
    return GROUND in joint.bodies and len(joint.bodies) == 2 and plan.frame.is_bare(joint.name)


def arrow_name(key: Key | Name) -> Name:
    """The name of the arrow of a reaction or of a weight, the same in every picture."""
    return f"force on {key.on} at {key.at} by {key.by}" if isinstance(key, Key) else f"weight of {key}"


def _arrow(
    name: Name, role: str, tail: Points, force: Point, sides: tuple[Side, ...], text: str | None
) -> list[Mark]:
    at = (float(tail[0]), float(tail[1]))
    marks: list[Mark] = [Arrow(name=name, role=role, tail=at, vector=force)]
    if text:
        marks.append(
            Label(
                name=f"words of {name}",
                role=role,
                anchor=at,
                vector=force,
                text=text,
                size=FORCE,
                sides=sides,
            )
        )
    return marks


def _beside(force: Point, outwards: Points) -> tuple[Side, ...]:
    """Sides of an arrow's words: ahead of its tip first, then across it, rather outside the frame."""
    return sides_towards(np.array(force) / np.hypot(*force) + OUTSIDE * outwards)


def _weight_role(plan: Plan, name: Name) -> str:
    load = plan.frame.loads.get(name)
    return "load" if load is not None and load.kind == "force" else "weight"


def _weights(plan: Plan, instant: Instant | None, grain: float) -> list[tuple[Name, Points, Point]]:
    """Name, tail [m] and force [N] of every weight and load, by the share that is let on."""
    share = 1.0 if instant is None else instant.load
    rows: list[tuple[Name, Points, Point]] = [
        (body, plan.centre(body, instant), (0.0, -share * weight)) for body, weight in plan.weights.items()
    ]
    for name, (x, y) in plan.loads.items():
        load = plan.frame.loads[name]
        is_weight = load.kind == "weight"
        tail = foot_of(plan, load, grain, instant) if is_weight else plan.at(load.place, instant)
        rows.append((name, tail, (share * x, share * y)))
    return rows


def _tail(
    plan: Plan, key: Key, reaction: Reaction[float], instant: Instant | None, grain: float, reach: float
) -> Points:
    """Where a reaction's arrow begins [m]; `reach` [m/N] is the length of arrows.

    A pin's force on a rod is drawn on that rod's side of the hinge: from the rod, where it points along
    it; up to the rod, where it points away. So the arrows of two hinged rods do not cross over.
    """
    point = np.array(reaction.point)
    if key.on not in plan.bodies or key.by not in plan.frame.joints or key.by != key.at:
        return point
    along, force = _along_rod(plan, key.on, point, instant), np.array(reaction.force)
    on_rod = point + along * INSET * grain
    return np.asarray(on_rod - force * reach if force @ along < 0 else on_rod)


def _along_rod(plan: Plan, body: Name, point: Points, instant: Instant | None) -> Points:
    """The unit vector from a point of a body towards the body's centre, shape (2,)."""
    along = plan.centre(body, instant) - point
    long = float(np.hypot(*along))
    if long == 0:  # pinned at its centre: along the rod
        a, b = plan.outline(body, instant)[:2]
        along, long = b - a, float(np.hypot(*(b - a)))
    return np.asarray(along / long)


def given_weights(plan: Plan, grain: float) -> list[Mark]:
    """The weights as the question gives them: arrows of one length, not to scale, with their names."""
    marks: list[Mark] = []
    for name, tail, force in _weights(plan, None, grain):
        body, load = plan.frame.bodies.get(name), plan.frame.loads.get(name)
        size = float(np.hypot(*force))
        if size == 0:
            continue
        vector = (force[0] / size * STANDARD * grain, force[1] / size * STANDARD * grain)
        at = (float(tail[0]), float(tail[1]))
        label = f"weight of {name}"
        marks.append(
            Arrow(name=label, role=_weight_role(plan, name), tail=at, vector=vector, measure="length")
        )
        quantity = body.weight if body is not None else load.value[0] if load is not None else None
        if quantity is not None and (load is None or load.kind == "weight"):
            text = weight_name(quantity, plan.frame.gravity)
            tip = (at[0] + vector[0], at[1] + vector[1])
            marks.append(
                Label(
                    name=f"words of {label}",
                    role="weight",
                    anchor=tip,
                    text=text,
                    size=FORCE,
                    sides=("s", "e", "w", "se", "sw"),
                    clearance=8.0,
                )
            )
    return marks


def in_newtons(plan: Plan, forces: Forces[float], kinds: Collection[Kind] = KINDS) -> Words:
    """The size of each force in newtons, to three figures, to stand beside its arrow."""
    scale = largest(plan, forces)
    words: dict[Key | Name, str] = {}
    if "weights" in kinds:
        for name, _, force in _weights(plan, None, 0.0):
            words[name] = f"{figures(float(np.hypot(*force)))} N"
    for key, reaction in forces.reactions.items():
        size = float(np.hypot(*reaction.force))
        if kind_of(plan, key) in kinds and size > NEGLIGIBLE * scale:
            words[key] = f"{figures(size)} N"
    return words
