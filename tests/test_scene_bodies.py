"""Plates, discs and rods of a scene: weight, centre, radius of gyration."""

from __future__ import annotations

import math

import numpy as np
import pytest
import sympy as sp
from scipy.integrate import dblquad, quad
from scipy.spatial import ConvexHull, Delaunay

from simlab.errors import SceneError
from simlab.frame.scene import parse_scene

HEAD = """
title = "t"
question = "q"
source = "our own"
[symbols]
W = { meaning = "a weight", shown = "5 N" }
a = { meaning = "a length", shown = "1 m" }
[points]
O = ["0", "0"]
A = ["a", "0"]
B = ["a", "a"]
C = ["0", "a"]
D = ["0", "2*a"]
E = ["2*a", "0"]
M = { middle = ["O", "E"] }
[supports]
hook = { kind = "hook", at = "O" }
"""


def body(table: str, keys: str, more: str = ""):
    """The one body of a scene with these keys."""
    return parse_scene(f"{HEAD}[{table}]\nbody = {{ {keys} }}\n{more}").bodies["body"]


def numbers(body) -> tuple[float, float, float]:
    """Centre and square of the radius of gyration, for a = 1."""
    values = [float(q.expr.subs("a", 1).subs(sp.Symbol("a", positive=True), 1)) for q in body.centre]
    gyration2 = float(body.gyration2.expr.subs(sp.Symbol("a", positive=True), 1))
    return values[0], values[1], gyration2


# Centroids: common practice (any handbook of mechanics), with a = 1: triangle, the mean of its corners;
# half disc 4r/(3 pi), half ring 2r/pi from the diameter. An L of a square and half a square by hand.
CENTRES = {
    'lamina = ["O", "A", "C"], weight = "W"': (1 / 3, 1 / 3),
    'lamina = ["O", "C", "A"], weight = "W"': (1 / 3, 1 / 3),
    'lamina = ["O", "A", "B", "C"], weight = "W"': (1 / 2, 1 / 2),
    'lamina = ["A", "O", "C", "B"], weight = "W"': (1 / 2, 1 / 2),
    'half_disc = ["O", "E"], side = "up", weight = "W"': (1, 4 / (3 * math.pi)),
    'half_disc = ["E", "O"], side = "down", weight = "W"': (1, -4 / (3 * math.pi)),
    'half_ring = ["O", "E"], side = "up", weight = "W"': (1, 2 / math.pi),
    'half_ring = ["O", "D"], side = "left", weight = "W"': (-2 / math.pi, 1),
    'wire = ["D", "O", "E"], weight = "W"': (1 / 2, 1 / 2),
    'wire = ["A", "O", "D"], weight = "W"': (1 / 6, 2 / 3),
    'pieces = [{ lamina = ["O", "A", "C"], weight = "W" }, { particle = "A", weight = "2*W" }]': (
        7 / 9,
        1 / 9,
    ),
    'pieces = [{ wire = ["O", "D"] }, { half_ring = ["O", "E"], side = "down" }], weight = "W"': (
        math.pi / (2 + math.pi),
        0,
    ),
}


@pytest.mark.parametrize("keys", CENTRES)
def test_centres_of_uniform_plates_are_the_handbooks(keys):
    """Sheets either way round, bent wires, half discs and half rings, and pieces joined."""
    x, y, _ = numbers(body("plates", keys))

    assert x == pytest.approx(CENTRES[keys][0], abs=1e-12)
    assert y == pytest.approx(CENTRES[keys][1], abs=1e-12)


