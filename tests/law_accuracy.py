"""Every component of every reading is right to 1e-9 of the largest force, for whole families of frames.

    python tests/law_accuracy.py

prints the table of all of them: rods, largest force over the weight of most rods, steps, sweeps, seconds,
largest error. Expected values are those of numpy's least squares (`published.balance`), whose own error is
measured here too.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from math import tan
from pathlib import Path
from time import perf_counter

import numpy as np
import pytest

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parent))

from published.balance import Balance
from small_frames import arch, bow, cantilever, polygon, rhombus, stepladder, tower

from simlab.frame.change import without
from simlab.frame.model import Frame
from simlab.frame.quantity import Quantity
from simlab.results import Reading, largest
from simlab.simulation.settle import settle

PROMISED = 1e-9  # of the largest force, for every component: design, section 6
ITS_OWN = 1e-6  # of a component's own size ...
NOT_SMALL = 1e-3  # ... where that is more than this share of the largest force
# What the expected values may be wrong by, of the largest force: a tenth of the promise and more to spare.
EXPECTED = 1e-11
WEIGHT = 10.0  # of most rods [N]


def on_rough_floor(slope: float, weights: tuple[float, float], slips: int = 0) -> Frame:
    """A trestle without its rope on a rough floor; one foot, or both, about to slip.

    Equal legs at an angle u to the plumb line push their feet apart with F = W tan(u)/2, and press with
    N = W each (moments about the top, by hand): about to slip, the coefficient is tan(u)/2.
    """
    of = without(stepladder(weights, slope), "rope")
    mu = Quantity.of(Fraction(tan(slope) / 2))
    contacts = {}
    for i, (name, contact) in enumerate(of.contacts.items()):
        limit = {"friction": mu, "about_to": "slip"} if i < slips else {}
        contacts[name] = replace(contact, rough=True, **limit)
    return replace(of, contacts=contacts)


FAMILIES: Mapping[str, Mapping[str, Frame]] = {
    "rings": {f"ring of {n} rods": polygon(n) for n in (4, 6, 8, 12, 20, 40)},
    "arches": {
        **{f"arch of {n} rods": bow(n) for n in (8, 16, 32, 60)},
        **{f"thin arch of {n} rods": bow(n, thin=True) for n in (8, 16, 32)},
    },
    "towers": {f"tower of {n} panels": tower(n) for n in (2, 5, 10, 20, 30)},
    "cantilevers": {f"cantilever of {n} panels": cantilever(n) for n in (2, 5, 10, 20, 30)},
    "one thousand to one": {
        "octagon, its lowest rods heavy": polygon(8, heavy=(3, 4)),
        "ring of 12 rods, two at the side heavy": polygon(12, heavy=(2, 9)),
        "arch of 16 rods, one heavy": bow(16, heavy=(3,)),
        "tower of 5 panels, its top heavy": tower(5, top=1000 * WEIGHT),
        "tower of 10 panels, its top heavy": tower(10, top=1000 * WEIGHT),
        "cantilever of 10 panels, its end heavy": cantilever(10, end=1000 * WEIGHT),
        "trestle, one leg heavy": stepladder((WEIGHT, 1000 * WEIGHT)),
        "trestle on a rough floor, one leg heavy": on_rough_floor(0.5, (WEIGHT, 1000 * WEIGHT)),
    },
    "nearly flat": {
        **{f"rhombus, drop 1/{n} of a rod": rhombus(1 / n) for n in (100, 1000, 3000)},
        **{f"two rods, rise 1/{n} of a rod": arch(1 / n) for n in (100, 500, 2000)},
    },
    "trestles": {
        **{f"smooth, {slope} rad from upright": stepladder(slope=slope) for slope in (0.05, 0.5, 1.5)},
        **{f"rough, {slope} rad": on_rough_floor(slope, (WEIGHT, 20.0)) for slope in (0.05, 0.5, 1.5)},
        **{
            f"about to slip, {slope} rad": on_rough_floor(slope, (WEIGHT, WEIGHT), 1)
            for slope in (0.2, 1.2)
        },
        "both feet about to slip": on_rough_floor(0.5, (WEIGHT, WEIGHT), 2),
    },
}
ALL = {name: of for family in FAMILIES.values() for name, of in family.items()}
each_frame = pytest.mark.parametrize("of", ALL.values(), ids=ALL)


def components(reading: Reading, dense: Balance) -> Iterator[tuple[float, float]]:
    """Each component of each force and tension: read, expected [N]."""
    assert reading.verdict == "settled", reading.advice
    assert reading.forces.reactions.keys() == dense.forces.reactions.keys()
    for key, reaction in dense.forces.reactions.items():
        yield from zip(reading.forces.reactions[key].force, reaction.force, strict=True)
    for name, tension in dense.forces.tensions.items():
        yield reading.forces.tensions[name], tension


def error(reading: Reading, dense: Balance) -> float:
    """The largest error of any component, as a share of the largest force."""
    return max(abs(read - wanted) for read, wanted in components(reading, dense)) / largest(dense.forces)


@each_frame
def test_every_component_is_right(of: Frame) -> None:
    """To 1e-9 of the largest force, and to 1e-6 of itself unless it is small (numpy's least squares)."""
    reading, dense = settle(of), Balance(of)
    scale = largest(dense.forces)

    assert error(reading, dense) < PROMISED
    for read, wanted in components(reading, dense):
        if abs(wanted) > NOT_SMALL * scale:
            assert abs(read - wanted) < ITS_OWN * abs(wanted)


@each_frame
def test_the_expected_values_are_good_enough(of: Frame) -> None:
    """The frame is determined, and a step of refinement in long doubles changes next to nothing."""
    dense = Balance(of)
    matrix, loads = dense.matrix.astype(np.longdouble), dense.loads.astype(np.longdouble)
    left = (matrix @ dense.solution.astype(np.longdouble) + loads).astype(np.float64)
    change, *_ = np.linalg.lstsq(dense.matrix, -left, rcond=None)

    assert dense.self_stress.shape[1] == 0
    assert np.abs(change).max() < EXPECTED * largest(dense.forces)


def test_the_families_are_as_hard_as_they_are_said_to_be() -> None:
    """Ninety rods; a brace that carries 6000 weights; weights of 1000 to one."""
    weights = {name: sorted(b.weight.number() for b in of.bodies.values()) for name, of in ALL.items()}

    assert max(len(of.bodies) for of in ALL.values()) == 90
    assert Balance(ALL["rhombus, drop 1/3000 of a rod"]).forces.tensions["brace"] < -5999 * WEIGHT
    assert all(max(weights[name]) == 1000 * min(weights[name]) for name in FAMILIES["one thousand to one"])


def main() -> None:
    """Print the table of all frames, hardest last, and of two that cannot be settled."""
    write = sys.stdout.write
    write("| frame | rods | largest force / W | steps | sweeps | time / s | error | verdict |\n")
    write("| --- | --- | --- | --- | --- | --- | --- | --- |\n")
    settle(arch(1.0))  # calibration is done once in a process
    beyond = {
        "two rods, rise 1/12500 of a rod": arch(1 / 12500),
        "thin arch of 60 rods": bow(60, thin=True),
    }
    for name, of in {**ALL, **beyond}.items():
        start = perf_counter()
        reading = settle(of)
        seconds = perf_counter() - start
        dense = Balance(of)
        apart = f"{error(reading, dense):.0e}" if reading.forces else ""
        row = (
            name,
            len(of.bodies),
            f"{largest(dense.forces) / WEIGHT:.0f}",
            reading.settings.steps,
            reading.settings.sweeps,
            f"{seconds:.3f}",
            apart,
            reading.verdict if reading.forces else f"{reading.verdict}: {reading.advice}",
        )
        write(f"| {' | '.join(map(str, row))} |\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
