"""The forces on a part as arrows: unknowns of one length before they are known, to one scale afterwards."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction

import numpy as np

from simlab.frame.model import Name
from simlab.frame.quantity import FORCE as FORCE_DIM
from simlab.frame.quantity import Quantity
from simlab.pictures.arrows import LEAST_PART, OUTSIDE, SHORT, arrow_name
from simlab.pictures.attitudes import Attitude, Bundle, Lie, Shaft
from simlab.pictures.bodies import thickness
from simlab.pictures.camera import Camera
from simlab.pictures.drawing import Drawing, given_words, in_short
from simlab.pictures.given_loads import LONGER, STANDARD, magnitude
from simlab.pictures.marks import Arrow, Label, Mark, Point, Points
from simlab.pictures.moments import LOAD, SUPPORT, moment_arc
from simlab.pictures.palette import FORCE
from simlab.pictures.spread import SMALL_ARROW
from simlab.pictures.structure import HINGE, sides_towards
from simlab.pictures.weights import foot_of
from simlab.results.forces import Key
from simlab.results.wording import reads_well
from simlab.results.working import Action, Letter, Part

USUAL: Mapping[str, Attitude] = {"load": "pull", "tension": "pull", "thrust": "push"}  # of contacts: push
OFF_CENTRE = 45.0  # cost of a weight beside its centre: only where another one lies on that
ON_ROD = 0.15  # how much it matters that a weight is drawn over its rod
LONGEST_SIZE = 30  # characters of the exact size of a force whose parts are known exactly
NOTHING = 1e-9  # of the largest force: as good as none


def assumed(drawing: Drawing, grain: float) -> list[Bundle]:
    """Every force in its assumed sense: weights, given forces and unknowns, each kind of one length."""
    found = []
    for i, action in enumerate(drawing.part.actions):
        if action.turning or not _is_something(drawing, action):
            continue
        way = drawing.metres(action.way)
        role = drawing.role(action, way)
        long = STANDARD if role == "weight" and action.letter is None else LONGER
        shaft = Shaft(name_of(drawing, i), role, given_words(drawing, action), way, long)
        found.append(_bundle(drawing, action, (shaft,), grain))
    return found


def solved(
    drawing: Drawing,
    letters: Mapping[Name, Letter],
    per_newton: float,
    grain: float,
    *,
    in_parts: bool = True,
) -> list[Bundle]:
    """Every force as it came out, to scale; a hinge's as one, with its parts beside it if `in_parts`."""
    found = []
    for group in forces_of(drawing.part, letters):
        every = [_to_scale(drawing, k, letters, per_newton) for k in group]
        shafts = [shaft for shaft in every if shaft is not None]
        if len(shafts) > 1 and (not in_parts or min(shaft.long for shaft in shafts) < LEAST_PART):
            shafts = [_together(drawing, group, shafts, letters, per_newton)]
        elif len(shafts) > 1:
            shafts = [_together(drawing, group, shafts, letters, per_newton), *map(_as_part, shafts)]
        if shafts:
            found.append(_bundle(drawing, drawing.part.actions[group[0]], tuple(shafts), grain))
    return found


def forces_of(part: Part, letters: Mapping[Name, Letter]) -> Iterator[tuple[int, ...]]:
    """The actions by number, but for couples; together those that are the two parts of a hinge's force."""
    kinds = [letters[a.letter].part if a.letter is not None else "" for a in part.actions]
    taken = -1
    for i, action in enumerate(part.actions):
        if action.turning or i == taken:
            continue
        if kinds[i : i + 2] == ["across", "upwards"] and part.actions[i + 1].what == action.what:
            taken = i + 1
            yield i, taken
        else:
            yield (i,)


def value_of(action: Action, letters: Mapping[Name, Letter]) -> Quantity:
    """The size of an action along its way as it came out: negative where it acts the other way."""
    return action.size if action.letter is None else letters[action.letter].value


def name_of(drawing: Drawing, i: int) -> Name:
    """The name of the arrow of a part's i-th action."""
    action = drawing.part.actions[i]
    name = arrow_name(action.what)
    again = [a for a in drawing.part.actions[:i] if a.what == action.what]
    return f"{name}.{len(again)}" if again else name


def _is_something(drawing: Drawing, action: Action) -> bool:
    return action.letter is not None or drawing.number(action.size) != 0


def _to_scale(drawing: Drawing, i: int, letters: Mapping[Name, Letter], per_newton: float) -> Shaft | None:
    """The arrow of a force as it came out, or None where it came out as nothing."""
    action = drawing.part.actions[i]
    value = value_of(action, letters)
    newtons = drawing.number(value)
    long = abs(newtons) * per_newton
    if long < NOTHING:
        return None
    way = drawing.metres(action.way) * np.sign(newtons)
    role = drawing.role(action, way)
    text = given_words(drawing, action) if action.letter is None else in_short(drawing, value)
    force = (float(way[0]) * abs(newtons), float(way[1]) * abs(newtons))
    return Shaft(name_of(drawing, i), role, text, way, long, force)