def test_the_centre_of_any_polygon_is_that_of_its_triangles():
    """Random convex polygons, against the area-weighted triangles of scipy's Delaunay."""
    rng = np.random.default_rng(3)
    for _ in range(5):
        cloud = rng.integers(-50, 50, size=(9, 2))
        corners = cloud[ConvexHull(cloud).vertices]
        triangles = corners[Delaunay(corners).simplices].astype(float)
        sides = triangles[:, 1:] - triangles[:, :1]
        areas = np.abs(sides[:, 0, 0] * sides[:, 1, 1] - sides[:, 0, 1] * sides[:, 1, 0]) / 2
        expected = (areas[:, None] * triangles.mean(axis=1)).sum(axis=0) / areas.sum()
        points = "\n".join(f'P{i} = ["{x} m", "{y} m"]' for i, (x, y) in enumerate(corners))
        names = ", ".join(f'"P{i}"' for i in range(len(corners)))
        text = HEAD.replace("[supports]", points + "\n[supports]").replace('at = "O"', 'at = "P0"')
        plate = parse_scene(f'{text}[plates]\nbody = {{ lamina = [{names}], weight = "W" }}').bodies["body"]

        assert [float(q.expr) for q in plate.centre] == pytest.approx(list(expected), abs=1e-9)


def _over(x_ends, y_of, centre):
    """The mean square distance from `centre` over the region 0 < y < y_of(x), by scipy."""
    area = dblquad(lambda y, x: 1.0, *x_ends, 0, y_of)[0]
    second = dblquad(lambda y, x: (x - centre[0]) ** 2 + (y - centre[1]) ** 2, *x_ends, 0, y_of)[0]
    return second / area


@pytest.mark.parametrize(
    ("keys", "y_of", "x_end"),
    [
        ('lamina = ["O", "A", "C"], weight = "W"', lambda x: 1 - x, 1),
        ('lamina = ["O", "A", "B", "C"], weight = "W"', lambda x: 1.0, 1),
        ('lamina = ["E", "B", "D", "O"], weight = "W"', lambda x: 2 - x, 2),
        ('half_disc = ["O", "E"], side = "up", weight = "W"', lambda x: math.sqrt(max(0, x * (2 - x))), 2),
    ],
)
def test_radii_of_gyration_of_sheets_are_those_of_numerical_integration(keys, y_of, x_end):
    """The mean square distance from the centre (scipy's dblquad)."""
    x, y, gyration2 = numbers(body("plates", keys))

    assert gyration2 == pytest.approx(_over((0, x_end), y_of, (x, y)), rel=1e-6)


def test_the_radius_of_gyration_of_a_half_ring_is_that_of_numerical_integration():
    """The mean square distance of its wire from its centre (scipy's quad)."""
    x, y, gyration2 = numbers(body("plates", 'half_ring = ["O", "E"], side = "up", weight = "W"'))
    second = quad(lambda t: (1 + math.cos(t) - x) ** 2 + (math.sin(t) - y) ** 2, 0, math.pi)[0] / math.pi

    assert gyration2 == pytest.approx(second, rel=1e-9)


@pytest.mark.parametrize("square", ['"O", "A", "B", "C"', '"C", "B", "A", "O"'])
def test_a_hole_takes_its_share_away(square):
    """A disc of radius 1/4 cut from the unit square about (1/4, 1/2), by the areas (school method)."""
    text = HEAD.replace("[supports]", 'H = ["a/4", "a/2"]\n[supports]')
    keys = f'pieces = [{{ lamina = [{square}] }}, {{ disc = "H", radius = "a/4", hole = true }}]'
    plate = parse_scene(f'{text}[plates]\nbody = {{ {keys}, weight = "W" }}').bodies["body"]
    hole = math.pi / 16
    x, y, _ = numbers(plate)

    assert x == pytest.approx((0.5 - hole / 4) / (1 - hole), abs=1e-12)
    assert y == pytest.approx(0.5, abs=1e-12)


@pytest.mark.parametrize("triangle", ['"O", "A", "C"', '"O", "C", "A"'])
@pytest.mark.parametrize("square", ['"O", "C", "B", "A"', '"A", "B", "C", "O"'])
def test_sheets_named_either_way_round_weigh_by_their_areas(square, triangle):
    """The unit square and half of it once more, at (1/3, 1/3): (1/2 + 1/6)/(3/2) (school method)."""
    keys = f'pieces = [{{ lamina = [{square}] }}, {{ lamina = [{triangle}] }}], weight = "W"'
    x, y, _ = numbers(body("plates", keys))

    assert (x, y) == pytest.approx((4 / 9, 4 / 9), abs=1e-12)


