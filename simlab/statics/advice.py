"""One plain sentence or two to a teacher for each outcome."""

from __future__ import annotations

from collections.abc import Iterable

from simlab.exact.field import Element
from simlab.frame.model import GROUND, Frame, Name
from simlab.frame.quantity import FORCE, MOMENT
from simlab.results.forces import Key
from simlab.results.statics import Rest
from simlab.results.wording import capital
from simlab.statics.balance import Balance
from simlab.statics.laws import is_slack
from simlab.statics.one_sided import Kind, OneSided, named
from simlab.statics.reactions import Reactions

_REST: dict[Rest, str] = {
    "fixed": "It stands firm, and every force has one value.",
    "stable": "It rests and swings back when pushed, and every force has one value.",
    "neutral": "It rests, and stays wherever it is slid to; every force has one value.",
    "unstable": "The equilibrium is unstable, the least push makes it fall: a demonstration needs a "
    "further support or brace. Every force has one value.",
    "undecided": "It is in equilibrium, and every force has one value; its stability is not examined.",
}
NOT_ALL_ONE_SIDED = (
    "It cannot rest so: whatever the forces that statics leaves open, a string would have to push, a strut "
    "to pull or a contact to hold on. Move the loads or the supports."
)
_ONLY_HERE = " This is so at the values put for the letters, not in general."

_IDLE: dict[Kind, str] = {
    "strut": "it only just fits",
    "string": "it is just slack",
    "elastic string": "it is just slack",
    "contact": "it only just touches",
}
_ALONG = {"push": "normal reaction", "rub": "friction"}
_WAYS = {
    "x": ("to the right", "to the left"),
    "y": ("upwards", "downwards"),
    "moment": ("turning anticlockwise", "turning clockwise"),
}


def of_rest_found(words: str, before: Rest, rest: Rest) -> str:
    """Words of how it rests, where more has been found out."""
    return words.replace(_REST[before], _REST[rest])


def of_rest(found: Balance, rest: Rest) -> str:
    """Loads carried, every force settled."""
    frame = found.equations.frame
    words = _REST[rest]
    if found.equations.senses:
        ats = dict.fromkeys(frame.contacts[name].on.point for name in found.equations.senses)
        words = f"It is about to slip at {' and '.join(ats)}, and every force has one value."
    return words + (_ONLY_HERE if found.special else "")


def of_idle(found: Balance, members: Iterable[OneSided]) -> str:
    """One-sided members that carry nothing, a sentence each; to be put after another sentence."""
    return "".join(
        f" {capital(member.called)} carries no force"
        f"{'' if member.always and not found.special else ' here'}: {_IDLE[member.kind]}."
        for member in members
    )


def of_slack(found: Balance) -> str:
    """Elastic strings that hang slack; to be put after another sentence."""
    equations = found.equations
    return "".join(
        f" {capital(named(link))} hangs slack: it is longer than the way between its ends."
        for link in equations.frame.links.values()
        if is_slack(equations, link)
    )


def of_unsettled(found: Balance, reactions: Reactions) -> str:
    """More members or supports than statics needs; what of their supports is settled all the same."""
    undetermined = reactions.undetermined
    surplus = len(found.self_stress)
    frame = found.equations.frame
    members = [name for name in frame.links if name in undetermined]
    ats = {key.at for key in undetermined if isinstance(key, Key) and (key.by != key.at or not members)}
    supports = [name for name in (*frame.joints, *frame.contacts) if name in ats]
    where = " and ".join(
        f"{word} {', '.join(names)}" for word, names in (("in", members), ("at", supports)) if names
    )
    what, some = (
        ("One member or support", "one")
        if surplus == 1
        else (f"{surplus} members or supports", str(surplus))
    )
    return (
        f"{what} more than needed: the forces {where} are not settled by statics alone. "
        f"Take {some} away, or ask for other forces only."
        + of_settled_parts(reactions)
        + (_ONLY_HERE if found.special else "")
    )


