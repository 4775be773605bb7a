"""A net of frames, settings and checkpoints: how often each stopping test accepts a wrong reading.

    python tests/law_stopping_net.py 100

runs 100 settings a frame (12 in the tests) and prints the table. Settings are drawn by a seeded generator,
good ones and bad; at each checkpoint the reading is compared with numpy's least squares.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parent))

from published.balance import Balance
from settled_by_hand import drift, fastest, run, settling, wrong_by
from small_frames import arch, bow, cantilever, polygon, rhombus, stepladder, tower

from simlab.frame.model import Frame

WRONG = 1e-9  # of the largest force: what is promised
BOUND = 1e-10  # on each quantity that a weaker test looks at
SEED = 20
SETTINGS = 12  # a frame, in the tests
LENGTHS = [length for length in (20, 40, 80, 160, 320) for _ in range(4)]  # of the runs to a checkpoint

FRAMES: Mapping[str, Frame] = {
    "rhombus": rhombus(0.6),
    "flat rhombus": rhombus(0.01),
    "very flat rhombus": rhombus(0.001),
    "hexagon": polygon(6),
    "ring of 12 rods": polygon(12),
    "trestle": stepladder(),
    "flat trestle": stepladder(slope=1.5),
    "arch of 8 rods": bow(8),
    "thin arch of 8 rods": bow(8, thin=True),
    "tower of 2 panels": tower(2),
    "cantilever of 5 panels": cantilever(5),
    "flat arch": arch(0.01),
    "flatter arch": arch(0.002),
    "tower with a heavy top": tower(3, top=10000.0),
}


@dataclass(frozen=True)
class Look:
    """A checkpoint: what tests may look at, and the truth."""

    tests: Mapping[str, float]
    metres_a_second: float
    drift: float
    settled: bool
    wrong_by: float

    def below(self, *names: str) -> bool:
        """Whether all of these are below the weaker tests' bound."""
        return all(self.tests[name] < BOUND for name in names)


WEAKER: Mapping[str, Callable[[Look], bool]] = {
    "speed in m/s": lambda look: look.metres_a_second < BOUND,
    "speed": lambda look: look.below("speed"),
    "change": lambda look: look.below("change"),
    "balance": lambda look: look.below("balance"),
    "drift": lambda look: look.drift < BOUND,
    "speed and change": lambda look: look.below("speed", "change"),
    "balance and speed": lambda look: look.below("balance", "speed"),
    "balance and change": lambda look: look.below("balance", "change"),
    "balance, speed and change": lambda look: look.below("balance", "speed", "change"),
}
TESTS = {**WEAKER, "all four": lambda look: look.settled}


def looks(n_settings: int) -> Iterator[Look]:
    """Every checkpoint of the net."""
    for i, of in enumerate(FRAMES.values()):
        chance = np.random.default_rng([SEED, i])
        dense = Balance(of)
        for _ in range(n_settings):
            yield from _run(of, dense, chance)


def _run(of: Frame, dense: Balance, chance: np.random.Generator) -> Iterator[Look]:
    """One setting: few sweeps or enough, damping and closing as tuned or not, gravity weak or strong."""
    one = settling(of)
    sweeps = int(chance.choice([1, 2, 5, 10, 20, 50]))
    one.tune(sweeps, 6)
    damping = float(chance.choice([0.0, 0.5, 0.9, 0.99, one.settings.damping]))
    closing = float(chance.choice([0.0, 0.01, 0.1, 0.9, 1 - one.settings.bias]))
    gravity = 10 ** float(chance.uniform(-7, -1))
    run(one, 1, sweeps, damping, closing, gravity)
    for length in LENGTHS:
        run(one, length)
        yield Look(one.tests, fastest(one), drift(one), one.is_settled, wrong_by(one.forces, dense))


def counted(n_settings: int) -> tuple[int, dict[str, tuple[int, int, float]]]:
    """Checkpoints, and for each test: accepted, of these wrong, the worst error accepted."""
    net = list(looks(n_settings))
    counts = {}
    for name, accepts in TESTS.items():
        errors = [look.wrong_by for look in net if accepts(look)]
        counts[name] = (len(errors), sum(error > WRONG for error in errors), max(errors, default=0.0))
    return len(net), counts


@pytest.fixture(scope="module")
def net() -> tuple[int, dict[str, tuple[int, int, float]]]:
    """The small net, run once."""
    return counted(SETTINGS)


@pytest.mark.parametrize("weaker", WEAKER)
def test_every_weaker_test_accepts_wrong_readings(
    weaker: str, net: tuple[int, dict[str, tuple[int, int, float]]]
) -> None:
    """By a millionth of the largest force at least, against numpy's least squares."""
    _, wrong, worst = net[1][weaker]

    assert wrong > 0
    assert worst > 1e-6


def test_all_four_together_accept_many_readings_and_no_wrong_one(
    net: tuple[int, dict[str, tuple[int, int, float]]],
) -> None:
    """Thousands of checkpoints, hundreds accepted, each right to 1e-9 (numpy's least squares)."""
    checkpoints, counts = net
    accepted, wrong, worst = counts["all four"]

    assert checkpoints > 3000
    assert accepted > 300
    assert wrong == 0
    assert worst < WRONG


def main() -> None:
    """Print the table of a net as large as one likes."""
    n_settings = int(sys.argv[1]) if len(sys.argv) > 1 else SETTINGS
    checkpoints, counts = counted(n_settings)
    sys.stdout.write(
        f"{checkpoints} checkpoints\n\n| test | accepted | wrong | worst |\n| --- | --- | --- | --- |\n"
    )
    for name, (accepted, wrong, worst) in counts.items():
        sys.stdout.write(f"| {name} | {accepted} | {wrong} | {worst:.0e} |\n")


if __name__ == "__main__":
    main()
