"""After the cut: against an outside integration of the equations of motion, and against published results.

The bounds are those of design.md, section 6: paths within 3e-4 of the frame's size, energy within 2e-4 of
total weight x size, hinge forces within 5e-4 of the largest, at 600 samples a second, up to the first of
contact, lift, slack, a nearly flat fold (least singular value of J M^-1/2 below 1e-2 of its start) and 3 s.
Published values and their sources: published/motion.json.
"""

from __future__ import annotations

import json
from itertools import pairwise
from math import cos, hypot, pi, sin, sqrt, tan
from pathlib import Path

import numpy as np
import pytest
from equations_of_motion import EquationsOfMotion
from small_frames import frame, polygon, rhombus, stepladder, tower

from simlab.frame.change import without
from simlab.frame.model import Frame
from simlab.frame.scene import read_scene
from simlab.results import Forces, Key, Trace
from simlab.simulation.release import release
from simlab.simulation.stage import STEP, Stage

PATH, ENERGY, FORCE = 3e-4, 2e-4, 5e-4
INSTANT = 1e-6  # of the largest force, for the first instant after the cut
FOLDED = 1e-2
LONGEST = 3.0  # [s]
MOTION = {e["id"]: e for e in json.loads((Path(__file__).parent / "published" / "motion.json").read_text())}
SCENES = sorted((Path(__file__).parent.parent / "scenes").glob("*.toml"))


def level_chain(n: int) -> Frame:
    """n level rods of 1 m in a line, hinged to the wall and to one another, the far ends held by ties."""
    names = "ABCDEF"[: n + 1]
    points = {name: (float(i), 0.0) for i, name in enumerate(names)}
    points |= {name.lower(): (float(i), 1.0) for i, name in enumerate(names) if i}
    rods = {a + b: (a + b, 10.0) for a, b in pairwise(names)}
    ties = {f"tie {name}": ("string", name + name.lower()) for name in names[1:]}
    return frame(points, rods, ties, hooks="A" + "".join(names[1:]).lower(), brace=f"tie {names[-1]}")


CASES: dict[str, tuple[Frame, str]] = {
    **{path.stem: (of, of.brace) for path in SCENES if (of := read_scene(path)).brace},
    "rhombus": (rhombus(0.6), "brace"),
    "hexagon, one brace of three": (polygon(6), "brace D"),
    "trestle": (stepladder(), "rope"),
    "tower of three panels, top brace": (tower(3), "brace C"),
    "three rods from level, last tie": (level_chain(3), "tie D"),
}
cases = pytest.mark.parametrize(("of", "brace"), CASES.values(), ids=CASES)


class Pair:
    """A release, and the equations of motion of the frame without its brace, at every tenth sample."""

    def __init__(self, of: Frame, brace: str) -> None:
        self.of = of
        self.trace = release(of, brace=brace, duration=LONGEST, before=0.0)
        self.equations = EquationsOfMotion(without(of, brace))
        ends = [event.time for event in self.trace.events if event.kind != "cut"]
        last = round(min([*ends, LONGEST]) / STEP) - 2
        self.samples = np.arange(0, last, 10)
        self.q, self.v = self.equations.run(self.trace.time[self.samples])
        stiff = [self.equations.stiffness(q) for q in self.q]
        folded = [i for i, s in enumerate(stiff) if s < FOLDED * stiff[0]]
        n = folded[0] if folded else len(self.samples)
        self.samples, self.q, self.v = self.samples[:n], self.q[:n], self.v[:n]
        corners = np.array([[x.number(of.shown), y.number(of.shown)] for x, y in of.points.values()])
        self.size = float(np.ptp(corners, axis=0).max())
        self.weight = sum(body.weight.number(of.shown) for body in of.bodies.values())

    def apart(self, sample: int, i: int) -> tuple[float, float]:
        """Largest difference of a pin's, a member's or a contact's force; the largest force."""
        found = self.trace.instant(self.trace.time[sample]).forces
        wanted = self.equations.forces(self.q[i], self.v[i])
        apart, largest = 0.0, 0.0
        for name, force in wanted.items():
            if isinstance(name, tuple) and name[0] == "particle":
                continue
            apart = max(apart, float(np.abs(self._found(found, name) - force).max()))
            largest = max(largest, float(np.abs(force).max()))
        return apart, largest

    def _found(self, found: Forces[float], name: tuple[str, str] | str) -> np.ndarray:
        if isinstance(name, tuple):
            return np.array(found.reactions[Key(name[0], name[1], name[1])].force)
        if name in self.of.links:
            return np.array([found.tensions[name]])
        contact = self.of.contacts[name]
        return np.array([hypot(*found.reactions[Key(contact.on.body, name, contact.by)].force)])


