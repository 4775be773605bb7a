"""Strings, struts and contacts that let go: at once when a brace is taken away, or later.

At rest, just after a cut, each one-sided member either bears a force f >= 0 in its own sense and its gap
stays, or it bears none and its gap opens, r >= 0; f r = 0. Which of the two is found by turning over
the first member, in the frame's order, that would bear less than nothing or would close its gap: that
ends, since accelerations follow uniquely from the forces (Murty, Note on a Bard-type scheme for solving the
complementarity problem, Opsearch 11, 1974: for matrices whose principal minors are positive).
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

import numpy as np

from simlab.errors import SimlabFault
from simlab.frame.model import Frame, Name, Values
from simlab.motion.reactions import Acting, Reactions
from simlab.motion.system import System
from simlab.results.trace import Event, Floats

LEAST = 1e-11  # of the total weight: a member that bears less than minus this would act the wrong way
LOOSE = 1e-9  # of the frame's size: a gap that was closed opens by rounding
MOST_TURNS = 1000


def sense(frame: Frame, name: Name) -> int:
    """1 for what can only pull, -1 for what can only push, 0 for what can do both."""
    if name in frame.contacts:
        return 0 if frame.contacts[name].two_sided else -1
    kind, natural = frame.links[name].kind, frame.links[name].natural
    return 0 if natural is not None else {"string": 1, "strut": -1}.get(kind, 0)


def of_leaving(frame: Frame, name: Name, time: float) -> Event:
    """What happens when a member or contact lets go."""
    if name in frame.contacts:
        return Event(time, "lifted", name)
    return Event(time, "slack" if sense(frame, name) > 0 else "fallen", name)


def one_sided(frame: Frame, absent: Collection[Name]) -> list[Name]:
    """Members, then contacts, that can act one way only and are there."""
    names = (*frame.links, *frame.contacts)
    return [name for name in names if name not in absent and sense(frame, name)]


def borne(system: System, acting: Acting) -> Iterator[tuple[Name, float]]:
    """What each one-sided member bears in its own sense [N]; one whose force is not unique is left out."""
    for name, tension in zip(system.frame.links, acting.tensions, strict=True):
        if name in system.members.names and sense(system.frame, name) and not np.isnan(tension):
            yield name, sense(system.frame, name) * float(tension)
    for name, (push, _) in acting.pushes.items():
        if sense(system.frame, name):
            yield name, push


def spare_friction(system: System, acting: Acting) -> Iterator[tuple[Name, float]]:
    """How much more each rough contact could take, mu N - |F| [N]."""
    for name, (push, friction) in acting.pushes.items():
        mu = system.frame.contacts[name].friction
        if mu is not None:
            yield name, mu.number(system.values) * abs(push) - abs(friction)


def opening(whole: System, name: Name, rates: Floats) -> float:
    """How fast a one-sided gap opens when the gaps of `whole` change at `rates`."""
    if name in whole.frame.contacts:
        return float(rates[whole.pins.n + whole.members.n + whole.touches.names.index(name)])
    return -sense(whole.frame, name) * float(rates[whole.pins.n + whole.members.names.index(name)])


def leaving(
    frame: Frame, values: Values, without: Collection[Name] = ()
) -> tuple[System, tuple[Name, ...]]:
    """The system that starts to move from rest, and what lets go at once, in the frame's order.

    A contact that would need more friction than mu N slips: it has that much, the same way, and its slip
    must then start against it. Friction is looked at first, since what grips too well may pull at others.
    """
    candidates = one_sided(frame, without)
    whole = System(frame, values, without)
    at_rest = np.zeros_like(whole.start)
    rows = whole.rows(whole.moving(whole.start, at_rest))
    gone: frozenset[Name] = frozenset()
    slipping: dict[Name, int] = {}
    system = whole
    for _ in range(MOST_TURNS):
        a, n = system.solve(whole.start, at_rest)
        rates = rows @ a.ravel()
        acting = Reactions(system).of(system.moving(whole.start, at_rest), n)
        turned = _turned(whole, system, acting, rates)
        if turned is not None:
            slipping.pop(turned[0], None)
            slipping |= {turned[0]: turned[1]} if turned[1] else {}
        else:
            bears = dict(borne(system, acting))
            wrong = [
                name
                for name in candidates
                if (name in bears and bears[name] < -LEAST * whole.total)
                or (name in gone and opening(whole, name, rates) < -LEAST * whole.gravity)
            ]
            if not wrong:
                return system, tuple(name for name in candidates if name in gone)
            gone = gone ^ {wrong[0]}
            slipping.pop(wrong[0], None)
        system = System(frame, values, {*without, *gone}, slipping)
    raise SimlabFault(f"{frame.name}: which of {', '.join(candidates)} let go was not found")


def _turned(whole: System, system: System, acting: Acting, rates: Floats) -> tuple[Name, int] | None:
    """The first contact that must slip, with the sense of its friction, or must grip after all (0)."""
    touches = whole.touches
    for name, spare in spare_friction(system, acting):
        if name not in system.slipping and spare < -LEAST * whole.total:
            return name, 1 if acting.pushes[name][1] > 0 else -1
    first = len(rates) - touches.n + len(touches.names)
    for k, i in enumerate(touches.rough):
        sense = system.slipping.get(touches.names[i], 0)
        if sense * rates[first + k] > LEAST * whole.gravity:
            return touches.names[i], 0
    return None
