"""Random frames let go of for a minute: nothing explodes. Many of them: python tests/endurance.py 200"""

from __future__ import annotations

import re
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))

from showings import CASES, showing
from small_frames import frame

from simlab.frame.model import Frame
from simlab.simulation.stage import RATE, Stage

MINUTE = 60  # [s]
GAINED = 1e-4  # of weight times size: more energy than at the start is an explosion
GAP = 1e-2  # of the frame's size that a hinge may open


def random_frame(seed: int) -> Frame:
    """A hung kite with a tail, a chain on two hinges, or a trestle on a floor, braced; uneven weights."""
    chance = np.random.default_rng(seed)
    x, y, u, v = (float(value) for value in chance.uniform(0.4, 1.3, 4))
    weights = [float(weight) for weight in chance.uniform(1, 60, 5)]
    kind = ("kite", "chain", "trestle")[seed % 3]
    if kind == "kite":
        points = {"A": (0.0, 0.0), "B": (-x, -y), "C": (0.1, -y - v), "D": (u, -y), "E": (0.1 + u, -y - v)}
        names = ("AB", "AD", "BC", "DC", "CE")
        members, hooks, floors = {"brace": ("light rod", "BD")}, "A", {}
    elif kind == "chain":
        points = {"A": (0.0, 0.0), "B": (x, -y), "C": (x + u, -y - v), "D": (x + u + 1, 0.0)}
        names = ("AB", "BC", "CD")
        members, hooks, floors = {"brace": ("light rod", "AC")}, "AD", {}
    else:
        points = {"A": (0.0, 0.0), "B": (x, y), "C": (x + u, 0.0), "D": (x + v, y + v)}
        names = ("AB", "BC", "BD")
        members, hooks, floors = (
            {"brace": ("light rod", "AC"), "stay": ("light rod", "DC")},
            "A",
            {"C": (0.0, 1.0)},
        )
    rods = {name: (name, weight) for name, weight in zip(names, weights, strict=False)}
    return frame(points, rods, members, hooks=hooks, floors=floors, brace="brace")


def random_contacts(seed: int) -> Frame:
    """One of the frames of `showings` that slide, roll, grip or run, its angles and weights by chance."""
    chance = np.random.default_rng(seed)
    text = list(CASES.values())[seed % len(CASES)]
    text = re.sub(r"(\d+) deg", lambda m: f"{float(m[1]) * chance.uniform(0.8, 1.2):.3f} deg", text)
    text = re.sub(r"(\d+) N", lambda m: f"{float(m[1]) * chance.uniform(0.3, 3):.3f} N", text)
    return showing(text)


def harm(of: Frame, seconds: int = MINUTE, brace: str = "brace") -> str:
    """What went wrong in so many seconds after the brace is cut; nothing if all went well."""
    stage = Stage(of)
    stage.rest_under_load()
    stage.cut(brace)
    start = sum(stage.energy())
    for second in range(1, seconds + 1):
        stage.step(RATE)
        gained = (sum(stage.energy()) - start) / (stage.total * stage.drawn.size)
        if not np.all(np.isfinite(stage.world.poses())):
            return f"after {second} s a number is not finite"
        if gained > GAINED:
            return f"after {second} s it has gained {gained:.1e} of weight times size"
        for impulse in stage.world.pins.values():
            joint = impulse.joint
            gap = joint.a.local_to_world(joint.anchor_a) - joint.b.local_to_world(joint.anchor_b)
            if gap.length > GAP * stage.drawn.size:
                return f"after {second} s a hinge is open by {gap.length:.1e} m"
    return ""


if __name__ == "__main__":
    count = int(sys.argv[1])
    for kind, of, brace in (("joints", random_frame, "brace"), ("contacts", random_contacts, "tie")):
        found = [(seed, words) for seed in range(count) if (words := harm(of(seed), brace=brace))]
        lines = [f"{kind}, frame {seed}: {words}\n" for seed, words in found]
        unharmed = f"{kind}: {count - len(found)} of {count} frames came to no harm in {MINUTE} s.\n"
        sys.stdout.writelines([*lines, unharmed])
