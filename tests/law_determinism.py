"""The same again is the same to the last bit: twice, side by side, in another process, and next year.

python tests/law_determinism.py     writes golden.json anew: after a change that is meant to move the
simulation, or with new versions in requirements.lock
"""

from __future__ import annotations

import hashlib
import json
import os
import platform
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from importlib.metadata import version
from math import asin, atan2, cos, hypot, sin, tan
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))

from collapses import CASES, RANDOM

from simlab.frame.quantity import Quantity
from simlab.frame.scene import read_scene
from simlab.motion.integrate import RATE
from simlab.results import Reading
from simlab.simulation.release import release
from simlab.simulation.settle import settle
from simlab.simulation.stage import Stage

ROOT = Path(__file__).parent.parent
GOLDEN = Path(__file__).parent / "golden.json"
SCENE = ROOT / "scenes" / "five_cane_lantern.toml"  # its canes meet 0.2 s after the cut
DURATION = 0.5  # [s]
BITS_FROM = ("pymunk", "numpy")  # whose versions the bits depend on
LOCKSTEP = 0.8  # [s]
PROBES = 200  # angles; of so many, several are rounded otherwise by another C library
COLLIDING = {name: {**CASES, **RANDOM}[name] for name in ("stall_trestle", "rhombus", "random frame 11")}


def bits(reading: Reading) -> str:
    """A hash of every number that was read."""
    digest = hashlib.sha256(reading.poses.tobytes())
    for key, reaction in reading.forces.reactions.items():
        digest.update(repr((key, reaction)).encode())  # repr of a float tells it from every other
    digest.update(repr(sorted(reading.forces.tensions.items())).encode())
    return digest.hexdigest()


def results() -> dict[str, str]:
    """A release with a collision in it, and a reading."""
    of = read_scene(SCENE)
    trace = release(of, duration=DURATION)
    return {"release": trace.hash, "contact": str(trace.events[-1]), "reading": bits(settle(of))}


def sines() -> str:
    """A hash of the machine's own functions: C libraries and processors round their last bits otherwise."""
    turns = np.linspace(0.01, 3.0, PROBES)
    own = [(sin(t), cos(t), tan(t), asin(t / 4), atan2(t, 2.0), hypot(t, 2.0)) for t in turns.tolist()]
    arrays = (np.sin(turns), np.cos(turns), np.hypot(turns, 2.0), np.log1p(-turns / 4), np.expm1(-turns))
    return hashlib.sha256(repr((own, [array.tolist() for array in arrays])).encode()).hexdigest()[:16]


def maker() -> dict[str, str]:
    """What the last bits depend on besides simlab."""
    return {name: version(name) for name in BITS_FROM} | {"machine": platform.machine(), "sines": sines()}


def locked() -> dict[str, str]:
    """The versions in requirements.lock."""
    lines = (ROOT / "requirements.lock").read_text().split()
    pinned = dict(line.split("==") for line in lines)
    return {name: pinned[name] for name in BITS_FROM}


def test_a_release_and_a_reading_have_their_golden_bits() -> None:
    """With the versions in requirements.lock, on the kind of machine that the golden bits are from."""
    golden, here = json.loads(GOLDEN.read_text()), maker()
    if {name: here[name] for name in BITS_FROM} != locked():
        pytest.skip(f"golden bits are for {locked()}, installed is {here}")
    assert {name: golden["maker"][name] for name in BITS_FROM} == locked()
    if golden["maker"] != here:
        pytest.skip(f"golden bits are from {golden['maker']}, this is {here}")

    assert golden["results"] == results()


def test_the_golden_release_has_a_collision() -> None:
    """So that its bits are those of the search for contacts too."""
    assert "contact" in json.loads(GOLDEN.read_text())["results"]["contact"]


def test_the_same_twice_is_the_same_to_the_last_bit() -> None:
    """Equal arrays, equal hashes, whatever was run before."""
    of = read_scene(SCENE)
    first, second = (release(of, duration=DURATION) for _ in range(2))

    assert first.hash == second.hash
    assert np.array_equal(first.poses, second.poses)
    assert np.array_equal(first.forces, second.forces, equal_nan=True)
    assert bits(settle(of)) == bits(settle(of))


@pytest.mark.parametrize("name", COLLIDING)
def test_two_worlds_in_lockstep_are_equal_at_every_step(name: str) -> None:
    """Poses, velocities, forces and energy, through cut and collision; a third world is stepped between."""
    of = COLLIDING[name]
    one, other, another = Stage(of), Stage(of), Stage(CASES["kite_lantern"])
    for stage in (one, another, other):
        stage.rest_under_load()
        stage.cut(stage.frame.brace)
    for _ in range(round(LOCKSTEP * RATE)):
        for stage in (one, another, other):
            stage.step()
        now, then = one.now(), other.now()
        assert now.poses.tobytes() == then.poses.tobytes()
        assert one.velocities().tobytes() == other.velocities().tobytes()
        assert repr(now.forces) == repr(then.forces)
        assert (now.time, now.energy, now.absent) == (then.time, then.energy, then.absent)
    assert one.events == other.events
    assert any(event.kind == "contact" for event in one.events)


def test_another_process_gets_the_same_bits() -> None:
    """Nothing depends on the process: not on addresses, nor on the order of a set."""
    program = "import json; from law_determinism import results; print(json.dumps(results()))"
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=Path(__file__).parent,
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "PYTHONHASHSEED": "1", "PYTHONPATH": str(ROOT)},
    )

    assert json.loads(done.stdout) == results()


def test_a_millionth_more_weight_has_other_bits() -> None:
    """The lowest cane, all names and values the same: the hashes do not agree by being blind."""
    of = read_scene(SCENE)
    cane = of.bodies["BC"]
    more = replace(cane, weight=cane.weight * Quantity.of(Fraction(1_000_001, 1_000_000)))
    heavier = replace(of, bodies={**of.bodies, "BC": more})

    assert release(of, duration=0.1).hash != release(heavier, duration=0.1).hash
    assert bits(settle(of)) != bits(settle(heavier))


def write() -> None:
    """The golden bits, as they are now."""
    GOLDEN.write_text(json.dumps({"maker": maker(), "results": results()}, indent=1) + "\n")


if __name__ == "__main__":
    write()
