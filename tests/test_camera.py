"""Metres and newtons on the page."""

from __future__ import annotations

import numpy as np
import pytest

from simlab.pictures.camera import SCREEN, Camera, Page


def test_up_in_the_frame_is_up_on_the_page():
    """A higher point of the frame has a smaller y on the page, and an upward force points that way."""
    camera = Camera((1.0, 2.0), (960.0, 540.0), 100.0, 5.0)
    low, high = camera.to_page(np.array([[1.0, 2.0], [1.0, 3.0]]))

    assert low.tolist() == [960.0, 540.0]
    assert high.tolist() == [960.0, 440.0]
    assert camera.arrow((0.0, 2.0)) == (0.0, -10.0)
    assert camera.point((1.0, 3.0)) == tuple(high)


def test_to_frame_undoes_to_page():
    """There and back is the same point."""
    camera = Camera((0.3, -0.7), (600.0, 500.0), 321.0)
    points = np.random.default_rng(4).normal(size=(50, 2))

    assert camera.to_frame(camera.to_page(points)) == pytest.approx(points, abs=1e-12)


@pytest.mark.parametrize("bounds", [(0, 0, 4, 1), (-1, -3, 0, 5), (2, 2, 2, 6), (1, 1, 1, 1)])
def test_fit_shows_all_and_touches_two_sides(bounds):
    """The bounds lie inside the rectangle and fill it one way, unless they are one point."""
    left, bottom, right, top = bounds
    corners = Camera.fit(bounds, (100, 50, 900, 650)).to_page(
        np.array([[left, bottom], [right, top]], float)
    )
    (x0, y1), (x1, y0) = corners

    assert x0 >= 100 - 1e-9
    assert x1 <= 900 + 1e-9
    assert y0 >= 50 - 1e-9
    assert y1 <= 650 + 1e-9
    if right > left or top > bottom:
        assert x1 - x0 == pytest.approx(800) or y1 - y0 == pytest.approx(600)


def test_a_camera_travels_from_one_view_to_another():
    """At 0 and 1 the ends; half way the scale is the geometric mean, so that zooming looks steady."""
    a, b = Camera((0, 0), (0, 0), 100.0, 1.0), Camera((2, 4), (10, 20), 400.0, 3.0)

    assert a.towards(b, 0.0) == a
    assert a.towards(b, 1.0) == b
    assert a.towards(b, 0.5) == Camera((1, 2), (5, 10), pytest.approx(200.0), 2.0)


def test_every_page_of_one_shape_has_the_same_units():
    """A layout made for 1920 x 1080 holds for 1280 x 720."""
    assert Page.of(1920, 1080) == Page.of(1280, 720) == SCREEN
    assert (SCREEN.width, SCREEN.height) == (1920.0, 1080.0)