@cases
def test_collapses_follow_the_equations_of_motion(of, brace):
    """Paths, energy and forces of each collapse are those of an independent integration."""
    pair = Pair(of, brace)
    n = len(of.bodies)
    assert len(pair.samples) >= 10

    poses = pair.trace.poses[pair.samples].reshape(len(pair.samples), -1)
    away = np.abs(poses - pair.q[:, : 3 * n]).reshape(len(pair.samples), n, 3)
    assert away[:, :, :2].max() < PATH * pair.size

    energy = pair.trace.energy[pair.samples].sum(axis=1)
    assert np.abs(energy - energy[0]).max() < ENERGY * pair.weight * pair.size

    differences = [pair.apart(sample, i) for i, sample in enumerate(pair.samples)]
    largest = max(size for _, size in differences)
    assert max(apart for apart, _ in differences) < FORCE * largest


@cases
def test_the_first_instant_is_that_of_the_equations_of_motion_at_rest(of, brace):
    """Just after the cut every force is that of the frame without its brace, at rest, in the old shape."""
    trace = release(of, brace=brace, duration=0.01, before=0.0)
    equations = EquationsOfMotion(without(of, brace))
    at_rest = np.zeros_like(equations.start)
    wanted = equations.forces(equations.start, at_rest)
    largest = max(float(np.abs(force).max()) for force in wanted.values())
    found = trace.instant(0.0).forces
    for name, force in wanted.items():
        if isinstance(name, tuple) and name[0] != "particle":
            assert found.reactions[Key(name[0], name[1], name[1])].force == pytest.approx(
                force, abs=INSTANT * largest
            )
        elif name in of.links:
            assert found.tensions[name] == pytest.approx(force[0], abs=INSTANT * largest)


# Published results (motion.json): each test takes the entry's own data and value


def entry(name: str) -> tuple[dict[str, float], float]:
    """The data of an entry, and its value."""
    check = MOTION[name]["numeric_check"]
    return check["params"], check["value"]


def besides(name: str, words: str) -> float:
    """The value of what an entry asks besides."""
    return next(a["value"] for a in MOTION[name]["also"] if a["asked"].startswith(words))


def first(of: Frame) -> Forces[float]:
    """The forces in the first instant after the brace is cut."""
    return release(of, duration=0.01, before=0.0).instant(0.0).forces


def acceleration(trace: Trace, of: Frame, body: str, point: str) -> tuple[float, float]:
    """Of a point of a body, from its way in the first step: 2 s / dt^2."""
    i = trace.bodies.index(body)
    cut = int(np.argmin(np.abs(trace.time)))
    rod = of.bodies[body]
    arm = [p.number() - c.number() for p, c in zip(rod.points[point], rod.centre, strict=True)]
    places = []
    for x, y, turn in trace.poses[cut : cut + 2, i]:
        c, s = cos(turn), sin(turn)
        places.append((x + c * arm[0] - s * arm[1], y + s * arm[0] + c * arm[1]))
    (x0, y0), (x1, y1) = places
    return 2 * (x1 - x0) / STEP**2, 2 * (y1 - y0) / STEP**2


