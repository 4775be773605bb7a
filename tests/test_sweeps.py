"""The share of the slowest error that a sweep takes away: as the engine does it, and as numpy finds it."""

from __future__ import annotations

import pytest
from settled_by_hand import settling
from small_frames import arch, bow, cantilever, polygon, row, tower

from simlab.frame.model import Frame
from simlab.results import Key
from simlab.simulation import sweeps
from simlab.simulation.conditioning import Gaps
from simlab.simulation.drawn import Drawn
from simlab.simulation.masses import masses

TWO_DIGITS = 0.06  # to which a share is rounded, at worst (1.0 and 1.1 are a tenth apart)
LONG = {
    "tower of 20 panels": tower(20),
    "cantilever of 20 panels": cantilever(20),
    "row of 60 rods": row(60),
    "ring of 40 rods": polygon(40),
    "thin arch of 32 rods": bow(32, thin=True),
    "tower with a heavy top": tower(10, top=10000.0),
}


def gaps_of(of: Frame) -> Gaps:
    """A frame's conditioning, its motions held."""
    drawn = Drawn(of, of.shown)
    gaps = Gaps(drawn, masses(drawn, even=True))
    gaps.holds(gaps.freedom()[1])
    return gaps


@pytest.mark.parametrize(
    ("of", "key"),
    [
        (arch(0.1), Key("A", "A", "ground")),
        (tower(3), Key("A", "A", "ground")),
        (cantilever(3), Key("A", "A", "ground")),
    ],
    ids=["arch", "tower", "cantilever"],
)
def test_the_engine_forgets_an_error_at_this_rate(of: Frame, key: Key) -> None:
    """No velocity kept, no gap closed, one sweep a step: changes shrink by 1 - share a step, in the end."""
    one = settling(of)
    one.tune(1, 6)
    one.world.space.damping = 0.0
    for joint in one.world.space.constraints:
        joint.error_bias = 1.0
    one.world.set_gravity(1e-12)  # so that nothing moves meanwhile

    def forces_after(steps: int) -> float:
        one.steps(steps)
        return one.world.forces(1.0, {}).reactions[key].force[0]

    far = int(3 / one.slowest)  # the slowest error alone is left, and there is enough of it
    apart = int(1 / one.slowest)
    a, b, c = forces_after(far), forces_after(apart), forces_after(apart)
    share = 1 - abs((c - b) / (b - a)) ** (1 / apart)

    assert share == pytest.approx(one.slowest, rel=TWO_DIGITS)


@pytest.mark.parametrize("of", LONG.values(), ids=LONG)
def test_one_eigenvalue_is_that_of_all(of: Frame, monkeypatch: pytest.MonkeyPatch) -> None:
    """Sought alone, in a long frame, it is the one that numpy finds among all."""
    quick = gaps_of(of).slowest()
    monkeypatch.setattr(sweeps, "MANY", 10**6)

    assert quick == gaps_of(of).slowest()
