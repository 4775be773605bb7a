"""When a frame counts as settled: four tests, all to be passed at once.

Any test less has been fooled (`tests/law_tricks.py`): by a frame that snapped through to its mirror
shape, by one that still creeps, by one caught at the turn of a swing.

- *balance*: every body, with the forces that were read; strings and known members have their tensions;
- *speed*: the force that would stop a body within a step, m v / dt;
- *change*: of any force over the last third of the run;
- *shape*: what the forces leave over in the drawn shape (`distortion.py`), each body's share grown by as
  much as it can grow on its way into a force. What a joint carries is wrong by no more than that, wherever
  the frame has gone (`tests/law_stopping_net.py`). The test only refuses: no force comes from it.

All are shares of the largest force in the frame.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import hypot
from types import MappingProxyType

import numpy as np

from simlab.results import Forces, largest
from simlab.simulation.balance import Push, left_over
from simlab.simulation.strings import known_tensions
from simlab.simulation.world import World

# What is promised is 1e-9 of the largest force. The last test bounds each component of what one joint
# carries, and some add up at a pin: half the promise. The others see to it that the frame is at rest.
BOUNDS: Mapping[str, float] = MappingProxyType(
    {"balance": 1e-10, "speed": 1e-10, "change": 1e-10, "shape": 5e-10}
)


def is_settled(tests: Mapping[str, float]) -> bool:
    """Whether all four tests are passed."""
    return bool(tests) and all(tests[name] < bound for name, bound in BOUNDS.items())


def shortfall(tests: Mapping[str, float]) -> float:
    """How many times too large the worst test is."""
    return max(tests[name] / bound for name, bound in BOUNDS.items())


def worst(tests: Mapping[str, float]) -> str:
    """The test that is farthest from being passed."""
    return max(BOUNDS, key=lambda name: tests[name] / BOUNDS[name])


def measured(
    world: World,
    step: float,
    before: Forces[float],
    after: Forces[float],
    holds: Sequence[Push],
    shape: float,
) -> dict[str, float]:
    """The measured value of each test, from the forces two thirds through the run and at its end.

    holds : the forces of the temporary holds; shape : what is left over as drawn, grown [N]
    """
    drawn, scale = world.drawn, scale_of(world, after)
    unequal = [max(taut) - min(taut) for taut in (s.tensions(step) for s in world.strings.values())]
    strained = [abs(world.known[n].tension() - t) for n, t in known_tensions(drawn).items()]
    return {
        "balance": _largest([left_over(drawn, after, holds), *unequal, *strained]) / scale,
        "speed": _largest(_momenta(world)) / step / scale,
        "change": _largest(_changes(world, before, after)) / scale,
        "shape": shape / scale,
    }


def _largest(values: Iterable[float]) -> float:
    """The largest of all, 0 of none; no number if any is none: Python's own `max` would overlook it."""
    return float(np.max(list(values), initial=0.0))


def scale_of(world: World, forces: Forces[float]) -> float:
    """The largest force in the frame, weights and loads among them [N]."""
    drawn = world.drawn
    weights = [mass.inert for mass in world.masses.values()]
    loads = [hypot(*load) for load in drawn.loads.values()]
    couples = [abs(couple) / drawn.size for couple in drawn.couples.values()]
    return max([largest(forces), *weights, *loads, *couples])


def _changes(world: World, before: Forces[float], after: Forces[float]) -> Iterator[float]:
    """Of every force, and of every moment over the length of the body it acts on [N]."""
    for key, now in after.reactions.items():
        then = before.reactions[key]
        yield hypot(now.force[0] - then.force[0], now.force[1] - then.force[1])
        if now.moment is not None and then.moment is not None:
            yield abs(now.moment - then.moment) / world.drawn.lengths[key.on]


def _momenta(world: World) -> Iterator[float]:
    """Mass times the speed of each body's fastest point [kg m/s]."""
    for name, body in world.bodies.items():
        reach = world.drawn.lengths.get(name, 0.0)  # a pin or a knot is a point
        yield body.mass * (body.velocity.length + abs(body.angular_velocity) * reach)
