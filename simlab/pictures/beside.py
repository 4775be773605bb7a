"""What stands beside the arrows of a frame at rest: exact where it can be read, else newtons."""

from __future__ import annotations

from simlab.frame.model import Frame, Name
from simlab.frame.quantity import Quantity
from simlab.pictures.arrows import NEGLIGIBLE, Words, in_newtons
from simlab.pictures.given_loads import couple_words, load_words
from simlab.pictures.names import exact, weight_name
from simlab.pictures.plan import Plan
from simlab.results import Forces, Key
from simlab.results.conventions import HOUSE, Conventions

TWO = 2  # rods at a plain hinge
LONGEST_TEX = 90  # characters of an expression that still fits beside an arrow


def exact_words(
    plan: Plan, forces: Forces[Quantity], simulated: Forces[float], conventions: Conventions = HOUSE
) -> Words:
    """What stands beside each arrow at rest: exact where it is short enough to read, else newtons.

    Weights by their letters, thrusts, tensions and the supports' forces exactly, hinge forces in
    newtons (their parts are in the tables); all in newtons for a class that writes figures alone.
    """
    words: dict[Key | Name, str] = dict(in_newtons(plan, simulated, conventions=conventions))
    frame, is_exact = plan.frame, conventions.exact == "surds"
    if is_exact:
        words |= _given(plan, words)
    for key in [key for key in words if isinstance(key, Key)]:
        if _is_opposite(frame, key):  # its twin at the other end, or on the other rod, says the same
            del words[key]
            continue
        if key.by in frame.joints:
            continue
        size = _exact_size(frame, key, forces, simulated)
        if size is not None and is_exact and size.names and len(size.tex) <= LONGEST_TEX:
            words[key] = exact(size, display=True)
    return words


def _given(plan: Plan, words: Words) -> Words:
    """What the question gives, by its letters: weights, forces, couples, those that are told."""
    frame = plan.frame
    found: dict[Key | Name, str] = {
        name: weight_name(body.weight, frame.gravity, frame.has_masses)
        for name, body in frame.bodies.items()
        if name in words
    }
    for name, load in frame.loads.items():
        if name in words and load.kind == "couple":
            found[name] = couple_words(plan, load)
        elif name in words and load.kind in ("weight", "force"):
            found[name] = load_words(plan, load) or words[name]
    return found


def _is_opposite(frame: Frame, key: Key) -> bool:
    """Whether a force is the opposite of one that is named already: a member's at its second end, or a
    pin's on the second of two rods that nothing else is tied to.
    """
    if key.by in frame.links:
        first = frame.links[key.by].ends[0]
        return (key.on, key.at) != (first.body, f"{key.by} at {first.point}")
    contact = frame.contacts.get(key.at)
    if contact is not None:
        return key.on == contact.by
    joint = frame.joints.get(key.by)
    if joint is None or len(joint.bodies) != TWO:
        return False
    return key.on == joint.bodies[1] and joint.bodies[0] in frame.bodies and frame.is_bare(joint.name)


def _exact_size(
    frame: Frame, key: Key, forces: Forces[Quantity], simulated: Forces[float]
) -> Quantity | None:
    """The size of a force along a member, or along one axis, as an expression."""
    if key.by in frame.links:
        tension = forces.tensions[key.by]
        return tension if simulated.tensions[key.by] >= 0 else -tension
    parts = forces.reactions[key].force
    x, y = simulated.reactions[key].force
    small = NEGLIGIBLE * max(abs(x), abs(y))
    if abs(x) <= small:
        return parts[1] if y >= 0 else -parts[1]
    if abs(y) <= small:
        return parts[0] if x >= 0 else -parts[0]
    return None
