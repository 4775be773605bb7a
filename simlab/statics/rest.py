"""How a frame rests on the motions left to it, by the exact second variation.

For a motion v with the multipliers of the constraints being the forces themselves, the second
variation of the potential energy along the constraints is

    Q(v) = sum over bodies  w^2 * sum_i F_i . r_i  +  sum over light members  (T/length) * |d'|^2

w: angular velocity of a body; F_i: every force on it, at r_i from its centre; d': difference of
the velocities of a light member's ends. (A point at r has the second derivative -r*w^2, so a force F
there, dead or of a constraint, gives -F.(-r)*w^2; a light member's constraint (|d|^2 - L^2)/2 with
its multiplier T/L gives in addition (T/L)*|d'|^2.)  Q > 0 on all motions: stable. Q < 0 on one:
unstable. A one-sided member that carries nothing holds one way only: it leaves half of a motion more.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from simlab.exact.elimination import Vector
from simlab.exact.field import Element
from simlab.exact.quadratic import inertia
from simlab.frame.model import Name, Place
from simlab.results.statics import Rest
from simlab.statics.balance import Balance, at_values, loosened

Form = list[list[Element]]


def rest(found: Balance, idle: Collection[int] = ()) -> Rest:
    """The kind of rest of a frame whose loads are carried; `idle`: unknowns of one-sided members at 0.

    With several idle members only half of each further motion is open, and which parts of the whole
    are, is not looked into: what the whole would fail by is then "undecided".
    """
    held = _rest(found)
    if not idle or held == "unstable":
        return held
    loose = _rest(loosened(found, idle))
    return loose if loose == "stable" or len(idle) == 1 else "undecided"


def _rest(found: Balance) -> Rest:
    """The kind of rest of a frame all of whose members hold both ways.

    "undecided" where forces that statics does not settle have a part in it, where a rod lies on a peg
    (the peg's place on it moves), or where the second variation vanishes without the frame being
    plainly free to move.
    """
    motions = found.motions
    if not motions:
        return "fixed"
    if any(not e.is_zero for state in found.self_stress for row in _form(found, state) for e in row):
        return "undecided"
    if any(not found.turn(motion, body).is_zero for motion in motions for body in _on_pegs(found)):
        return "undecided"
    signs = inertia(_form(found, found.unknowns, loaded=True))
    if signs is None:
        return _rest(at_values(found))
    if signs.negative:
        return "unstable"
    if not signs.kernel:
        return "stable"
    flat = [_combined(motions, weights) for weights in signs.kernel]
    return "neutral" if all(_is_free(found, motion) for motion in flat) else "undecided"


def _form(found: Balance, forces: Vector, loaded: bool = False) -> Form:
    """Q(v_i, v_j) for the motions v, from the values of the unknowns."""
    equations, motions = found.equations, found.motions
    zero = equations.field.zero
    form = [[zero for _ in motions] for _ in motions]
    for body in equations.frame.bodies:
        turns = [found.turn(motion, body) for motion in motions]
        if all(turn.is_zero for turn in turns):
            continue
        arms = equations.arms_of_loads[body] if loaded else zero
        for unknown, coefficient in equations.arms[body].items():
            if unknown in forces:
                arms = arms + coefficient * forces[unknown]
        _add(form, [(turn,) for turn in turns], arms)
    for unknown, label in enumerate(equations.unknowns):
        if label.part == "density" and isinstance(label.of, str) and unknown in forces:
            _add(form, [_parting(found, motion, label.of) for motion in motions], forces[unknown])
    return form


def _add(form: Form, vectors: list[tuple[Element, ...]], weight: Element) -> None:
    """form += weight * (scalar products of the vectors)."""
    for i, u in enumerate(vectors):
        for j, v in enumerate(vectors):
            for a, b in zip(u, v, strict=True):
                form[i][j] = form[i][j] + weight * a * b


def _parting(found: Balance, motion: Vector, link: Name) -> tuple[Element, Element]:
    """The velocity of a light member's second end less that of its first."""
    first, second = (found.velocity_at(motion, place) for place in found.equations.frame.links[link].ends)
    return second[0] - first[0], second[1] - first[1]


def _combined(motions: tuple[Vector, ...], weights: tuple[Element, ...]) -> Vector:
    total: dict[int, Element] = {}
    for motion, weight in zip(motions, weights, strict=True):
        for i, value in motion.items():
            total[i] = total[i] + weight * value if i in total else weight * value
    return total


def _on_pegs(found: Balance) -> set[Name]:
    """Rods that rest on something elsewhere than at an end."""
    equations = found.equations
    result = set()
    for contact in equations.frame.contacts.values():
        body = equations.frame.bodies.get(contact.on.body)
        if body is not None and body.kind == "rod":
            point = equations.points[contact.on.point]
            ends = [tuple(equations.element(part) for part in end) for end in body.outline]
            if point not in ends:
                result.add(body.name)
    return result


def _places(found: Balance) -> Iterator[Place]:
    """Every place at which something acts on a body."""
    frame = found.equations.frame
    for joint in frame.joints.values():
        yield from (Place(body, joint.point) for body in joint.bodies)
    for link in frame.links.values():
        yield from link.ends
    yield from (contact.on for contact in frame.contacts.values())
    yield from (load.place for load in frame.loads.values())


def _is_free(found: Balance, motion: Vector) -> bool:
    """Whether nothing at all changes along a motion, however far it goes.

    So it is where all that moves is shifted without a turn and no light member's ends part, or turns
    about its own centre with nothing acting on it elsewhere.
    """
    frame = found.equations.frame
    turning = {body for body in frame.bodies if not found.turn(motion, body).is_zero}
    if any(not part.is_zero for body in turning for part in found.velocity(motion, body)):
        return False
    for place in _places(found):
        if place.body in turning and any(not part.is_zero for part in found.equations.arm(place)):
            return False
    return all(part.is_zero for link in frame.links for part in _parting(found, motion, link))
