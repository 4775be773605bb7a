"""How a frame rests: stable, neutral, unstable; known cases, and the potential energy itself as oracle."""

from __future__ import annotations

import itertools
from typing import Any

import numpy as np
import pytest

from simlab.frame.model import GROUND, Frame, Place
from simlab.frame.scene import parse_scene
from simlab.results import Statics
from simlab.statics.solution import solve


def scene(text: str) -> Frame:
    """A frame from the tables of a scene."""
    return parse_scene('title = "T"\nquestion = "Q"\nsource = "our own"\n' + text)


LETTERS = """
[symbols]
W = { meaning = "a weight", shown = "2 N" }
a = { meaning = "a length", shown = "1 m" }
theta = { meaning = "an angle", shown = "35 deg" }
"""

PENDULUM = """
[points]
O = ["0", "0"]
E = ["0", "{end}"]
[rods]
OE = {{ ends = ["O", "E"], weight = "W" }}
[supports]
hook = {{ kind = "hook", at = "O" }}
"""

CHAIN = """
[points]
O = ["0", "0"]
P = ["0", "-a"]
Q = ["0", "{end}"]
[rods]
OP = {{ ends = ["O", "P"], weight = "W" }}
PQ = {{ ends = ["P", "Q"], weight = "3*W" }}
[supports]
hook = {{ kind = "hook", at = "O" }}
"""

ROD_ON_ITS_CENTRE = """
[points]
A = ["-a", "0"]
B = ["a", "a"]
M = { middle = ["A", "B"] }
[rods]
AB = { ends = ["A", "B"], weight = "W" }
[supports]
hook = { kind = "hook", at = "M" }
"""

TRESTLE = """
[points]
C = ["0", "2*a*cos(theta)"]
A = { from = "C", length = "2*a", direction = "down", lean = "theta", to = "left" }
B = { from = "C", length = "2*a", direction = "down", lean = "theta", to = "right" }
U = { middle = ["A", "C"] }
V = { middle = ["B", "C"] }
[rods]
CA = { ends = ["C", "A"], weight = "2*W" }
CB = { ends = ["C", "B"], weight = "W" }
[members]
rope = { kind = "string", between = ["U", "V"] }
[supports]
quay = { kind = "smooth floor", at = ["A", "B"] }
"""

BRACED_SQUARE = """
[points]
A = ["0", "0"]
B = ["a", "-a"]
C = ["0", "-2*a"]
D = ["-a", "-a"]
[rods]
AB = { ends = ["A", "B"], weight = "W" }
BC = { ends = ["B", "C"], weight = "W" }
CD = { ends = ["C", "D"], weight = "W" }
DA = { ends = ["D", "A"], weight = "W" }
[members]
brace = { kind = "strut", between = ["B", "D"] }
[supports]
hook = { kind = "hook", at = "A" }
"""

TWO_RODS_IN_LINE = """
[points]
A = ["0", "0"]
B = ["a", "0"]
C = ["2*a", "0"]
[rods]
BC = {{ ends = ["B", "C"], light = true }}
AB = {{ ends = ["A", "B"], light = true }}
[loads]
pull = {{ force = ["{pull}", "0"], at = "C" }}
[supports]
hook = {{ kind = "hook", at = "A" }}
"""

BEAM_ON_TWO_FLOORS = """
[points]
A = ["0", "0"]
B = ["2*a", "0"]
[rods]
AB = { ends = ["A", "B"], weight = "W" }
[supports]
quay = { kind = "smooth floor", at = ["A", "B"] }
"""

CASES = {
    "pendulum hanging": (PENDULUM.format(end="-2*a"), 1, "stable"),
    "pendulum upside down": (PENDULUM.format(end="2*a"), 1, "unstable"),
    "chain hanging": (CHAIN.format(end="-3*a"), 2, "stable"),
    "chain with its second rod up": (CHAIN.format(end="a"), 2, "unstable"),
    "rod on a nail through its centre": (ROD_ON_ITS_CENTRE, 1, "neutral"),
    "trestle on a smooth quay": (TRESTLE, 1, "neutral"),
    "beam on a smooth quay": (BEAM_ON_TWO_FLOORS, 1, "neutral"),
    "square with a brace, on a hook": (BRACED_SQUARE, 1, "stable"),
    "two rods in line, pulled": (TWO_RODS_IN_LINE.format(pull="W"), 2, "stable"),
    "two rods in line, pushed": (TWO_RODS_IN_LINE.format(pull="-W"), 2, "unstable"),
    "two rods in line, not loaded": (TWO_RODS_IN_LINE.format(pull="0"), 2, "undecided"),
}


