"""Published first instants, falls and forces in motion (published/motion.json) by the equations of motion.

To 1e-9. Where the frame has no word for a thing it is built from what it has: a steady turn from the couple
that keeps it steady at that instant; the moment inside a rod from two rods hinged where it is cut and
held in line by a light rod at one side. Small oscillations: published_swings.py.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import cos, hypot, pi, sin, sqrt, tan
from pathlib import Path

import numpy as np
import pytest
from motions import ENTRIES, NEAR, besides, entry, first, force, near, where
from small_frames import frame, vec

from simlab.frame.model import Contact, Frame, Load, Place, Support
from simlab.frame.quantity import MOMENT, NUMBER, Quantity
from simlab.motion.integrate import let_go
from simlab.motion.reactions import Reactions
from simlab.motion.system import System
from simlab.results import Key

# first instants


def test_hexagon_midpoint_string_cut():
    """The lowest rod starts downwards with 9g/10. Source: worked out by hand."""
    p, value = entry("hexagon-midpoint-string-cut")
    a, r = p["a"], p["a"] * sqrt(3)
    points = {"A": (-a, 0.0), "B": (a, 0.0), "C": (2 * a, -r), "D": (a, -2 * r), "E": (-a, -2 * r)}
    points |= {"F": (-2 * a, -r), "K": (0.0, 0.0), "L": (0.0, -2 * r)}
    rods = {name: (name, p["m"] * p["g"]) for name in ("BC", "CD", "EF", "FA")}
    rods["DE"] = ("DEL", p["m"] * p["g"])
    of = frame(points, rods, {"KL": ("string", "KL")}, "ABK", brace="KL", gravity=p["g"])
    system, a, _ = first(of, "KL")
    assert a[system.points.number["DE"]] == near([0.0, -value, 0.0])


def test_hinged_rod_support_removed():
    """mg/4 at the hinge, 3g/(4a). Source: byjus.com."""
    p, value = entry("hinged-rod-support-removed")
    points = {"A": (0.0, 0.0), "B": (2 * p["a"], 0.0), "Z": (2 * p["a"], 1.0)}
    rods = {"AB": ("AB", p["m"] * p["g"])}
    of = frame(points, rods, {"prop": ("string", "BZ")}, "AZ", brace="prop", gravity=p["g"])
    _, a, forces = first(of, "prop")
    assert force(forces, "AB", "A", "A") == near((0.0, value))
    assert -a[0, 2] == near(besides("hinged-rod-support-removed", "angular"))


def test_inclined_rod_released_on_smooth_floor():
    """mg/(1 + 3 sin^2 theta). Source: classical (Routh, Loney), from memory."""
    p, value = entry("inclined-rod-released-on-smooth-floor")
    end = (2 * p["a"] * sin(p["theta"]), 2 * p["a"] * cos(p["theta"]))
    rods = {"AB": ("AB", p["m"] * p["g"])}
    of = frame({"A": (0.0, 0.0), "B": end}, rods, floors={"A": (0.0, 1.0)}, gravity=p["g"])
    assert force(first(of)[2], "AB", "floor A at A", "floor A") == near((0.0, value))


def test_rhombus_frame_brace_cut():
    """6g sin^2/(1 + 3 sin^2). Source: worked out by hand from the classical square."""
    p, value = entry("rhombus-frame-brace-cut")
    x, y = 2 * p["a"] * sin(p["theta"]), 2 * p["a"] * cos(p["theta"])
    points = {"A": (0.0, 0.0), "B": (x, -y), "C": (0.0, -2 * y), "D": (-x, -y)}
    rods = {name: (name, p["m"] * p["g"]) for name in ("AB", "BC", "CD", "DA")}
    of = frame(points, rods, {"BD": ("light rod", "BD")}, "A", brace="BD", gravity=p["g"])
    system, a, _ = first(of, "BD")
    assert a[system.points.number["C"]] == near([0.0, -value, 0.0])


def two_strings(p: dict[str, float], ties: dict[str, tuple[float, float]]) -> Frame:
    """A level rod hung by two strings."""
    points = {"A": (-p["a"], 0.0), "B": (p["a"], 0.0)} | ties
    tops = list(ties) * (2 // len(ties))
    members = {end: ("string", end + top) for end, top in zip("AB", tops, strict=True)}
    rods = {"AB": ("AB", p["m"] * p["g"])}
    return frame(points, rods, members, "".join(ties), brace="B", gravity=p["g"])


def test_rod_two_inclined_strings_one_cut():
    """mg sin/(1 + 3 sin^2). Source: classical (Routh, Elementary Rigid Dynamics; Loney), from memory."""
    p, value = entry("rod-two-inclined-strings-one-cut")
    of = two_strings(p, {"O": (0.0, p["a"] * tan(p["alpha"]))})
    assert first(of, "B")[2].tensions["A"] == near(value)


def test_rod_two_vertical_strings_one_cut():
    """mg/4, half of what it was. Source: aakashsrv1.meritnation.com and others."""
    p, value = entry("rod-two-vertical-strings-one-cut")
    of = two_strings(p, {"P": (-p["a"], p["s"]), "Q": (p["a"], p["s"])})
    assert first(of, "B")[2].tensions["A"] == near(value)


def test_two_jointed_rods_released_horizontal():
    """Both angular accelerations, both hinges. Source: classical (Routh and others), from memory."""
    name = "two-jointed-rods-released-horizontal"
    p, value = entry(name)
    points = {"A": (0.0, 0.0), "B": (2 * p["a"], 0.0), "C": (4 * p["a"], 0.0)}
    of = frame(points, {rod: (rod, p["m"] * p["g"]) for rod in ("AB", "BC")}, hooks="A", gravity=p["g"])
    _, a, forces = first(of)
    assert (-a[0, 2], a[1, 2]) == near((value, besides(name, "angular acceleration of BC")))
    assert force(forces, "AB", "A", "A") == near((0.0, besides(name, "force at A")))
    assert force(forces, "BC", "B", "B") == near((0.0, -besides(name, "downward force")))


# falls


def test_hinged_rods_collapse_on_smooth_floor():
    """The hinge strikes the floor. Source: Cambridge Tripos IA 2002, paper 4, 12E; value worked out."""
    p, value = entry("hinged-rods-collapse-on-smooth-floor")
    x, y = 2 * p["l"] * cos(p["alpha"]), 2 * p["l"] * sin(p["alpha"])
    points = {"A": (0.0, y), "B": (-x, 0.0), "C": (x, 0.0)}
    rods = {name: (name, p["M"] * p["g"]) for name in ("AB", "AC")}
    of = frame(points, rods, floors={"B": (0.0, 1.0), "C": (0.0, 1.0)}, gravity=p["g"])
    trace = let_go(of)
    assert [event.kind for event in trace.events] == ["contact"]
    assert -2 * trace.velocities[-1, 0, 1] == near(value)  # the hinge falls twice as fast as the middle


def test_rod_topples_on_smooth_floor():
    """Angular speed at 60 degrees; mg/4 at the end. Source: brilliant.org, formula classical."""
    name = "rod-topples-on-smooth-floor"
    p, value = entry(name)
    lean = 1e-5  # "slightly disturbed": its square is below what is asked for
    points = {"A": (0.0, 0.0), "B": (p["L"] * sin(lean), p["L"] * cos(lean))}
    of = frame(points, {"AB": ("AB", p["m"] * p["g"])}, floors={"A": (0.0, 1.0)}, gravity=p["g"])
    trace = let_go(of, duration=6.0)
    theta = lean - trace.poses[:, 0, 2]
    assert where(p["theta"], theta, -trace.velocities[:, 0, 2]) == near(value)
    assert trace.events[-1].kind == "contact"
    assert trace.forces[-1, trace.keys.index(Key("AB", "floor A at A", "floor A")), 1] == near(
        besides(name, "floor force")
    )


def test_rod_slips_off_table_edge():
    """tan theta = 4 mu/13. Source: Edexcel M5 Q6, a.simonm.io/question/31671."""
    p, value = entry("rod-slips-off-table-edge")
    points = {"A": (-p["a"], 0.0), "O": (0.0, 0.0), "B": (3 * p["a"], 0.0)}
    of = frame(points, {"AB": ("ABO", p["m"] * p["g"])}, gravity=p["g"])
    mu = Quantity.of(Fraction(p["mu"]))
    edge = Contact("edge at O", Place("AB", "O"), "edge", vec((0.0, 1.0), NUMBER), True, mu)
    supports = {"edge": Support("edge", "rough peg", ("O",), ("edge at O",))}
    trace = let_go(replace(of, contacts={"edge at O": edge}, supports=supports))
    assert [(event.kind, event.about) for event in trace.events] == [("slip", "edge at O")]
    assert -trace.poses[-1, 0, 2] == near(value)


def test_sliding_ladder_leaves_wall():
    """sin alpha = 2 sin alpha0/3; both speeds then. Source: published, see motion.json."""
    name = "sliding-ladder-leaves-wall"
    p, value = entry(name)
    x, y = 2 * p["l"] * cos(p["alpha0"]), 2 * p["l"] * sin(p["alpha0"])
    floors = {"A": (0.0, 1.0), "B": (1.0, 0.0)}
    rods = {"AB": ("AB", p["m"] * p["g"])}
    of = frame({"A": (x, 0.0), "B": (0.0, y)}, rods, floors=floors, gravity=p["g"])
    trace = let_go(of)
    assert [(event.kind, event.about) for event in trace.events] == [("lifted", "floor B at B")]
    assert p["alpha0"] - trace.poses[-1, 0, 2] == near(value)
    assert trace.velocities[-1, 0, 2] == near(besides(name, "angular speed"))
    assert trace.velocities[-1, 0, 0] == near(besides(name, "horizontal speed"))


# forces in motion


def chimney(p: dict[str, float], share: float) -> Frame:
    """A leaning chimney, cut at a share of its height, hinged there and held in line at one side."""
    along, across = (
        np.array([sin(p["theta"]), cos(p["theta"])]),
        np.array([cos(p["theta"]), -sin(p["theta"])]),
    )
    cut, arm = share * p["L"] * along, 0.1 * across
    points = {"O": (0.0, 0.0), "C": tuple(cut), "B": tuple(p["L"] * along)}
    points |= {"P": tuple(cut + arm - 0.1 * along), "Q": tuple(cut + arm + 0.1 * along)}
    weight = p["m"] * p["g"]
    rods = {"OC": ("OCP", share * weight), "CB": ("CBQ", (1 - share) * weight)}
    return frame(points, rods, {"side": ("light rod", "PQ")}, "O", gravity=p["g"])


def test_falling_chimney_breaking_point():
    """Greatest bending moment at L/3, mgL sin/27 (a cubic in the height). Source: see motion.json."""
    name = "falling-chimney-breaking-point"
    p, value = entry(name)
    heights = np.array([0.0, 0.2, 0.4, 0.6, 0.8]) * p["L"]
    moments = [0.0] + [abs(first(chimney(p, h / p["L"]))[2].tensions["side"]) * 0.1 for h in heights[1:]]
    cubic = np.poly1d(np.polyfit(heights, moments, 3))
    assert cubic(heights) == near(moments)
    greatest = min(cubic.deriv().roots.real)
    assert greatest == near(value)
    assert cubic(greatest) == near(besides(name, "largest"))


def test_hinged_rod_greatest_sideways_force():
    """9mg/8, at 45 degrees. Source: published, see motion.json; the force worked out by hand."""
    name = "hinged-rod-greatest-sideways-force"
    p, value = entry(name)
    points = {"A": (0.0, 0.0), "B": (2 * p["a"], 0.0)}
    trace = let_go(frame(points, {"AB": ("AB", p["m"] * p["g"])}, hooks="A", gravity=p["g"]), duration=0.6)
    sideways = trace.forces[:, trace.keys.index(Key("AB", "A", "A")), 0]
    most = int(np.argmax(np.abs(sideways)))
    near_it = slice(most - NEAR // 2, most + NEAR // 2)
    angle = pi / 2 + trace.poses[near_it, 0, 2] - value
    curve = np.polynomial.Polynomial.fit(angle, np.abs(sideways[near_it]), 9)
    top = min(curve.deriv().roots(), key=abs).real
    assert top == pytest.approx(0.0, abs=1e-7)  # where the curve is flat, a derivative of differences
    assert curve(top) == near(besides(name, "greatest"))


def test_rod_pivot_one_third_force_perpendicular():
    """sqrt(g/a). Source: published, see motion.json."""
    p, value = entry("rod-pivot-one-third-force-perpendicular")
    lean, a = 1e-5, p["a"]
    way = np.array([sin(lean), cos(lean)])
    points = {"A": tuple(-2 * a / 3 * way), "P": (0.0, 0.0), "B": tuple(4 * a / 3 * way)}
    of = frame(points, {"AB": ("ABP", p["m"] * p["g"])}, hooks="P", gravity=p["g"])
    trace = let_go(of, duration=4.0)
    turn = trace.poses[:, 0, 2]
    along = np.stack([np.sin(lean - turn), np.cos(lean - turn)], axis=1)
    pull = (trace.forces[:, trace.keys.index(Key("AB", "P", "P")), :2] * along).sum(axis=1)
    assert where(0.0, pull, np.abs(trace.velocities[:, 0, 2])) == near(value)


def test_rod_turned_steadily_force_on_axis():
    """2mg |cos(theta/2)|: the couple that keeps it steady is put on it. Source: see motion.json."""
    p, value = entry("rod-turned-steadily-force-on-axis")
    end = (2 * p["a"] * sin(p["theta"]), -2 * p["a"] * cos(p["theta"]))
    of = frame({"A": (0.0, 0.0), "B": end}, {"AB": ("AB", p["m"] * p["g"])}, hooks="A", gravity=p["g"])
    couple = Quantity.of(Fraction(p["m"] * p["g"] * p["a"] * sin(p["theta"])), MOMENT)
    system = System(replace(of, loads={"drive": Load("drive", "couple", Place("AB", "B"), (couple,))}))
    rate = sqrt(p["g"] / p["a"])
    v = np.zeros_like(system.start)
    v[0] = (-rate * system.start[0, 1], rate * system.start[0, 0], rate)
    reactions = Reactions(system)
    assert system.solve(system.start, v)[0][0, 2] == pytest.approx(0.0, abs=1e-9)
    forces = reactions.table(reactions.at(system.start, v))
    assert hypot(*force(forces, "AB", "A", "A")) == near(value)


def test_every_entry_is_tested():
    """One test for each of the 21 entries, here or in published_swings.py."""
    here = Path(__file__).parent
    text = "".join((here / name).read_text() for name in ("published_motion.py", "published_swings.py"))
    missing = [name for name in ENTRIES if f"def test_{name.lower().replace('-', '_')}(" not in text]
    assert missing == []
    assert len(ENTRIES) == 21
