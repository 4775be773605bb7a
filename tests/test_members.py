"""Light members in marks: strings over wheels, elastic strings, springs."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from simlab.frame.scene import read_scene
from simlab.pictures.marks import Mark, Ring, Stroke
from simlab.pictures.members import FEWEST, MOST, member
from simlab.pictures.plan import Plan
from simlab.pictures.wheels import WHEEL, bent, wheel_centres, wheels_in_motion

PICTURED = Path(__file__).parent / "pictured"
GRAIN = 0.005  # [m/page unit]


def drawn(scene: str, name: str) -> tuple[Plan, dict[str, Mark]]:
    """The marks of a member, by name."""
    plan = Plan.of(read_scene(PICTURED / f"{scene}.toml"))
    return plan, {mark.name: mark for mark in member(plan, plan.frame.links[name], GRAIN)}


@pytest.mark.parametrize("bearing", [-80.0, -20.0, 35.0, 110.0])
def test_a_string_keeps_its_directions_and_lies_on_its_wheel(bearing):
    """Over the origin and away: both parts are on the lines of the bend, the wheel touches both."""
    turn = np.radians(bearing)
    way = np.array([np.cos(turn), np.sin(turn)])
    points = np.array([[-3.0, 0.0], [0.0, 0.0], 4 * way])
    path = bent(points[[0, -1]], wheel_centres(points, 0.1), points, 0.1)
    ((x, y),) = wheel_centres(points, 0.1)

    assert path[[0, -1]] == pytest.approx(points[[0, -1]])
    assert path[1, 1] == pytest.approx(0, abs=1e-9)  # still on the first line
    assert path[-2, 0] * way[1] - path[-2, 1] * way[0] == pytest.approx(0, abs=1e-9)  # on the second
    assert abs(y) == pytest.approx(0.1)
    assert abs(x * way[1] - y * way[0]) == pytest.approx(0.1)
    assert np.hypot(*(path[1:-1] - (x, y)).T) == pytest.approx(0.1)


def test_a_string_that_comes_back_goes_over_the_top():
    """Up and down again side by side: the string touches the top of its wheel, which is near its point."""
    points = np.array([[-0.05, -2.0], [0.0, 0.0], [0.05, -2.0]])
    path = bent(points[[0, -1]], wheel_centres(points, 0.1), points, 0.1)
    ((x, y),) = wheel_centres(points, 0.1)

    assert np.hypot(x, y) <= 0.2 + 1e-12
    assert path[:, 1].max() == pytest.approx(y + 0.1)


def test_a_rope_over_a_pulley_has_a_wheel():
    """The crane's rope has one wheel of the set size, with an axle, near the pulley's point."""
    plan, marks = drawn("quay_crane", "rope")
    wheel, axle = marks["wheel of rope at P"], marks["axle of the wheel of rope at P"]

    assert isinstance(wheel, Ring)
    assert isinstance(axle, Ring)
    assert wheel.radius == WHEEL * GRAIN
    assert axle.centre == wheel.centre
    assert np.hypot(*(np.array(wheel.centre) - plan.points["P"])) <= 2 * WHEEL * GRAIN


def test_springs_and_elastic_strings_run_from_end_to_end_and_look_their_own():
    """A spring has a few sharp turns, an elastic string many small waves, from point to point."""
    plan, marks = drawn("quay_crane", "stay")
    spring = marks["stay"]
    board, more = drawn("pennant_board", "right")
    elastic = more["right"]

    assert isinstance(spring, Stroke)
    assert isinstance(elastic, Stroke)
    assert spring.points[[0, -1]] == pytest.approx(np.array([plan.points["D"], plan.points["E"]]))
    assert elastic.points[[0, -1]] == pytest.approx(np.array([board.points["B"], board.points["Q"]]))
    assert 2 * FEWEST <= len(spring.points) - 3 <= 2 * MOST
    assert spring.role != elastic.role


def test_a_fixed_wheel_stays_where_it_is_drawn():
    """When the end of the string swings, the string leaves its wheel elsewhere: still along its tangent."""
    drawn = np.array([[0.0, 0.0], [0.0, 2.0], [3.0, 2.0]])
    moved = np.array([[0.8, 0.1], [0.0, 2.0], [3.0, 2.0]])
    (wheel,) = wheels_in_motion(drawn, moved, [True], 0.1)
    assert wheel == pytest.approx(wheel_centres(drawn, 0.1)[0])
    (ring,) = wheels_in_motion(drawn, moved, [False], 0.1)
    assert ring == pytest.approx(wheel_centres(moved, 0.1)[0])
    path = bent(moved[[0, -1]], wheel[None], drawn, 0.1)
    assert path[0] == pytest.approx(moved[0])
    away = np.hypot(*(path[1:-1] - wheel).T)
    assert away == pytest.approx(0.1)
    along = path[1] - path[0]
    assert along @ (path[1] - wheel) == pytest.approx(0.0, abs=1e-12)