def rest_of(text: str) -> tuple[Statics, str]:
    solved = solve(scene(LETTERS + text))
    return solved, solved.case.freedom.rest


@pytest.mark.parametrize("name", CASES)
def test_known_cases_of_rest(name: str) -> None:
    """Hanging is stable, upside down is not, what can slide or turn freely is neutral."""
    text, motions, expected = CASES[name]
    solved, found = rest_of(text)

    assert solved.verdict == "determined"
    assert len(solved.case.freedom.motions) == motions
    assert found == expected


def test_a_frame_without_motions_is_fixed() -> None:
    """A rod on a hinge with a string to a hook cannot move."""
    _, found = rest_of(
        """
        [points]
        A = ["0", "0"]
        B = ["a", "0"]
        H = ["0", "a"]
        [rods]
        AB = { ends = ["A", "B"], weight = "W" }
        [members]
        stay = { kind = "string", between = ["B", "H"] }
        [supports]
        hinge = { kind = "fixed hinge", at = "A" }
        hook = { kind = "hook", at = "H" }
        """
    )

    assert found == "fixed"


def test_three_hinges_in_line_rest_on_forces_that_statics_does_not_settle() -> None:
    """Between two fixed hinges in line a middle hinge may be stretched tight or not: undecided."""
    solved, found = rest_of(
        """
        [points]
        A = ["0", "0"]
        B = ["a", "0"]
        C = ["2*a", "0"]
        [members]
        AB = { kind = "light rod", between = ["A", "B"] }
        BC = { kind = "light rod", between = ["B", "C"] }
        [supports]
        left = { kind = "hook", at = "A" }
        right = { kind = "hook", at = "C" }
        """
    )

    assert (len(solved.case.freedom.self_stress), len(solved.case.freedom.motions)) == (1, 1)
    assert found == "undecided"


def test_a_heavy_rod_on_a_string_with_a_knot_is_stiffened_by_its_weight() -> None:
    """A rod hangs from two strings in line: the strings' tension brings the knot back (stable)."""
    solved, found = rest_of(
        """
        [points]
        A = ["0", "0"]
        B = ["0", "-a"]
        C = ["0", "-3*a"]
        E = ["0", "-5*a"]
        [rods]
        CE = { ends = ["C", "E"], weight = "W" }
        [members]
        AB = { kind = "string", between = ["A", "B"] }
        BC = { kind = "string", between = ["B", "C"] }
        [supports]
        hook = { kind = "hook", at = "A" }
        """
    )

    assert solved.verdict == "determined"
    assert len(solved.case.freedom.motions) == 3
    assert found == "stable"


# the potential energy as oracle


class Energy:
    """Potential energy of a frame near its drawn pose, along its constraints, by numpy alone.

    q: x, y, turn of every body, x, y of every bare pin, as displacements from the drawn pose.
    """

    def __init__(self, frame: Frame) -> None:
        self.frame = frame
        shown = frame.shown
        self.points = {n: np.array([c.number(shown) for c in p]) for n, p in frame.points.items()}
        self.centres = {n: np.array([c.number(shown) for c in b.centre]) for n, b in frame.bodies.items()}
        self.pins = [n for n, j in frame.joints.items() if j.kind == "pin"]
        self.start = {n: 3 * i for i, n in enumerate(frame.bodies)}
        self.start |= {n: 3 * len(frame.bodies) + 2 * i for i, n in enumerate(self.pins)}
        self.size = 3 * len(frame.bodies) + 2 * len(self.pins)

    def position(self, q: Any, place: Place) -> Any:
        point = self.points[place.point]
        if place.body == GROUND:
            return point
        k = self.start[place.body]
        if place.body in self.pins:
            return point + q[k : k + 2]
        c, s = np.cos(q[k + 2]), np.sin(q[k + 2])
        arm = point - self.centres[place.body]
        return self.centres[place.body] + q[k : k + 2] + np.array([[c, -s], [s, c]]) @ arm

    def constraints(self, q: Any) -> Any:
        left: list[float] = []
        for name, joint in self.frame.joints.items():
            if joint.kind == "built-in":
                k = self.start[joint.bodies[1]]
                left.extend(q[k : k + 3])
                continue
            pin = self.position(q, Place(name, joint.point))
            for body in joint.bodies:
                left.extend(pin - self.position(q, Place(body, joint.point)))
        for link in self.frame.links.values():
            now = [self.position(q, place) for place in link.ends]
            drawn = [self.points[place.point] for place in link.ends]
            left.append(np.hypot(*(now[1] - now[0])) - np.hypot(*(drawn[1] - drawn[0])))
        for contact in self.frame.contacts.values():
            normal = np.array([c.number(self.frame.shown) for c in contact.normal])
            left.append(normal @ (self.position(q, contact.on) - self.points[contact.on.point]))
        return np.array(left)

    def potential(self, q: Any) -> float:
        shown = self.frame.shown
        total = sum(b.weight.number(shown) * q[self.start[n] + 1] for n, b in self.frame.bodies.items())
        for load in self.frame.loads.values():
            force = np.array([c.number(shown) for c in load.force])
            total -= force @ (self.position(q, load.place) - self.points[load.place.point])
        return float(total)

    def curvatures(self) -> Any:
        """The second derivatives of the energy along the motions: eigenvalues of its form, shape (k,).

        After a step along the motions the pose is brought back on the constraints across them.
        """
        nudge = 1e-6 * np.eye(self.size)
        jacobian = np.array([(self.constraints(e) - self.constraints(-e)) / 2e-6 for e in nudge]).T
        _, sizes, right = np.linalg.svd(jacobian)
        motions = right[int(np.sum(sizes > 1e-6)) :]
        back = np.linalg.pinv(jacobian, rcond=1e-6)

        def energy(step: Any) -> float:
            q = step @ motions
            for _ in range(12):  # each brings it nearer by about the size of the step
                q = q - back @ self.constraints(q)
            return self.potential(q)

        def along(direction: Any) -> float:
            step = 1e-3 * direction  # the error is of order step^2 and rounding / step^2: 1e-6 each
            return float(energy(step) - 2 * energy(0 * step) + energy(-step)) / 1e-6

        if not len(motions):
            return np.zeros(0)
        axes = np.eye(len(motions))
        form = np.array([[(along(u + v) - along(u - v)) / 4 for u in axes] for v in axes])
        return np.linalg.eigvalsh(form)


