"""Contacts while they press: a point and a surface that stay in touch.

    floor, wall, straight wire   n.(P - P0) = 0                   n stands still, force at P
    peg, cylinder under a rod    n.(P - C) - r = 0                n turns with the rod, force at C + r n
    rod's end on another rod     n.(P - B) = 0                    n turns with the other rod, force at P
    inside a bowl, round wire    -(|P - C| - r) = 0               n = (C - P)/|P - C|, force at P

The multiplier is the push N along n [N]. While a rough contact holds it has a second row, along t (n turned
clockwise) with the friction F: a point on a floor stays; a rod on a round peg rolls, t.(P - C) = r (turn).
"""

from __future__ import annotations

from collections.abc import Collection
from math import hypot

import numpy as np

from simlab.frame.model import GROUND, Contact, Frame, Name, Place
from simlab.motion.points import Moving, Points, dots, quarter, rotated
from simlab.results.forces import Key
from simlab.results.trace import Floats

SQUARE = 1e-9  # of a cosine: a normal is across a rod
ROUND = ("smooth cylinder", "rough cylinder", "smooth wire", "rough wire")


def centre_of(frame: Frame, contact: Contact) -> Name | None:
    """The point about which what touches is round, if it is."""
    support = frame.supports.get(contact.by)
    return support.centre if support is not None and support.kind in ROUND else None


def is_across(points: Points, contact: Contact, body: Name) -> bool:
    """Whether a contact's normal is square to a rod, at a point of it that is not its end."""
    if body not in points.frame.bodies or points.frame.bodies[body].kind != "rod":
        return False
    ends = [points.pair(corner) for corner in points.frame.bodies[body].outline]
    (ax, ay), (bx, by) = ends[0], ends[1]
    x, y = points.drawn[contact.on.point]
    nx, ny = points.pair(contact.normal)
    size = hypot(bx - ax, by - ay)
    inner = min(hypot(x - ax, y - ay), hypot(x - bx, y - by)) > SQUARE * size
    return inner and abs(nx * (bx - ax) + ny * (by - ay)) <= SQUARE * size * hypot(nx, ny)


class Touches:
    """Contacts that hold: first a row along n for each, then one along t for each rough one."""

    def __init__(self, frame: Frame, contacts: Collection[Contact], points: Points) -> None:
        self.points = points
        self.names = [contact.name for contact in contacts]
        self.keys = [Key.of(contact) for contact in contacts]
        self.rough = np.array([i for i, c in enumerate(contacts) if c.rough], dtype=np.intp)
        rows = [self._row(frame, contact) for contact in contacts]
        columns = np.array([row[:3] for row in rows], dtype=np.intp).reshape(-1, 3)
        self.p, self.b, self.turns_with = columns.T
        self.radius = np.array([row[3] for row in rows])
        self.normals = np.array([row[4] for row in rows]).reshape(-1, 2)
        # Where n turns with the body that is pushed, the force acts at the peg; else at the body's point.
        self.at_peg = self.turns_with == np.array([points.part(c.on.body) for c in contacts], dtype=np.intp)
        self.radial = np.array([row[5] for row in rows], dtype=bool)
        self.n = len(rows) + len(self.rough)

    def _row(self, frame: Frame, c: Contact) -> tuple[int, int, int, float, tuple[float, float], bool]:
        """Points P and B, what n turns with, the radius, n as drawn, whether n points along P - B."""
        points = self.points
        nx, ny = points.pair(c.normal)
        normal = nx / hypot(nx, ny), ny / hypot(nx, ny)
        p = points.add(c.on)
        centre = centre_of(frame, c)
        b = points.add(Place(frame.under(c), c.on.point if centre is None else centre))
        on, ground = points.part(c.on.body), points.ground
        radius = 0.0
        if centre is not None:
            (x, y), (cx, cy) = points.drawn[c.on.point], points.drawn[centre]
            radius = hypot(x - cx, y - cy)
        if is_across(points, c, c.on.body):
            return p, b, on, radius, normal, False
        if centre is not None:
            inwards = (cx - x) * normal[0] + (cy - y) * normal[1] > 0
            return p, b, ground, radius if inwards else -radius, normal, True
        by = frame.under(c)
        return p, b, points.part(by) if by != GROUND else ground, 0.0, normal, False

    def _frame(self, moving: Moving) -> tuple[Floats, Floats, Floats]:
        """n of each contact, P - B, and the rate at which n turns."""
        apart = moving.at[self.p] - moving.at[self.b]
        n = rotated(self.normals, moving.turns[self.turns_with])
        rate = moving.rates[self.turns_with].copy()
        r = self.radial
        if r.any():
            n[r] = -apart[r] / self.radius[r][:, None]
            w = moving.velocity[self.p[r]] - moving.velocity[self.b[r]]
            rate[r] = dots(quarter(apart[r]), w) / self.radius[r] ** 2
        return n, apart, rate

    def gaps(self, moving: Moving) -> Floats:
        n, apart, _ = self._frame(moving)
        across = dots(n, apart) - np.where(self.radial, -self.radius, self.radius)
        r = self.radial
        across[r] = np.sign(self.radius[r]) * (np.abs(self.radius[r]) - np.hypot(*apart[r].T))
        k = self.rough
        along = dots(-quarter(n[k]), apart[k]) - self.radius[k] * moving.turns[self.turns_with[k]]
        return np.concatenate([across, along])

    def places(self, moving: Moving) -> Floats:
        """Where each contact's force acts."""
        n, _, _ = self._frame(moving)
        peg = moving.at[self.b] + self.radius[:, None] * n
        return np.where(self.at_peg[:, None], peg, moving.at[self.p])

    def rows(self, out: Floats, moving: Moving) -> None:
        n, _, _ = self._frame(moving)
        at, on = self.places(moving), self.points.on
        for which, k, ways in (
            (np.arange(len(n)), np.arange(len(n)), n),
            (len(n) + np.arange(len(self.rough)), self.rough, -quarter(n[self.rough])),
        ):
            self.points.act(out, which, on[self.p[k]], moving, at[k], ways)
            self.points.act(out, which, on[self.b[k]], moving, at[k], -ways)

    def bias(self, moving: Moving) -> Floats:
        n, apart, rate = self._frame(moving)
        spin = moving.spin[self.p] - moving.spin[self.b]
        w = moving.velocity[self.p] - moving.velocity[self.b]
        across = dots(n, spin) + 2 * rate * dots(quarter(n), w) - rate**2 * dots(n, apart)
        r = self.radial  # d2|P - C|/dt2 = u.a + |w across|^2 / |P - C|, and n = -u
        across[r] = dots(n[r], spin[r]) - rate[r] ** 2 * self.radius[r]
        k = self.rough
        t = -quarter(n[k])
        along = dots(t, spin[k]) + 2 * rate[k] * dots(n[k], w[k]) - rate[k] ** 2 * dots(t, apart[k])
        return np.concatenate([across, along])

    def forces(self, moving: Moving, multipliers: Floats) -> Floats:
        """The force of each contact on what rests there, shape (contacts, 2)."""
        n, _, _ = self._frame(moving)
        force = multipliers[: len(n), None] * n
        force[self.rough] += multipliers[len(n) :, None] * -quarter(n[self.rough])
        return force

    def frictions(self, multipliers: Floats) -> Floats:
        """The friction of each contact along t [N]; 0 where it is smooth."""
        friction = np.zeros(len(self.names))
        friction[self.rough] = multipliers[len(self.names) :]
        return friction
