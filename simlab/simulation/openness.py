"""Which forces rigid bodies leave open: those in a state of self-stress.

With J the rates of all joint gaps, y J = 0 is a set of forces in balance without a load. The engine gives
each of them some value, which depends on the order of its joints and on nothing in the question: such a
force is never handed on.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from simlab.errors import SimlabFault
from simlab.frame.model import GROUND, Name
from simlab.results import Key
from simlab.simulation.conditioning import ZERO, Gaps
from simlab.simulation.masses import carrier
from simlab.simulation.strings import KNOTS


def open_forces(gaps: Gaps) -> frozenset[Key | Name]:
    """Keys of reactions, and light members, whose force rigid bodies cannot decide."""
    matrix = gaps.matrix
    if not matrix.size:
        return frozenset()
    left, sizes, _ = np.linalg.svd(matrix)
    rank = int(np.count_nonzero(sizes > ZERO * sizes[0])) if sizes[0] > 0 else 0
    shares = np.abs(left[:, rank:]).max(axis=1, initial=0.0)
    if not shares.any():
        return frozenset()
    owners = [owner for owner, rows in _owners(gaps) for _ in range(rows)]
    if len(owners) != len(shares):
        raise SimlabFault(f"{gaps.drawn.frame.name}: {len(shares)} rows of joints for {len(owners)} owners")
    is_open = {owner for owner, share in zip(owners, shares, strict=True) if share > ZERO**0.5}
    return frozenset(_keys(gaps, is_open))


def _owners(gaps: Gaps) -> Iterator[tuple[Name, int]]:
    """Joints, light members and contacts in the order of the rows of J, with how many rows each has."""
    frame = gaps.drawn.frame
    for joint in frame.joints.values():
        held = carrier(frame, joint.name)
        each = 3 if joint.kind == "built-in" else 2
        yield joint.name, each * sum(body != held for body in joint.bodies)
    for link in frame.links.values():
        if not link.is_given:
            yield link.name, 1 + 2 * KNOTS * len(link.over)
    for name in frame.contacts:
        yield name, len(gaps.ways[name])


def _keys(gaps: Gaps, is_open: set[Name]) -> Iterator[Key | Name]:
    """A pin on which an open member or contact acts is open too: its forces follow from its balance."""
    frame = gaps.drawn.frame
    pins = set(is_open)
    for name in is_open & set(frame.links):
        yield name
        for place in frame.links[name].places:
            pins.add(place.body)
            if place.body != GROUND:
                yield Key.of_member(name, place)
    for name in is_open & set(frame.contacts):
        pins.add(frame.contacts[name].on.body)
        yield Key.of(frame.contacts[name])
    for name in pins & set(frame.joints):
        joint = frame.joints[name]
        for body in joint.bodies:
            if joint.kind == "pin" or body != GROUND:
                yield Key.of_joint(joint, body)