def test_a_level_rod_loses_its_support():
    """hinged-rod-support-removed (published): a quarter of the weight is left at the hinge."""
    p, value = entry("hinged-rod-support-removed")
    a, weight = p["a"], p["m"] * p["g"]
    points = {"A": (0.0, 0.0), "B": (2 * a, 0.0), "Z": (2 * a, 1.0)}
    of = frame(
        points, {"AB": ("AB", weight)}, {"prop": ("string", "BZ")}, "AZ", brace="prop", gravity=p["g"]
    )

    assert first(of).reactions[Key("AB", "A", "A")].force == pytest.approx((0.0, value), abs=1e-6 * value)
    trace = release(of, duration=0.01, before=0.0)
    turning = 2 * (trace.poses[1, 0, 2] - trace.poses[0, 0, 2]) / STEP**2
    assert -turning == pytest.approx(besides("hinged-rod-support-removed", "angular"), rel=1e-5)


def test_one_of_two_plumb_strings_is_cut():
    """rod-two-vertical-strings-one-cut (published): the other's tension halves, to W/4."""
    p, value = entry("rod-two-vertical-strings-one-cut")
    a, s = p["a"], p["s"]
    points = {"A": (-a, 0.0), "B": (a, 0.0), "P": (-a, s), "Q": (a, s)}
    strings = {"left": ("string", "AP"), "right": ("string", "BQ")}
    of = frame(points, {"AB": ("AB", p["m"] * p["g"])}, strings, "PQ", brace="right", gravity=p["g"])

    assert first(of).tensions["left"] == pytest.approx(value, rel=1e-6)


def test_one_of_two_sloping_strings_is_cut():
    """rod-two-inclined-strings-one-cut (from memory): mg sin(alpha)/(1 + 3 sin^2(alpha))."""
    p, value = entry("rod-two-inclined-strings-one-cut")
    a = p["a"]
    points = {"A": (-a, 0.0), "B": (a, 0.0), "O": (0.0, a * tan(p["alpha"]))}
    strings = {"OA": ("string", "AO"), "OB": ("string", "BO")}
    of = frame(points, {"AB": ("AB", p["m"] * p["g"])}, strings, "O", brace="OB", gravity=p["g"])

    assert first(of).tensions["OA"] == pytest.approx(value, rel=1e-6)


def test_a_rod_is_let_go_on_a_smooth_floor():
    """inclined-rod-released-on-smooth-floor (from memory): mg/(1 + 3 sin^2(theta))."""
    p, value = entry("inclined-rod-released-on-smooth-floor")
    x, y = 2 * p["a"] * sin(p["theta"]), 2 * p["a"] * cos(p["theta"])
    points = {"A": (0.0, 0.0), "B": (x, y), "Z": (x, y + 1.0)}
    of = frame(
        points,
        {"AB": ("AB", p["m"] * p["g"])},
        {"tie": ("string", "BZ")},
        "Z",
        floors={"A": (0.0, 1.0)},
        brace="tie",
        gravity=p["g"],
    )

    floor = first(of).reactions[Key("AB", "floor A at A", "floor A")].force
    assert floor == pytest.approx((0.0, value), abs=1e-6 * value)


def test_the_brace_of_a_rhombus_breaks():
    """rhombus-frame-brace-cut (worked out here): the lowest corner starts with this acceleration."""
    p, value = entry("rhombus-frame-brace-cut")
    x, y = 2 * p["a"] * sin(p["theta"]), 2 * p["a"] * cos(p["theta"])
    points = {"A": (0.0, 0.0), "B": (x, -y), "C": (0.0, -2 * y), "D": (-x, -y)}
    rods = {name: (name, p["m"] * p["g"]) for name in ("AB", "BC", "CD", "DA")}
    of = frame(points, rods, {"BD": ("light rod", "BD")}, "A", brace="BD", gravity=p["g"])
    trace = release(of, duration=0.01, before=0.0)

    assert acceleration(trace, of, "BC", "C") == pytest.approx((0.0, -value), abs=1e-4 * value)


