"""The first instant after a member is taken away: accelerations at rest, and how every force jumps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from simlab.frame.model import Frame, Name, Values
from simlab.frame.quantity import Quantity
from simlab.results.forces import Forces, Key


@dataclass(frozen=True)
class Jump:
    """One force before and after, or a tension (y is nothing then) [N]; the change is after - before,
    exactly, but not in a form to be read."""

    before: tuple[Quantity, Quantity]
    after: tuple[Quantity, Quantity]
    change: tuple[Quantity, Quantity]


@dataclass(frozen=True)
class FirstInstant:
    """What the equations of motion say at rest, in the drawn shape, without `taken`.

    accelerations : of each body's centre, x and y [m/s^2], and of its turn, anticlockwise [rad/s^2], in
    the frame's letters and the letter g; forces : by the keys of every road; undetermined : what more
    constraints than needed leave open; gone : one-sided members that let go at once; slipping : contacts
    that slip at once; values : at which
    signs were decided, with a value for g
    """

    frame: Frame
    values: Values
    taken: tuple[Name, ...]
    accelerations: Mapping[Name, tuple[Quantity, Quantity, Quantity]]
    forces: Forces[Quantity]
    undetermined: frozenset[Key | Name]
    gone: tuple[Name, ...]
    slipping: tuple[Name, ...] = ()
