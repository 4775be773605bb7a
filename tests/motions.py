"""Published motions (published/motion.json), and what their tests share."""

from __future__ import annotations

import json
from math import pi, sin, sqrt
from pathlib import Path

import numpy as np
import pytest
from scipy.interpolate import BarycentricInterpolator

from simlab.frame.model import Frame
from simlab.motion.reactions import Reactions
from simlab.motion.system import System
from simlab.results import Forces, Key

ENTRIES = {
    e["id"]: e for e in json.loads((Path(__file__).parent / "published" / "motion.json").read_text())
}
EXACT = 1e-9  # relative; what the published value itself is rounded to may be more
NEAR = 12  # samples through which a curve is laid


def entry(name: str) -> tuple[dict[str, float], float]:
    """Parameters and value of a published entry."""
    check = ENTRIES[name]["numeric_check"]
    return check["params"], check["value"]


def besides(name: str, what: str) -> float:
    """Another published value of an entry, evaluated from its expression."""
    one = next(one for one in ENTRIES[name]["also"] if one["asked"].startswith(what))
    letters = {**ENTRIES[name]["numeric_check"]["params"], "sin": sin, "sqrt": sqrt, "pi": pi}
    return float(eval(one["answer_expr"], {"__builtins__": {}}, letters))


def near(value: float) -> object:
    """Equal to 1e-9."""
    return pytest.approx(value, rel=EXACT, abs=EXACT)


def first(of: Frame, *without: str) -> tuple[System, np.ndarray, Forces[float]]:
    """Accelerations and forces at rest, without some members, or without the brace."""
    system = System(of, None, without or (of.brace,))
    at_rest = np.zeros_like(system.start)
    reactions = Reactions(system)
    accelerations = system.solve(system.start, at_rest)[0]
    return system, accelerations, reactions.table(reactions.at(system.start, at_rest))


def where(x: float, xs: np.ndarray, ys: np.ndarray) -> float:
    """y at x, on the curve through the samples on both sides of x; xs run one way near x."""
    i = int(np.flatnonzero(np.diff(np.sign(xs - x)))[0])
    near = slice(max(i - NEAR // 2, 0), i + NEAR // 2)
    return float(BarycentricInterpolator(xs[near], ys[near])(x))


def force(forces: Forces[float], on: str, at: str, by: str) -> tuple[float, float]:
    """The force of one reaction."""
    return forces.reactions[Key(on, at, by)].force
