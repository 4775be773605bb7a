"""Labels never on top of one another, of rods, of arrows, or off the page."""

from __future__ import annotations

import numpy as np
import pytest
from seen import box_of, clashes

from simlab.pictures.camera import SCREEN, Camera
from simlab.pictures.marks import Arrow, Label, Mark, Ring, Stroke
from simlab.pictures.placement import place

CAMERA = Camera((0.0, 0.0), (960.0, 540.0), 300.0, 30.0)
ROLES = ("weight", "thrust", "tension", "hinge force", "support force")


def scattered(seed: int, turn: float = 0.0) -> list[Mark]:
    """Eight rods in a ring and 20 arrows with labels, at random but for the seed."""
    chance = np.random.default_rng(seed)
    bearing = np.sort(chance.uniform(0, 2 * np.pi, 8)) + turn
    corners = np.stack([2.0 * np.cos(bearing), 1.2 * np.sin(bearing)], axis=1)
    marks: list[Mark] = []
    for i, (a, b) in enumerate(zip(corners, np.roll(corners, -1, axis=0), strict=True)):
        marks.append(Stroke(name=f"rod {i}", role="rod", points=np.array([a, b]), width=0.07))
        marks.append(Ring(name=f"hinge {i}", role="hinge", centre=(a[0], a[1]), radius=0.025))
        marks.append(
            Label(
                name=f"name {i}",
                role="name",
                anchor=(a[0], a[1]),
                text=f"${'ABCDEFGH'[i]}$",
                size=44.0,
                sides=("n",),
            )
        )
    for i in range(12):
        share, rod = chance.uniform(0.2, 0.8), int(chance.integers(8))
        x, y = corners[rod] + share * (corners[(rod + 1) % 8] - corners[rod])
        force = tuple(chance.uniform(-4, 4, 2))
        role = ROLES[i % 5]
        marks.append(Arrow(name=f"force {i}", role=role, tail=(x, y), vector=force))
        marks.append(
            Label(
                name=f"words {i}",
                role=role,
                anchor=(x, y),
                vector=force,
                text=f"{chance.uniform(1, 99):.1f} N",
                size=40.0,
                sides=("e", "w"),
            )
        )
    return marks


@pytest.mark.parametrize("seed", range(30))
def test_no_label_stands_on_anything(seed):
    """Of 20 labels among 8 rods, 8 hinges and 12 arrows at random none covers anything."""
    marks = scattered(seed)
    placement = place(marks, CAMERA)

    assert clashes(marks, CAMERA, placement, SCREEN) == []


def test_the_check_itself_can_see_a_clash():
    """Put all labels in one place and the sampling finds them on one another and on a rod."""
    marks = scattered(1)
    placement = {name: spot._replace(x=960.0, y=540.0) for name, spot in place(marks, CAMERA).items()}
    rod = Stroke(name="rod", role="rod", points=np.array([[-1.0, 0.0], [1.0, 0.0]]), width=0.07)

    found = clashes([*marks, rod], CAMERA, placement, SCREEN)

    assert "name 0 on name 1" in found
    assert "name 0 on rod" in found


def test_the_same_marks_are_placed_the_same_way():
    """Equal marks, equal placement."""
    assert place(scattered(3), CAMERA) == place(scattered(3), CAMERA)


def test_a_label_keeps_its_seat_while_it_can():
    """While the frame turns by 1/10 degree a picture few labels change their seats, and none clashes."""
    before = place(scattered(5), CAMERA)
    changes = 0
    for k in range(1, 40):
        marks = scattered(5, turn=np.radians(0.1 * k))
        now = place(marks, CAMERA, before)
        changes += sum(now[name].seat != before[name].seat for name in now)
        assert clashes(marks, CAMERA, now, SCREEN) == []
        before = now

    assert changes <= 40  # of 20 labels x 39 pictures


def test_without_an_obstacle_a_label_takes_its_first_side():
    """Alone on the page, a label stands on the side it prefers."""
    for side, (dx, dy) in {"n": (0, -1), "e": (1, 0), "sw": (-1, 1)}.items():
        label = Label(name="P", role="name", anchor=(0.0, 0.0), text="$P$", size=44.0, sides=(side,))
        left, top, right, bottom = box_of(label, place([label], CAMERA))
        middle = np.array([(left + right) / 2 - 960, (top + bottom) / 2 - 540])
        assert np.sign(np.round(middle)).tolist() == [dx, dy]


def test_a_gliding_label_arrives():
    """Half of the way in each picture: nearer every time, then there."""
    label = Label(name="P", role="name", anchor=(0.0, 0.0), text="$P$", size=44.0, sides=("n",))
    rod = Stroke(name="rod", role="rod", points=np.array([[-1.0, 0.1], [1.0, 0.1]]), width=0.07)
    start, goal = place([label], CAMERA), place([label, rod], CAMERA)
    way = []
    for _ in range(12):
        start = place([label, rod], CAMERA, start, glide=0.5)
        way.append(np.hypot(start["P"].x - goal["P"].x, start["P"].y - goal["P"].y))

    assert way[0] > way[1] > way[2] > 0
    assert way[-1] == 0


def test_labels_without_sides_stand_where_they_are_told():
    """A caption's baseline begins at its anchor."""
    label = Label(name="c", role="text", space="page", anchor=(100.0, 200.0), text="Caption", size=44.0)

    assert place([label], CAMERA)["c"][:2] == (100.0, 200.0)
