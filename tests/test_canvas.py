"""Marks to pixels."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from simlab.pictures.camera import Camera, Page
from simlab.pictures.canvas import PHASES, WORTH_KEEPING, Canvas
from simlab.pictures.marks import Arrow, Label, Ring, Stroke
from simlab.pictures.palette import PAPER, rgb

STILL = Camera((0.0, 0.0), (0.0, 0.0), 1.0)
GROUND = np.array([round(255 * c) for c in rgb(PAPER)])


def ink(pixels: np.ndarray) -> np.ndarray:
    """How much each pixel differs from bare paper, shape (height, width), 0 to 1."""
    return np.abs(pixels[..., :3].astype(float) - GROUND).sum(axis=2) / GROUND.sum()


def middle(weights: np.ndarray) -> np.ndarray:
    """The centre (x, y) of what is drawn [px]; a pixel's own centre is at its half."""
    y, x = np.indices(weights.shape) + 0.5
    return np.array([(x * weights).sum(), (y * weights).sum()]) / weights.sum()


@pytest.mark.parametrize("offset", [(0.0, 0.0), (0.25, 0.0), (0.1, 0.7), (0.5, 0.5), (0.93, 0.31)])
def test_marks_are_drawn_to_a_fraction_of_a_pixel(offset):
    """A dot moved by a fraction of a pixel is drawn moved by that fraction."""
    canvas = Canvas(1920, 1080)
    centre = (300 + offset[0], 200 + offset[1])
    dot = Ring(name="dot", role="small hinge", space="page", centre=centre, radius=12.0)

    assert middle(ink(canvas.draw([dot], STILL))) == pytest.approx(centre, abs=0.02)


def test_a_rod_is_as_thick_at_every_angle():
    """The area of a turning rod stays the same to 1 %: thickness does not depend on direction."""
    canvas = Canvas(1920, 1080)
    areas = []
    for angle in np.linspace(0, np.pi, 13):
        way = 200 * np.array([np.cos(angle), np.sin(angle)])
        rod = Stroke(name="rod", role="string", space="page", points=500 + np.array([-way, way]))
        areas.append(ink(canvas.draw([rod], STILL)).sum())

    assert np.ptp(areas) < 0.01 * np.mean(areas)


def test_a_bar_has_the_width_it_was_given():
    """A rod 100 units wide and 300 long covers a rectangle, two half discs, half its outline."""
    canvas = Canvas(1920, 1080)
    points = np.array([[400.0, 500.0], [700.0, 500.0]])
    pixels = canvas.draw([Stroke(name="rod", role="rod", space="page", points=points, width=100.0)], STILL)
    covered = (ink(pixels) > 0.04).sum()

    wide = 100.0 + 3.5  # the outline is 3.5 wide and half of it lies outside
    assert covered == pytest.approx(300 * wide + np.pi * wide**2 / 4, rel=0.01)


@pytest.mark.parametrize("size", [(1920, 1080), (1280, 720), (640, 360)])
def test_the_same_layout_at_every_size(size):
    """A dot is at the same place of the page whatever the number of pixels."""
    canvas = Canvas(*size)
    pixels = canvas.draw(
        [Ring(name="dot", role="small hinge", space="page", centre=(960.0, 270.0), radius=20.0)], STILL
    )

    assert pixels.shape == (size[1], size[0], 4)
    assert pixels.dtype == np.uint8
    assert (pixels[..., 3] == 255).all()
    assert middle(ink(pixels)) == pytest.approx((size[0] / 2, size[1] / 4), abs=0.02)
    assert canvas.to_page((size[0] / 2, size[1] / 4)) == pytest.approx((960.0, 270.0))


def test_an_arrow_reaches_from_its_tail_to_its_tip():
    """A force of 20 N at 10 units a newton is 200 units long, upwards from its tail."""
    camera = Camera((0.0, 0.0), (960.0, 540.0), 100.0, per_newton=10.0)
    arrow = Arrow(name="W", role="weight", tail=(0.0, 0.0), vector=(0.0, 20.0))
    rows = np.flatnonzero(ink(Canvas(1920, 1080).draw([arrow], camera)).sum(axis=1) > 0.05)

    assert rows.min() == pytest.approx(340, abs=3)
    assert rows.max() == pytest.approx(540, abs=3)