def test_a_bent_wire_is_drawn_along_and_back():
    """Its closed outline encloses nothing: A, B, C, B."""
    plate = body("plates", 'wire = ["D", "O", "E"], weight = "W"')

    assert [(str(x), str(y)) for x, y in plate.outline] == [
        ("0", "2*a"),
        ("0", "0"),
        ("2*a", "0"),
        ("0", "0"),
    ]


def test_pieces_are_weighed_one_by_one_or_together():
    """The whole weight is the sum of the pieces', or stated for all of them."""
    each = 'pieces = [{ wire = ["O", "E"], weight = "W" }, { wire = ["O", "D"], mass = "1 kg" }]'

    assert "W + 49/5" == str(body("plates", each).weight)
    assert "2*W" == str(body("plates", 'pieces = [{ wire = ["O", "E"] }], weight = "2*W"').weight)


def test_a_disc_has_its_radius_and_half_its_square_for_gyration():
    """k^2 = r^2/2 of a uniform disc (common practice, any handbook)."""
    disc = body("discs", 'centre = "A", radius = "a", weight = "W", through = ["O"]')

    assert ("disc", "a", "a**2/2") == (disc.kind, str(disc.radius), str(disc.gyration2))
    assert ["A", "O"] == list(disc.points)


def test_the_centre_of_a_rod_may_be_a_length_to_be_found():
    """From its first end, as a textbook's AG = x."""
    text = HEAD.replace("[points]", 'x = { meaning = "AG", between = ["0 m", "2*a"] }\n[points]')
    rod = parse_scene(
        f'{text}[rods]\nbody = {{ ends = ["O", "E"], weight = "W", centre_at = "x" }}'
    ).bodies["body"]

    assert "x" == str(rod.centre[0])
    assert rod.gyration2 is None


BAD = {
    ("plates", 'lamina = ["O", "A"], weight = "W"'): "three corners",
    ("plates", 'lamina = ["O", "A", "C", "B"], weight = "W"'): "name them in order",
    ("plates", 'lamina = ["O", "A", "E"], weight = "W"'): "name them in order",
    ("plates", 'lamina = ["O", "A", "B"], wire = ["O", "A"], weight = "W"'): "give one shape",
    ("plates", 'lamina = ["O", "A", "B"]'): "give one of weight",
    ("plates", 'half_disc = ["O", "E"], weight = "W"'): "on which side",
    ("plates", 'half_disc = ["O", "E"], side = "left", weight = "W"'): "the line runs left itself",
    ("plates", 'points = ["O", "E"], weight = "W"'): "where is its centre of mass",
    ("plates", 'pieces = [{ disc = "O" }], weight = "W"'): "radius",
    ("plates", 'pieces = [{ wire = ["O", "A"], weight = "W" }], weight = "W"'): "needs none of its own",
    (
        "plates",
        'pieces = [{ wire = ["O", "E"] }, { disc = "O", radius = "a" }], weight = "W"',
    ): "all sheets",
    ("discs", 'centre = "A", radius = "-a", weight = "W"'): "must be above 0",
    ("discs", 'centre = "A", radius = "a/2", weight = "W", through = ["O"]'): "O is not within it",
    ("rods", 'ends = ["O", "E"], weight = "W", centre = "M", centre_at = "a"'): "not both",
}


@pytest.mark.parametrize("case", BAD, ids=lambda case: case[1])
def test_bad_bodies_say_what_is_wrong(case):
    """The message names table and body, what came, and what to do."""
    with pytest.raises(SceneError) as caught:
        body(*case)

    assert f"[{case[0]}] body" in str(caught.value)
    assert BAD[case] in str(caught.value)