def _together(
    drawing: Drawing,
    of: Sequence[int],
    shafts: Sequence[Shaft],
    letters: Mapping[Name, Letter],
    per_newton: float,
) -> Shaft:
    """The force of which some arrows are the parts."""
    x, y = (sum(shaft.force[k] for shaft in shafts if shaft.force) for k in (0, 1))
    size = float(np.hypot(x, y))
    ways = [drawing.part.actions[i].way for i in of]
    sizes = [value_of(drawing.part.actions[i], letters) for i in of]
    exactly = [sum((s * w[k] for s, w in zip(sizes, ways, strict=True)), Quantity.zero()) for k in (0, 1)]
    whole = magnitude(drawing.whole, (exactly[0], exactly[1]))
    if whole is None or len(whole.tex) > LONGEST_SIZE or not reads_well(whole):
        whole = Quantity.of(Fraction(size), FORCE_DIM)
    text = in_short(drawing, whole)
    way = np.array([x, y]) / size
    return Shaft(f"whole {shafts[0].name}", shafts[0].role, text, way, size * per_newton, (x, y))


def _as_part(shaft: Shaft) -> Shaft:
    return Shaft(shaft.name, "hinge component", shaft.text, shaft.way, shaft.long, shaft.force)


def _bundle(drawing: Drawing, action: Action, shafts: tuple[Shaft, ...], grain: float) -> Bundle:
    """Arrows at the point of an action, with what they know of how they would rather lie."""
    at, role = drawing.place(action.at), shafts[0].role
    load = drawing.frame.loads.get(action.what) if isinstance(action.what, str) else None
    if load is not None and load.kind == "weight":
        at = foot_of(drawing.plan, load, grain, None)
        return Bundle(at, shafts, "pull", (0.0, 0.0), ON_ROD, stepping=None)
    if load is not None and load.kind == "spread":
        depth = thickness(drawing.plan, load.place.body) + SMALL_ARROW + 4
        return Bundle(at, shafts, "push", (depth, depth), stepping=None)
    if action.what in drawing.frame.bodies:
        return Bundle(at, shafts, "pull", (0.0, 3.0), ON_ROD, stepping=OFF_CENTRE)
    thick = max((thickness(drawing.plan, body) for body in _at(drawing, at)), default=0.0)
    is_hinge = any(np.allclose(drawing.plan.joint(j), at) for j in drawing.plan.frame.joints)
    ring = HINGE + 3.0 if is_hinge else 0.0
    usual = "push" if _is_contact(drawing, action) else USUAL.get(role)
    return Bundle(at, shafts, usual, (ring, max(ring, thick + 3.0)))


def _is_contact(drawing: Drawing, action: Action) -> bool:
    """Whether an action is of a contact that can only push."""
    at = action.what.at if isinstance(action.what, Key) else action.what
    return at in drawing.frame.contacts and not drawing.frame.contacts[at].two_sided


def _at(drawing: Drawing, point: Points) -> Iterator[Name]:
    """The bodies of a part that have a named point at a place."""
    for name, points in drawing.plan.bodies.items():
        if any(np.allclose(at, point) for at in points.values()):
            yield name


# marks


def arrow_marks(
    drawing: Drawing,
    bundles: Sequence[Bundle],
    lying: Sequence[Lie],
    camera: Camera,
    say: Callable[[Shaft], str] = lambda shaft: shaft.text,
) -> Iterator[Mark]:
    """The arrows as they lie, and the words beside them."""
    for bundle, lie in zip(bundles, lying, strict=True):
        for shaft in bundle.shafts:
            tail, tip = (camera.to_frame(end) for end in lie.ends(bundle, shaft, camera))
            along = _pair(tip - tail)
            if shaft.force is None:
                yield Arrow(
                    name=shaft.name, role=shaft.role, tail=_pair(tail), vector=along, measure="length"
                )
            elif shaft.long >= SHORT:
                yield Arrow(name=shaft.name, role=shaft.role, tail=_pair(tail), vector=shaft.force)
            if say(shaft):
                yield _words(drawing, shaft, lie.attitude, tail, tip, say(shaft))


def _words(
    drawing: Drawing, shaft: Shaft, attitude: Attitude, tail: Points, tip: Points, text: str
) -> Label:
    """The words of an arrow: best at its free end, else further back beside it."""
    start, end = (tail, tip) if attitude == "pull" else (tip, tail)
    out = shaft.way if attitude == "pull" else -shaft.way
    return Label(
        name=f"words of {shaft.name}",
        role=shaft.role,
        anchor=_pair(start),
        vector=_pair(end - start),
        measure="length",
        text=text,
        size=FORCE,
        sides=sides_towards(out + OUTSIDE * drawing.plan.away(start)),
        led=True,
        clearance=8.0,
    )


def turning_marks(
    drawing: Drawing, grain: float, letters: Mapping[Name, Letter] | None = None
) -> Iterator[Mark]:
    """The couples on a part and the moments of built-in ends, as arcs; with their values, if known."""
    for i, action in enumerate(drawing.part.actions):
        if not action.turning:
            continue
        sense, text = float(action.turning), given_words(drawing, action)
        if letters is not None and action.letter is not None:
            value = letters[action.letter].value
            number = drawing.number(value)
            if number == 0:
                continue
            sense *= float(np.sign(number))
            text = in_short(drawing, value)
        roles = SUPPORT if isinstance(action.what, Key) else LOAD
        yield from moment_arc(
            name_of(drawing, i), _pair(drawing.place(action.at)), sense, grain, text, roles
        )


def _pair(vector: Points) -> Point:
    return (float(vector[0]), float(vector[1]))
