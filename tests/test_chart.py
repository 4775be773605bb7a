"""Charts: round ticks, points where the axes say, words on nothing, in every kind of file."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations, pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from seen import box_of, distance, reach

from simlab.pictures.axes import Axes, thinned
from simlab.pictures.camera import SCREEN
from simlab.pictures.chart import STILL, Curve, Panel, chart
from simlab.pictures.marks import Label, Ring, Stroke
from simlab.pictures.palette import PENS
from simlab.pictures.picture import Picture
from simlab.pictures.scale import Scale

READABLE = 34.0  # [page units]
RECT = (200.0, 100.0, 900.0, 500.0)
numbers = st.floats(-1e6, 1e6).filter(lambda x: x == 0 or abs(x) > 1e-6)


def written(text: str) -> Fraction:
    """The number that a tick says, exactly."""
    if text.startswith("$10^"):
        return Fraction(10) ** int(text[5:-2])
    return Fraction(text.replace("−", "-"))


def is_round(step: Fraction) -> bool:
    """Whether a number is 1, 2 or 5 times a power of ten."""
    while step >= 10:
        step /= 10
    while step < 1:
        step *= 10
    return step in (1, 2, 5)


@given(numbers, numbers)
def test_ticks_are_round_and_hold_all(a, b):
    """Two to six ticks, equal steps of 1, 2 or 5 times a power of ten, and all data between them."""
    low, high = min(a, b), max(a, b)
    scale = Scale.around(low, high)
    ticks = [written(tick.text) for tick in scale.ticks]
    slack = 1e-8 * max(high - low, abs(high))

    assert 2 <= len(ticks) <= 6
    assert len({b - a for a, b in pairwise(ticks)}) == 1
    assert is_round(ticks[1] - ticks[0])
    assert [float(tick) for tick in ticks] == pytest.approx([tick.value for tick in scale.ticks])
    assert scale.low <= low + slack
    assert high - slack <= scale.high


@given(st.floats(1e-3, 1e3))
def test_ticks_of_time_begin_at_nothing(last):
    """On a scale that begins before 0 and ends beyond the last moment, ticks are from 0 to that moment."""
    scale = Scale.between(-0.06 * last, 1.02 * last, 0.0, last)
    ticks = [written(tick.text) for tick in scale.ticks]

    assert ticks[0] == 0
    assert 3 <= len(ticks) <= 6
    assert is_round(ticks[1])
    assert float(ticks[-1]) <= last * (1 + 1e-8)
    assert (scale.low, scale.high) == (-0.06 * last, 1.02 * last)


@given(st.floats(-12, 3), st.floats(-12, 3))
def test_decades_are_whole(a, b):
    """Ticks of a logarithmic scale are powers of ten, at most six, equally many decades apart."""
    low, high = 10 ** min(a, b), 10 ** max(a, b)
    scale = Scale.decades(low, high)
    exponents = [round(np.log10(tick.value)) for tick in scale.ticks]

    assert [10.0**n for n in exponents] == pytest.approx([float(written(t.text)) for t in scale.ticks])
    assert len({b - a for a, b in pairwise(exponents)}) <= 1
    assert 1 <= len(exponents) <= 6
    assert scale.low <= low * (1 + 1e-6)
    assert scale.high >= high * (1 - 1e-6)


def places(marks: Sequence[object], name: str, along: int) -> tuple[list[float], list[float]]:
    """What the numbers of an axis say, and where on the page their ticks are (0: along x, 1: along y)."""
    labels = [m for m in marks if isinstance(m, Label) and m.name.startswith(f"{name} {'xy'[along]} ")]
    drawn = next(m.points for m in marks if isinstance(m, Stroke) and m.name == f"{name} axes")
    outermost = np.nanmax(drawn[:, 1]) if along == 0 else np.nanmin(drawn[:, 0])  # where ticks end
    at = drawn[drawn[:, 1 - along] == outermost][:, along]
    return [float(written(label.text)) for label in labels], at.tolist()


@pytest.mark.parametrize("logarithmic", [False, True])
def test_points_of_curves_lie_where_the_numbers_at_the_axes_say(logarithmic):
    """Read off a drawn curve by ruler between the numbers at the axes, the data come back."""
    rng = np.random.default_rng(7)
    x = np.linspace(0, 0.43, 60)
    y = 10 ** rng.uniform(-5, -1, 60) if logarithmic else rng.uniform(-3, 8, 60)
    scale = Scale.decades(y.min(), 1.0) if logarithmic else Scale.around(y.min(), y.max())
    curve = Curve("c", "", np.stack([x, y], axis=1))
    marks = Panel("p", "A way / m", "time / s", [curve], Scale.around(0, 0.43), scale).marks(RECT)
    drawn = next(m for m in marks if isinstance(m, Stroke) and m.name == "p c").points

    said, at = places(marks, "p", 0)
    assert np.interp(drawn[:, 0], at, said) == pytest.approx(x, abs=1e-9)
    said, at = places(marks, "p", 1)
    levels = np.log10(said) if logarithmic else np.array(said)
    slope = (levels[-1] - levels[0]) / (at[-1] - at[0])
    read = levels[0] + slope * (drawn[:, 1] - at[0])
    assert read == pytest.approx(np.log10(y) if logarithmic else y, abs=1e-9)


def test_a_thinned_curve_keeps_its_peaks():
    """Of ten thousand points in 600 page units few are left, the highest and the lowest among them."""
    x = np.linspace(0, 600, 10_000)
    points = np.stack([x, np.random.default_rng(1).normal(size=10_000)], axis=1)
    few = thinned(points)

    assert len(few) <= 4 * 301
    assert few[:, 1].max() == points[:, 1].max()
    assert few[:, 1].min() == points[:, 1].min()
    assert np.array_equal(few[[0, -1]], points[[0, -1]])


def test_a_lifted_pen_stays_lifted():
    """A row that is nowhere parts a curve in two, and so does what a logarithmic axis has no place for."""
    axes = Axes(RECT, Scale.around(0, 1), Scale.decades(0.01, 1))
    points = axes.to_page(np.array([[0.0, 0.1], [0.5, 0.0], [1.0, 1.0]]))

    assert np.isnan(points[1]).all()
    assert np.isnan(thinned(points)).any(axis=1).tolist() == [False, True, False]


def stroked(mark: Stroke) -> np.ndarray:
    """Points all along the lines of a mark, a page unit and a half apart."""
    found = []
    for a, b in pairwise(mark.points):
        if not np.isnan(a[0] + b[0]):
            n = 2 + int(np.hypot(*(b - a)) / 1.5)
            found.append(a + np.linspace(0, 1, n)[:, None] * (b - a))
    return np.concatenate([np.zeros((0, 2)), *found])


def faults(drawn: Picture) -> list[str]:
    """Every label on another label, on a line or a dot, off the page, or too small."""
    labels = [mark for mark in drawn.marks if isinstance(mark, Label)]
    boxes = {label.name: box_of(label, drawn.placement) for label in labels}
    found = [f"{label.name}: {label.size}" for label in labels if label.size < READABLE]
    for name, (left, top, right, bottom) in boxes.items():
        if left < 0 or top < 0 or right > drawn.page.width or bottom > drawn.page.height:
            found.append(f"{name} is off the page")
    for (one, a), (other, b) in combinations(boxes.items(), 2):
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]:
            found.append(f"{one} on {other}")
    for mark in drawn.marks:
        if isinstance(mark, Label) or not PENS[mark.role].clear:
            continue
        points = stroked(mark) if isinstance(mark, Stroke) else np.array([mark.centre])
        for name, box in boxes.items():
            if distance(points, box) < reach(mark, STILL):
                found.append(f"{name} on {mark.name}")
    return found


def noise(seed: int, kind: str) -> Panel:
    """A panel of three curves by chance: wandering, or anything anywhere."""
    rng = np.random.default_rng(seed)
    x = np.linspace(0, 1, 400)
    curves = []
    for i, role in enumerate(("curve", "second curve", "third curve")):
        y = rng.normal(size=400)
        y = y.cumsum() if kind == "wandering" else y
        points = np.stack([x, y], axis=1)
        jump = (0.0, float(y.max()), float(y[0]))
        curves.append(Curve(f"c{i}", f"force at $B$: {i}.00 N", points, role, points[::16], jump))
    every = np.concatenate([curve.points[:, 1] for curve in curves])
    y_scale = Scale.around(float(every.min()), float(every.max()))
    levels, moments = [("a level", float(every.mean()))], [("then it ends", 0.9)]
    return Panel("p", "Anything / N", "time / s", curves, Scale.around(0, 1), y_scale, levels, moments)


@pytest.mark.parametrize(("kind", "seed"), [("wandering", 0), ("wandering", 1), ("anything", 2)])
def test_words_are_on_nothing_whatever_the_data(kind, seed):
    """Four panels by chance: no words on words, lines or dots, none off the page, none too small."""
    panels = [noise(4 * seed + i, kind) for i in range(4)]
    named = [Panel(f"p{i}", *(getattr(p, f) for f in FIELDS)) for i, p in enumerate(panels)]

    assert faults(chart("Anything", named, SCREEN, under="for W = 1 N", footnotes=["One", "Two"])) == []


FIELDS = ("heading", "along", "curves", "x", "y", "levels", "moments")


def test_a_curve_and_its_dots_coincide_only_where_the_data_do():
    """Dots that were moved up by a tenth of the axis are that much higher on the page."""
    line = np.array([[0.0, 2.0], [1.0, 2.0]])
    panel = Panel(
        "p",
        "A way / m",
        "time / s",
        [Curve("c", "", line, dots=line + np.array([0.0, 1.0]))],
        Scale.around(0, 1),
        Scale.around(0, 10),
    )
    marks = panel.marks(RECT)
    dots = [mark.centre for mark in marks if isinstance(mark, Ring)]
    drawn = next(m.points for m in marks if isinstance(m, Stroke) and m.name == "p c")
    said, at = places(marks, "p", 1)
    unit = (at[-1] - at[0]) / (said[-1] - said[0])

    assert [y for _, y in dots] == pytest.approx(drawn[:, 1] + unit)


def wave() -> Panel:
    """One curve."""
    x = np.linspace(0, 1, 50)
    curve = Curve("c", "a wave", np.stack([x, np.sin(7 * x)], axis=1))
    return Panel("p", "A wave / m", "time / s", [curve], Scale.around(0, 1), Scale.around(-1, 1))


def test_a_chart_is_written_as_every_kind_of_file(tmp_path: Path):
    """SVG, PDF and PNG, the same bytes each time."""
    for name in ("a.svg", "a.pdf", "a.png"):
        one, two = (chart("Anything", [wave()], SCREEN) for _ in range(2))
        one.write(tmp_path / name)
        first = (tmp_path / name).read_bytes()
        two.write(tmp_path / name)

        assert first == (tmp_path / name).read_bytes()
        assert first[:4] in (b"<?xm", b"%PDF", b"\x89PNG")
