"""An outside oracle: Lagrange's equations in as few coordinates as there are motions, from sympy.

d/dt(dL/dq') - dL/dq = 0,    L = kinetic - potential energy, written down by hand for each case
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import sympy as sp
from scipy.integrate import solve_ivp
from small_frames import frame
from sympy.physics.mechanics import LagrangesMethod, dynamicsymbols

from simlab.frame.model import Frame

G = 10.0
TOLERANCE = 1e-13


@dataclass(frozen=True)
class Case:
    """A frame let go without a member, and its Lagrangian in minimal coordinates.

    centres : of the rods in the frame's order, and their turns from the drawn pose, in `coordinates`
    """

    of: Frame
    without: tuple[str, ...]
    seconds: float
    coordinates: list[Any]
    start: list[float]
    centres: list[tuple[Any, Any, Any]]

    def poses(self, times: np.ndarray) -> np.ndarray:
        """x, y, turn of each rod at the times, by integrating Lagrange's equations."""
        q = self.coordinates
        dq = [c.diff(dynamicsymbols._t) for c in q]
        kinetic = potential = sp.S.Zero
        for body, (x, y, turn) in zip(self.of.bodies.values(), self.centres, strict=True):
            weight = body.weight.number()
            t = dynamicsymbols._t
            square = x.diff(t) ** 2 + y.diff(t) ** 2 + body.gyration2.number() * turn.diff(t) ** 2
            kinetic += weight / G * square / 2
            potential += weight * y
        method = LagrangesMethod(kinetic - potential, q)
        method.form_lagranges_equations()
        plain = sp.symbols(f"q0:{len(q)}"), sp.symbols(f"u0:{len(q)}")
        put = dict(zip([*dq, *q], [*plain[1], *plain[0]], strict=True))
        matrix, forcing, centres = (
            sp.lambdify([*plain[0], *plain[1]], part.subs(put), "numpy")
            for part in (method.mass_matrix, method.forcing, sp.Matrix(self.centres))
        )

        def rate(_: float, state: np.ndarray) -> np.ndarray:
            return np.concatenate(
                [state[len(q) :], np.linalg.solve(matrix(*state), forcing(*state)).ravel()]
            )

        begin = np.concatenate([self.start, np.zeros(len(q))])
        done = solve_ivp(
            rate, (0.0, times[-1]), begin, "DOP853", t_eval=times, rtol=TOLERANCE, atol=TOLERANCE
        )
        return np.array([centres(*state) for state in done.y.T])


def _rod(start: tuple[Any, Any], angle: Any, length: float, drawn: float) -> tuple[Any, ...]:
    """Centre, turn and end of a rod that hangs at an angle to the downward vertical from its start."""
    x, y = start[0] + length * sp.sin(angle) / 2, start[1] - length * sp.cos(angle) / 2
    return (x, y, angle - drawn), (start[0] + length * sp.sin(angle), start[1] - length * sp.cos(angle))


def chain() -> Case:
    """Two unequal rods, one below the other."""
    p, q = dynamicsymbols("p q")
    a, b, l, m = 0.9, 0.4, 1.0, 0.7
    low = (l * np.sin(a), -l * np.cos(a))
    points = {"A": (0.0, 0.0), "B": low, "C": (low[0] + m * np.sin(b), low[1] - m * np.cos(b))}
    of = frame(points, {"AB": ("AB", 10.0), "BC": ("BC", 4.0)}, hooks="A")
    first, end = _rod((0, 0), p, l, a)
    second, _ = _rod(end, q, m, b)
    return Case(of, (), 3.0, [p, q], [a, b], [first, second])


def rhombus() -> Case:
    """Four rods of 1 m in a ring, hung by a corner and lopsided, its brace taken away: it folds."""
    p, q = dynamicsymbols("p q")
    a, b = 1.0, -0.6
    points = {"A": (0.0, 0.0), "B": (np.sin(a), -np.cos(a)), "D": (np.sin(b), -np.cos(b))}
    points["C"] = (points["B"][0] + points["D"][0], points["B"][1] + points["D"][1])
    rods = {"AB": ("AB", 10.0), "AD": ("AD", 7.0), "BC": ("BC", 5.0), "DC": ("DC", 12.0)}
    of = frame(points, rods, {"brace": ("light rod", "BD")}, "A", brace="brace")
    ab, b_end = _rod((0, 0), p, 1.0, a)
    ad, d_end = _rod((0, 0), q, 1.0, b)
    bc, _ = _rod(b_end, q, 1.0, b)
    dc, _ = _rod(d_end, p, 1.0, a)
    return Case(of, ("brace",), 0.5, [p, q], [a, b], [ab, ad, bc, dc])


def ladder() -> Case:
    """A ladder sliding on a smooth wall and a smooth floor; its tie is cut."""
    u = dynamicsymbols("u")
    start, l = 1.1, 2.0
    points = {"F": (l * np.cos(start), 0.0), "W": (0.0, l * np.sin(start)), "O": (0.0, 0.0)}
    floors = {"F": (0.0, 1.0), "W": (1.0, 0.0)}
    of = frame(points, {"FW": ("FW", 10.0)}, {"tie": ("string", "FO")}, "O", floors=floors, brace="tie")
    centre = (l * sp.cos(u) / 2, l * sp.sin(u) / 2, start - u)
    return Case(of, ("tie",), 0.4, [u], [start], [centre])


def rod_on_strings() -> Case:
    """A rod hung by two slanting strings, one of which is cut: it swings on the other."""
    p, q = dynamicsymbols("p q")
    a, b, s, l = -0.5, np.pi / 2, 0.8, 1.0
    end = (s * np.sin(a), -s * np.cos(a))
    points = {"O": (0.0, 0.0), "A": end, "B": (end[0] + l, end[1]), "Q": (end[0] + l + 0.3, 0.0)}
    members = {"left": ("string", "OA"), "right": ("string", "BQ")}
    of = frame(points, {"AB": ("AB", 10.0)}, members, "OQ", brace="right")
    held = (s * sp.sin(p), -s * sp.cos(p))
    rod, _ = _rod(held, q, l, b)
    return Case(of, ("right",), 0.6, [p, q], [a, b], [rod])


def trestle() -> Case:
    """Two unequal legs on a smooth floor, their rope cut: it slides and opens."""
    x, u = dynamicsymbols("x u")
    start, l = 0.5, 1.0
    foot = l * np.sin(start)
    points = {"C": (0.0, l * np.cos(start)), "A": (-foot, 0.0), "B": (foot, 0.0)}
    rods = {"CA": ("CA", 10.0), "CB": ("CB", 25.0)}
    floors = {"A": (0.0, 1.0), "B": (0.0, 1.0)}
    of = frame(points, rods, {"rope": ("string", "AB")}, floors=floors, brace="rope")
    y = l * sp.cos(u) / 2
    left, right = (x - l * sp.sin(u) / 2, y, start - u), (x + l * sp.sin(u) / 2, y, u - start)
    return Case(of, ("rope",), 0.4, [x, u], [0.0, start], [left, right])


CASES: dict[str, Callable[[], Case]] = {
    "chain of two rods": chain,
    "rhombus without its brace": rhombus,
    "ladder on wall and floor": ladder,
    "rod on two strings, one cut": rod_on_strings,
    "trestle without its rope": trestle,
}
