"""Two runs of one collapse: they agree, the comparison stops by rule, and it can say no."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from small_frames import frame, polygon, rhombus, stepladder

from simlab.collapse import ENERGY, FORCES, PATHS, follow
from simlab.errors import BadInput
from simlab.frame.model import Frame
from simlab.frame.quantity import Quantity
from simlab.frame.scene import read_scene
from simlab.motion.integrate import release
from simlab.results import Event, Trace
from simlab.simulation.release import release as simulated

SCENES = Path(__file__).parent.parent / "scenes"
SECONDS = 0.5


def both(of: Frame, brace: str, seconds: float = SECONDS) -> tuple[Trace, Trace]:
    """The equations of motion, and the simulation."""
    return release(of, brace=brace, duration=seconds), simulated(
        of, brace=brace, duration=seconds, before=0.0
    )


CASES = {
    **{
        name: (of, of.brace)
        for name in ("kite_lantern", "ring_lantern", "stall_trestle", "five_cane_lantern", "banner_bracket")
        if (of := read_scene(SCENES / f"{name}.toml")).brace
    },
    "rhombus": (rhombus(0.6), "brace"),
    "hexagon": (polygon(6), "brace D"),
    "trestle": (stepladder(), "rope"),
}


@pytest.mark.parametrize(("of", "brace"), CASES.values(), ids=CASES)
def test_both_roads_go_through_a_collapse_together(of, brace):
    """Paths, energy and hinge forces within the bounds of design.md, section 6."""
    found = follow(of, of.shown, *both(of, brace))
    assert found.agreement == "agree", found
    assert [stray.allowed for stray in found.strays] == [PATHS, ENERGY, FORCES]
    assert found.compared > 100


def one_part_in(n: int) -> Quantity:
    """A little more than one."""
    return Quantity.of(1) + Quantity.of(Fraction(1, n))


def heavier(of: Frame) -> Frame:
    """One rod one per cent heavier."""
    body = of.bodies["AB"]
    return replace(of, bodies={**of.bodies, "AB": replace(body, weight=body.weight * one_part_in(100))})


def slower_to_turn(of: Frame) -> Frame:
    """One rod's inertia one per cent more."""
    body = of.bodies["AB"]
    assert body.gyration2 is not None
    more = replace(body, gyration2=body.gyration2 * one_part_in(100))
    return replace(of, bodies={**of.bodies, "AB": more})


@pytest.mark.parametrize("spoil", [heavier, slower_to_turn])
def test_a_frame_spoiled_on_one_road_turns_the_verdict(spoil):
    """A hundredth of one rod's weight, or inertia, on one road only."""
    of = rhombus(0.6)
    right = simulated(of, duration=SECONDS, before=0.0)
    assert follow(of, of.shown, release(of, duration=SECONDS), right).agreement == "agree"
    assert follow(of, of.shown, release(spoil(of), duration=SECONDS), right).agreement == "differ"


def spoiled(trace: Trace, what: str) -> Trace:
    """The trace with one thing moved by a little more than is allowed, at one moment."""
    arrays = {name: getattr(trace, name).copy() for name in ("poses", "energy", "forces", "tensions")}
    i = 60
    if what == "path":
        arrays["poses"][i, 0, 0] += 1.1 * PATHS * 1.6
    elif what == "turn":
        arrays["poses"][i, 0, 2] += 1e-2
    elif what == "energy":
        arrays["energy"][i, 0] += 1.1 * ENERGY * 40 * 1.6
    elif what == "force":
        arrays["forces"][i, 0, 0] += 1.1 * FORCES * np.nanmax(np.abs(arrays["forces"])) * 2**0.5
    else:
        arrays["forces"][i, 0] = np.nan
    return replace(trace, **arrays)


@pytest.mark.parametrize("what", ["path", "turn", "energy", "force", "absent force"])
def test_each_bound_can_be_broken(what):
    """A path, a turn, an energy, a force, a force that is missing: each alone turns the verdict."""
    of = rhombus(0.6)
    trace = release(of, duration=0.2)
    assert follow(of, of.shown, trace, trace).agreement == "agree"
    assert follow(of, of.shown, spoiled(trace, what), trace).agreement == "differ"


def test_the_comparison_stops_at_the_first_event_of_either_road():
    """What is spoiled after an event is not looked at; before it, it is."""
    of = rhombus(0.6)
    trace = release(of, duration=0.2)
    later = spoiled(trace, "path")
    early = replace(later, events=(*later.events, Event(0.09, "contact", "K")))
    late = replace(later, events=(*later.events, Event(0.15, "contact", "K")))
    found = follow(of, of.shown, early, trace)
    assert found.agreement == "agree"
    assert found.until < 0.09
    assert "K was met" in found.advice
    at_hinge = replace(early, events=(Event(0.09, "contact", "A"),))
    assert "neighbours met at A" in follow(of, of.shown, at_hinge, trace).advice
    assert follow(of, of.shown, late, trace).agreement == "differ"
    assert follow(of, of.shown, trace, replace(early, poses=trace.poses)).until < 0.09


def test_what_lets_go_at_the_cut_on_both_roads_ends_nothing():
    """A string that goes slack at once does so on both roads, and they go on together."""
    points = {"A": (0.0, 0.0), "P": (0.5, 0.0), "B": (2.0, 0.0)}
    points |= {"a": (0.0, 1.0), "p": (0.5, 1.0), "b": (2.0, 1.0)}
    ties = {"A": ("string", "Aa"), "P": ("string", "Pp"), "B": ("string", "Bb")}
    of = frame(points, {"AB": ("ABP", 10.0)}, ties, "apb", brace="B")
    left = release(of, duration=0.2)
    assert [event.kind for event in left.events] == ["cut", "slack"]
    alone = replace(left, events=left.events[:1])
    assert follow(of, of.shown, left, left).compared > 100
    assert follow(of, of.shown, left, alone).agreement == "not comparable"


def test_open_forces_are_left_out():
    """A reaction that rigid bodies leave open is compared with nothing."""
    of = rhombus(0.6)
    trace = release(of, duration=0.2)
    wrong = spoiled(trace, "force")
    assert follow(of, of.shown, wrong, trace, {trace.keys[0]}).agreement == "agree"


def test_runs_of_different_frames_are_refused():
    """Other keys, other bodies: bad input."""
    with pytest.raises(BadInput, match="not of the same frame"):
        follow(rhombus(0.6), {}, release(rhombus(0.6), duration=0.1), release(stepladder(), duration=0.1))