def test_equal_marks_give_equal_pixels():
    """Two canvases, the same marks: the same bytes."""
    marks = [
        Label(
            name="a", role="weight", space="page", anchor=(300.3, 200.2), text="$\\frac{5}{2}W$", size=44.0
        )
    ]

    assert Canvas(640, 360).draw(marks, STILL).tobytes() == Canvas(640, 360).draw(marks, STILL).tobytes()


def test_a_kept_label_looks_like_a_drawn_one():
    """A label that comes again is put there as a small picture, in the same place to 1/32 pixel."""
    canvas = Canvas(1920, 1080)
    label = Label(
        name="a", role="weight", space="page", anchor=(301.37, 200.61), text="$\\frac{5}{2}W$ N", size=44.0
    )
    drawn = ink(canvas.draw([label], STILL))
    for _ in range(WORTH_KEEPING):
        canvas.draw([], STILL)
        kept = ink(canvas.draw([label], STILL))

    assert (kept != drawn).any()
    assert middle(kept) == pytest.approx(middle(drawn), abs=0.5 / PHASES + 0.01)
    assert kept.sum() == pytest.approx(drawn.sum(), rel=0.01)


@pytest.mark.parametrize("opacity", [0.5, 0.1, 0.02])
def test_a_kept_label_fades_as_a_drawn_one(opacity):
    """A label that stands still while it fades is as faint when it is put there as a small picture."""
    canvas = Canvas(160, 90, Page(160, 90))
    word = Label(name="a", role="text", space="page", anchor=(20.0, 60.0), text="$L$ M", size=40.0)
    whole = ink(canvas.draw([word], STILL)).sum()
    faint = [
        ink(canvas.draw([replace(word, opacity=opacity)], STILL)).sum() for _ in range(WORTH_KEEPING + 2)
    ]

    assert faint == pytest.approx([whole * opacity] * len(faint), rel=0.2)  # to whole levels of 255


def test_a_label_that_glides_slowly_does_not_stutter():
    """Less than a twentieth of a pixel a picture, to and fro over the same places: never off by 0.08 px."""
    canvas = Canvas(160, 90, Page(160, 90))
    still = Label(name="a", role="name", space="page", anchor=(60.0, 50.0), text="$L$", size=30.0)
    home = middle(ink(canvas.draw([still], STILL)))
    ways = np.array([(0.04 * (k % 25), 0.023 * (k % 25)) for k in range(200)])
    places = [
        middle(ink(canvas.draw([replace(still, anchor=(60.0 + x, 50.0 + y))], STILL))) for x, y in ways
    ]

    assert np.abs(np.array(places) - home - ways).max() < 0.08


def test_opacity_fades_everything():
    """At half opacity there is half the ink; at none, none."""
    canvas = Canvas(640, 360)

    def amount(opacity: float) -> float:
        dot = Ring(
            name="d", role="small hinge", space="page", centre=(300.0, 300.0), radius=60.0, opacity=opacity
        )
        return float(ink(canvas.draw([dot], STILL)).sum())

    assert amount(0.5) == pytest.approx(0.5 * amount(1.0), rel=0.05)
    assert amount(0.0) == 0


def test_a_picture_can_lie_under_another():
    """What was drawn before shows where nothing new is drawn."""
    canvas = Canvas(640, 360)
    first = Ring(name="a", role="small hinge", space="page", centre=(200.0, 200.0), radius=50.0)
    second = Ring(name="b", role="small hinge", space="page", centre=(900.0, 200.0), radius=50.0)
    under = canvas.draw([first], STILL).copy()
    both = canvas.draw([second], STILL, under=under).copy()

    assert (both == canvas.draw([first, second], STILL)).all()


def test_pages_of_other_shapes():
    """A4 is 1080 units high as well, and 1527 wide."""
    assert Page.of(297, 210).width == pytest.approx(1527.43, abs=0.01)
    assert Canvas(1527, 1080).draw([], STILL).shape == (1080, 1527, 4)