def of_settled_parts(reactions: Reactions) -> str:
    """The settled components of supports whose reaction is not settled as a whole."""
    contacts = reactions.equations.frame.contacts
    parts = [
        f"{_part(reactions, part, value)} at {contacts[key.at].on.point if key.at in contacts else key.at}"
        if part in _WAYS
        else f"{_size(reactions, key.at, part)} at {contacts[key.at].on.point}"
        for key, settled in reactions.settled_parts.items()
        if key.by == GROUND or key.at in contacts
        for part, value in settled.items()
    ]
    return f" Settled all the same: {', '.join(parts)}." if parts else ""


def _part(reactions: Reactions, part: str, value: Element) -> str:
    """A component in words: 'W/2 upwards'."""
    positive, negative = _WAYS[part]
    size = reactions.printed(-value if value.sign() < 0 else value, MOMENT if part == "moment" else FORCE)
    if size.is_zero:
        return f"nothing {positive} or {negative}"
    unit = "" if size.names else " N m" if part == "moment" else " N"
    return f"{size.plain}{unit} {negative if value.sign() < 0 else positive}"


def _size(reactions: Reactions, contact: Name, part: str) -> str:
    """The settled part of a contact's reaction in words: 'normal reaction W'."""
    force = reactions.push(contact) if part == "push" else reactions.rub(contact)
    size = reactions.printed(-force if force.sign() < 0 else force, FORCE)
    return f"{_ALONG[part]} {size.plain}{'' if size.names else ' N'}"


def of_falling_out(members: Iterable[OneSided]) -> str:
    """One-sided members that would have to act the other way."""
    return " ".join(_falls_out(member) for member in members)


def _falls_out(member: OneSided) -> str:
    name = capital(member.called)
    match member.kind:
        case "strut":
            return f"{name} would have to pull: it falls out. Use a string or a light rod there."
        case "string" | "elastic string":
            return f"{name} would have to push: it goes slack. Use a strut or a light rod there."
    return f"{name} would have to pull: it lifts off. Use a hinge there, or move the loads."


def of_motion(found: Balance) -> str:
    """Loads that cannot be carried."""
    moving = [motion for motion in found.motions if not found.work(motion).is_zero]
    frame = found.equations.frame
    if not moving:
        return _of_contradiction(frame) + (_ONLY_HERE if found.special else "")
    held = [name for name, joint in frame.joints.items() if joint.kind == "pin" and GROUND in joint.bodies]
    words = "The frame cannot rest in this shape: it folds. Add a brace, or hold it at one more point."
    if found.equations.elastic:
        words = "The frame cannot rest in this shape: its elastic members give way. Let the shape be found."
    elif len(found.motions) == 1 and _is_rigid(found):
        turns = [not found.turn(moving[0], body).is_zero for body in frame.bodies]
        if any(turns) and held:
            words = (
                f"The frame cannot rest in this position: its weight makes it swing about {held[0]}. "
                "Turn it until it balances there, or hold it at one more point."
            )
        elif not any(turns):
            words = (
                "The frame cannot rest in this position: nothing keeps it from sliding. "
                "Hold it at one point by a hinge, or by a wall."
            )
    return words + (_ONLY_HERE if found.special else "")


def _of_contradiction(frame: Frame) -> str:
    """What the question says of forces cannot be so."""
    said = [
        f"{contact.on.point} is about to {contact.about_to}"
        for contact in frame.contacts.values()
        if contact.about_to
    ]
    said += [f"the tension of {link.name} is given" for link in frame.links.values() if link.is_given]
    return (
        f"The forces cannot be as the question says, that {' and '.join(said)}: "
        "then they do not balance. Leave something of it out, or let a letter be found."
    )


def _is_rigid(found: Balance) -> bool:
    """Whether the only motion moves all bodies as one: equal turns, one velocity at the origin."""
    (motion,) = found.motions
    seen = []
    for body, (x, y) in found.equations.centres.items():
        turn, velocity = found.turn(motion, body), found.velocity(motion, body)
        seen.append((turn, velocity[0] + turn * y, velocity[1] - turn * x))
    return bool(seen) and all(one == seen[0] for one in seen)
