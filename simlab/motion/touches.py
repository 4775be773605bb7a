"""Contacts while they press: a point or disc and a surface that stay in touch.

    floor, wall, straight wire   n.(P - P0) = 0             n stands still, force at P
    disc on a floor or a rod     n.(G - B) - r = 0          n turns with what it lies on, force at G - r n
    peg, cylinder under a rod    n.(P - C) - r = 0          n turns with the rod, force at C + r n
    rod's end on another rod     n.(P - B) = 0              n turns with the other rod, force at P
    inside a bowl, round wire    -(|P - C| - r) = 0         n = (C - P)/|P - C|, force at P
    disc on a round              |G - C| = r + r', or r' - r    n along the centres, force at G - r n

The multiplier is the push N along n [N]. While a rough contact holds it has a second row, along t (n turned
clockwise) with the friction F: nothing slides. What has slid is the difference of the ways that the point
of contact went on the two surfaces: of a flat t.(P - B), of a round its radius times the angle between n
and its body.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from math import hypot

import numpy as np

from simlab.frame.model import Contact, Frame, Name, Place
from simlab.motion.points import Moving, Points, dots, quarter, rotated
from simlab.results.forces import Key
from simlab.results.trace import Floats

SQUARE = 1e-9  # of a cosine: a normal is across a rod
ROUND = ("smooth cylinder", "rough cylinder", "smooth wire", "rough wire")


Row = tuple[int, int, int, float, tuple[float, float], bool, float, tuple[float, float, float]]


def centre_of(points: Points, contact: Contact) -> tuple[float, float] | None:
    """The point about which what a contact rests on is round, as drawn, if it is."""
    frame = points.frame
    if contact.by in frame.bodies:
        body = frame.bodies[contact.by]
        return points.pair(body.centre) if body.kind == "disc" else None
    support = frame.supports.get(contact.by)
    if support is not None and "peg" in support.kind and is_disc(frame, contact.on.body):
        return points.drawn[contact.on.point]
    if support is None or support.centre is None or support.kind not in ROUND:
        return None
    return points.drawn[support.centre]


def is_disc(frame: Frame, name: Name) -> bool:
    """Whether a body is a disc."""
    return name in frame.bodies and frame.bodies[name].kind == "disc"


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
    """Contacts that hold: first a row along n for each, then one along t for each rough one that grips.

    One that slips has friction s mu N along t, s its sense, and no row for it: `slips` gives s mu by name.
    """

    def __init__(
        self, frame: Frame, contacts: Collection[Contact], points: Points, slips: Mapping[Name, float]
    ) -> None:
        self.points = points
        self.rub = np.array([slips.get(contact.name, 0.0) for contact in contacts])
        self.names = [contact.name for contact in contacts]
        self.keys = [Key.of(contact) for contact in contacts]
        self.rough = np.array(
            [i for i, c in enumerate(contacts) if c.rough and c.name not in slips], dtype=np.intp
        )
        rows = [self._row(frame, contact) for contact in contacts]
        columns = np.array([row[:3] for row in rows], dtype=np.intp).reshape(-1, 3)
        self.p, self.b, self.turns_with = columns.T
        self.radius = np.array([row[3] for row in rows])
        self.normals = np.array([row[4] for row in rows]).reshape(-1, 2)
        self.radial = np.array([row[5] for row in rows], dtype=bool)
        self.disc = np.array([row[6] for row in rows])  # radius of what rests, if it is a disc
        self.rolling = np.array([row[7] for row in rows]).reshape(-1, 3)
        self.on, self.by = (
            np.array(
                [(points.part(c.on.body), points.part(frame.under(c))) for c in contacts], dtype=np.intp
            )
            .reshape(-1, 2)
            .T
        )
        # Where n turns with the body that is pushed, the force acts at the peg; else at the body's point.
        self.at_peg = (self.turns_with == self.on) & ~self.radial
        self.n = len(rows) + len(self.rough)
        self._looked: tuple[Moving, tuple[Floats, Floats, Floats]] | None = None

    def _row(self, frame: Frame, c: Contact) -> Row:
        """Points P and B, what n turns with, the radius, n as drawn, whether n is along P - B; the disc's
        radius; and what slides for each radian that n turns, the body that rests, and what it rests on."""
        points = self.points
        nx, ny = points.pair(c.normal)
        normal = nx / hypot(nx, ny), ny / hypot(nx, ny)
        by, on, under = frame.under(c), points.part(c.on.body), points.part(frame.under(c))
        x, y = points.drawn[c.on.point]
        own = 0.0
        if is_disc(frame, c.on.body):
            gx, gy = points.pair(frame.bodies[c.on.body].centre)
            own, p = hypot(gx - x, gy - y), points.fix(on, (gx, gy))
        else:
            p = points.add(c.on)
        centre = centre_of(points, c)
        if centre is None:
            b = points.add(Place(by, c.on.point))
            if own == 0.0 and is_across(points, c, c.on.body):
                return p, b, on, 0.0, normal, False, 0.0, (0.0, 0.0, 0.0)
            return p, b, under, own, normal, False, own, (0.0, own, -own)
        b, radius = points.fix(under, centre), hypot(x - centre[0], y - centre[1])
        if own == 0.0 and is_across(points, c, c.on.body):
            return p, b, on, radius, normal, False, 0.0, (0.0, -radius, radius)
        outwards = (x - centre[0]) * normal[0] + (y - centre[1]) * normal[1] >= 0
        side = radius if outwards else -radius
        between = -(radius + own) if outwards else radius - own
        return p, b, points.ground, between, normal, True, own, (-side - own, own, side)

    def _frame(self, moving: Moving) -> tuple[Floats, Floats, Floats]:
        """n of each contact, P - B, and the rate at which n turns; asked for several times a moment."""
        if self._looked is None or self._looked[0] is not moving:
            self._looked = moving, self._look(moving)
        return self._looked[1]

    def _look(self, moving: Moving) -> tuple[Floats, Floats, Floats]:
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
        return np.concatenate([across, self._slid(moving, n, apart)[self.rough]])

    def _slid(self, moving: Moving, n: Floats, apart: Floats) -> Floats:
        """How far each contact has slid along t since it was drawn [m]."""
        c, s = dots(self.normals, n), dots(quarter(self.normals), n)
        turned = np.where(self.radial, np.arctan2(s, c), 0.0)
        angles = np.stack([turned, moving.turns[self.on], moving.turns[self.by]], axis=1)
        flat = np.where(self.radial, 0.0, dots(-quarter(n), apart))
        return np.asarray(flat + dots(self.rolling, angles))

    def places(self, moving: Moving) -> Floats:
        """Where each contact's force acts."""
        n, _, _ = self._frame(moving)
        peg = moving.at[self.b] + self.radius[:, None] * n
        return np.where(self.at_peg[:, None], peg, moving.at[self.p] - self.disc[:, None] * n)

    def rows(self, out: Floats, moving: Moving, as_forces: bool = False) -> None:
        """The rates of the gaps; `as_forces`, what the multipliers do: with friction where it slips."""
        n, _, _ = self._frame(moving)
        at, on = self.places(moving), self.points.on
        for which, k, ways in (
            (np.arange(len(n)), np.arange(len(n)), n - self.rub[:, None] * quarter(n) * as_forces),
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
        force = multipliers[: len(n), None] * (n - self.rub[:, None] * quarter(n))
        force[self.rough] += multipliers[len(n) :, None] * -quarter(n[self.rough])
        return force

    def frictions(self, multipliers: Floats) -> Floats:
        """The friction of each contact along t [N]; 0 where it is smooth."""
        friction = self.rub * multipliers[: len(self.names)]
        friction[self.rough] = multipliers[len(self.names) :]
        return friction