FLAT = 1e-4  # a curvature below this (in N m; weights and lengths are of order 1) is none


@pytest.mark.parametrize("name", [n for n, (_, _, rest) in CASES.items() if rest != "undecided"])
def test_rest_is_what_the_energy_says(name: str) -> None:
    """The potential energy rises, falls or stays along the motions as the exact verdict says."""
    text, _, expected = CASES[name]
    curvatures = Energy(scene(LETTERS + text)).curvatures()

    if expected == "stable":
        assert min(curvatures) > FLAT
    elif expected == "neutral":
        assert max(abs(curvatures)) < FLAT
    else:
        assert min(curvatures) < -FLAT


@pytest.mark.parametrize("seed", range(12))
def test_random_symmetric_frames(seed: int) -> None:
    """Random rings with level cross rods, on a hook through the middle of one of them, a rod below.

    The cross rods leave the panels free to sway; the verdict is the energy's (seeded).
    """
    chance = np.random.default_rng(seed)
    levels = int(chance.integers(1, 4))
    points, rods = ['T0 = ["0", "0"]'], []
    left, right = ["T0"], ["T0"]
    for i in range(1, levels + 1):
        x, y = int(chance.integers(1, 6)), -2 * i - int(chance.integers(0, 2))
        points += [f'L{i} = ["-{x}*a", "{y}*a"]', f'R{i} = ["{x}*a", "{y}*a"]']
        points += [f'M{i} = {{ middle = ["L{i}", "R{i}"] }}']
        rods += [f'X{i} = {{ ends = ["L{i}", "R{i}"], weight = "{int(chance.integers(1, 9))}*W" }}']
        left, right = [*left, f"L{i}"], [*right, f"R{i}"]
    points += [f'B = ["0", "{-2 * levels - 4}*a"]', f'E = ["0", "{-2 * levels - 6}*a"]']
    for (l, m), (r, n) in zip(
        itertools.pairwise([*left, "B"]), itertools.pairwise([*right, "B"]), strict=True
    ):
        weight = int(chance.integers(1, 9))
        rods += [
            f'{a}{b}{k} = {{ ends = ["{a}", "{b}"], weight = "{weight}*W" }}'
            for k, a, b in (("l", l, m), ("r", r, n))
        ]
    if seed % 2:
        rods += [f'BE = {{ ends = ["B", "E"], weight = "{int(chance.integers(1, 9))}*W" }}']
    hook = f'hook = {{ kind = "hook", at = "M{int(chance.integers(1, levels + 1))}" }}'
    frame = scene("\n".join([LETTERS, "[points]", *points, "[rods]", *rods, "[supports]", hook]))
    freedom = solve(frame).case.freedom
    curvatures = Energy(frame).curvatures()

    assert freedom.carried
    assert len(freedom.motions) == len(curvatures)
    assert min(abs(curvatures)) > FLAT
    assert freedom.rest == ("stable" if min(curvatures) > 0 else "unstable")