def test_the_string_of_a_hexagon_is_cut():
    """hexagon-midpoint-string-cut (worked out here): the lowest rod starts with 9g/10."""
    p, value = entry("hexagon-midpoint-string-cut")
    a, r = p["a"], p["a"] * sqrt(3)
    points = {"A": (-a, 0.0), "B": (a, 0.0), "C": (2 * a, -r), "D": (a, -2 * r), "E": (-a, -2 * r)}
    points |= {"F": (-2 * a, -r), "K": (0.0, 0.0), "L": (0.0, -2 * r)}
    rods = {name: (name, p["m"] * p["g"]) for name in ("BC", "CD", "EF", "FA")}
    rods["DE"] = ("DEL", p["m"] * p["g"])
    # AB, which is fixed, is left out: its ends and its middle are hinges and a hook. The string alone
    # leaves the ring free to sway; by symmetry it does not.
    of = frame(points, rods, {"KL": ("string", "KL")}, "ABK", brace="KL", gravity=p["g"])
    trace = release(of, duration=0.01, before=0.0)

    assert acceleration(trace, of, "DE", "L") == pytest.approx((0.0, -value), abs=1e-4 * value)


def test_two_rods_are_let_go_from_level():
    """two-jointed-rods-released-horizontal (from memory): both angular accelerations, both hinges."""
    name = "two-jointed-rods-released-horizontal"
    p, value = entry(name)
    a = p["a"]
    points = {"A": (0.0, 0.0), "B": (2 * a, 0.0), "C": (4 * a, 0.0), "Y": (2 * a, 1.0), "Z": (4 * a, 1.0)}
    rods = {rod: (rod, p["m"] * p["g"]) for rod in ("AB", "BC")}
    ties = {"B": ("string", "BY"), "C": ("string", "CZ")}
    of = frame(points, rods, ties, "AYZ", brace="B", gravity=p["g"])
    stage = Stage(of)
    stage.share = 1.0
    stage.step(1200)
    stage.cut("C")
    stage.cut("B")
    start = stage.world.poses()
    stage.step()
    forces = stage.forces().reactions
    assert forces[Key("AB", "A", "A")].force == pytest.approx((0.0, besides(name, "force at A")), abs=1e-6)
    assert forces[Key("BC", "B", "B")].force == pytest.approx(
        (0.0, -besides(name, "downward force")), abs=1e-6
    )
    stage.step()
    turning = 2 * (stage.world.poses() - start)[:, 2] / STEP**2
    assert turning == pytest.approx([-value, besides(name, "angular acceleration of BC")], rel=1e-4)


def test_a_sliding_ladder_leaves_the_wall():
    """sliding-ladder-leaves-wall (published): sin(alpha) = 2 sin(alpha0)/3, then steady along the floor."""
    name = "sliding-ladder-leaves-wall"
    p, value = entry(name)
    x, y = 2 * p["l"] * cos(p["alpha0"]), 2 * p["l"] * sin(p["alpha0"])
    of = frame(
        {"A": (x, 0.0), "B": (0.0, y), "O": (0.0, 0.0)},
        {"AB": ("AB", p["m"] * p["g"])},
        {"tie": ("string", "AO")},
        "O",
        floors={"A": (0.0, 1.0), "B": (1.0, 0.0)},
        brace="tie",
        gravity=p["g"],
    )
    trace = release(of, duration=1.2, before=0.0)
    left = next(event for event in trace.events if event.kind == "lifted")
    moment = int(np.argmin(np.abs(trace.time - left.time)))
    angle = p["alpha0"] - trace.poses[moment, 0, 2]
    speed = besides(name, "angular speed")

    assert left.about == "floor B at B"
    assert abs(angle - value) < 2 * speed * STEP  # it is seen within two steps
    assert trace.velocities[moment, 0, 2] == pytest.approx(speed, rel=1e-2)
    steady = trace.velocities[moment + 2 : moment + 60, 0, 0]
    assert steady == pytest.approx(besides(name, "horizontal speed"), rel=1e-4)


def test_a_hinged_rod_pulls_hardest_sideways_at_45_degrees():
    """hinged-rod-greatest-sideways-force (published; the force worked out here): 9 mg/8 at 45 degrees."""
    p, value = entry("hinged-rod-greatest-sideways-force")
    a = p["a"]
    points = {"A": (0.0, 0.0), "B": (2 * a, 0.0), "Z": (2 * a, 1.0)}
    of = frame(
        points,
        {"AB": ("AB", p["m"] * p["g"])},
        {"prop": ("string", "BZ")},
        "AZ",
        brace="prop",
        gravity=p["g"],
    )
    trace = release(of, duration=0.6, before=0.0)
    sideways = np.abs(trace.forces[:, trace.keys.index(Key("AB", "A", "A")), 0])
    most = int(np.argmax(sideways))
    to_vertical = pi / 2 + trace.poses[most, 0, 2]

    assert to_vertical == pytest.approx(value, abs=1e-2)  # the force is flat there
    assert sideways[most] == pytest.approx(
        besides("hinged-rod-greatest-sideways-force", "greatest"), rel=1e-4
    )


def test_two_hinged_rods_collapse_on_a_smooth_floor():
    """hinged-rods-collapse-on-smooth-floor (worked out here): the hinge's speed as it strikes."""
    p, value = entry("hinged-rods-collapse-on-smooth-floor")
    x, y = 2 * p["l"] * cos(p["alpha"]), 2 * p["l"] * sin(p["alpha"])
    of = frame(
        {"A": (0.0, y), "B": (-x, 0.0), "C": (x, 0.0)},
        {"AB": ("AB", p["M"] * p["g"]), "AC": ("AC", p["M"] * p["g"])},
        {"rope": ("string", "BC")},
        floors={"B": (0.0, 1.0), "C": (0.0, 1.0)},
        brace="rope",
        gravity=p["g"],
    )
    trace = release(of, duration=1.0, before=0.0)
    touch = next(event.time for event in trace.events if event.kind == "contact")
    before = round(touch / STEP) - 2
    # Height and speed of the hinge from the left rod's pose; the little that is left to fall is added
    # by energy: v^2 grows by 6 g per metre of the rods' height there (d/dy of the answer, squared).
    height = 2 * trace.poses[before, 0, 1]
    speed = 2 * trace.velocities[before, 0, 1]

    assert sqrt(speed**2 + 3 * p["g"] * height) == pytest.approx(value, rel=1e-3)


def test_a_light_rod_with_a_bob_swings_as_a_simple_pendulum():
    """Small period 2 pi sqrt(L/g) (universal textbook result); a light rod has a thousandth of mass."""
    angle = 0.02
    end = (sin(angle), -cos(angle))
    points = {"A": (0.0, 0.0), "B": end, "Z": (end[0] + 1.0, end[1])}
    of = frame(
        points,
        {"AB": ("AB", 0.0)},
        {"stay": ("string", "BZ")},
        "AZ",
        loads={"B": ("weight", (10.0,))},
        brace="stay",
    )
    trace = release(of, duration=5.0, before=0.0)
    swing = trace.poses[:, 0, 2] + angle
    down = np.flatnonzero((swing[:-1] > 0) & (swing[1:] <= 0))
    times = [trace.time[i] + STEP * swing[i] / (swing[i] - swing[i + 1]) for i in down]

    assert np.mean(np.diff(times)) == pytest.approx(2 * pi * sqrt(1 / 10), rel=5e-4)


def test_a_rod_swings_as_far_up_as_it_came_down():
    """Let go from level, it is level again on the other side after each half swing: no energy is lost."""
    points = {"A": (0.0, 0.0), "B": (1.0, 0.0), "Z": (1.0, 1.0)}
    of = frame(points, {"AB": ("AB", 10.0)}, {"prop": ("string", "BZ")}, "AZ", brace="prop")
    trace = release(of, duration=3.0, before=0.0)
    turns = trace.poses[:, 0, 2]

    assert turns.min() == pytest.approx(-pi, abs=1e-3)
    assert turns.max() == pytest.approx(0.0, abs=1e-3)
