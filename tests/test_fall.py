"""The chapters of a fall: what they draw and say beside what the run says."""

from __future__ import annotations

from copy import copy
from pathlib import Path

import numpy as np
import pytest
from seen import clashes

from simlab.film.cut import BALANCE, AtTheCut
from simlab.film.fall import LONGEST_LIVE, Fall, hops
from simlab.film.fall_set import times_of
from simlab.film.stage_set import StageSet
from simlab.film.story import Story
from simlab.frame.film_wishes import FilmWishes
from simlab.frame.scene import read_scene
from simlab.pictures.broken import breaks, shortened
from simlab.pictures.camera import Camera, Page
from simlab.pictures.energy_bar import ROLES, Shares, energy_bar
from simlab.pictures.marks import Arrow, Label, Mark, Ring, Stroke
from simlab.pictures.placement import place
from simlab.pictures.running_chart import Course, RunningChart
from simlab.results import Event, Forces, Key, Reaction
from simlab.simulation.release import hang, release
from simlab.statics.solution import solve

SCENES = Path(__file__).parent.parent / "scenes"
NAMES = ("kite_lantern", "stall_trestle", "five_cane_lantern")


def story(name: str) -> Story:
    """A story of a scene as far as a fall needs it."""
    frame = read_scene(SCENES / f"{name}.toml")
    statics = solve(frame)
    says = (statics.verdict, statics.case.freedom.rest, statics.advice)
    hanging = hang(frame, ramp=0.1, rest=0.3)
    return Story(frame, frame.shown, hanging, release(frame, duration=1.5), *says, None, (), "")


@pytest.fixture(scope="module")
def stages() -> dict[str, StageSet]:
    """Three stories on their stages."""
    return {name: StageSet(story(name), Page.of(16, 9), 30) for name in NAMES}


def arrows(marks: list[Mark]) -> dict[str, Arrow]:
    """The force arrows by name."""
    return {m.name: m for m in marks if isinstance(m, Arrow) and m.measure == "force"}


def texts(marks: list[Mark]) -> str:
    """All words."""
    return "\n".join(mark.text for mark in marks if isinstance(mark, Label))


# the cut


@pytest.mark.parametrize("rate", [1, 15, 24, 30, 60])
@pytest.mark.parametrize("before", [0.0, 0.5, 3.0])
def test_the_moment_of_the_cut_is_a_picture_and_slow_motion_begins_there(stages, rate, before):
    """Real time up to the cut, the time 0, and from there an eighth of real speed; never one picture."""
    stage = copy(stages["kite_lantern"])
    stage.rate = rate
    times = times_of(stage, before, 0.3, 2.0)
    cut = int(np.flatnonzero(times >= 0)[0])

    assert times[cut] == 0
    assert np.all(np.diff(times[: cut + 1]) <= 1.001 / rate)
    np.testing.assert_allclose(times[cut + 1] * rate, stage.slow)
    assert len(times_of(stage, before, 0.01, 2.0)) >= 2


@pytest.mark.parametrize("rate", [1, 2])
def test_a_fall_is_told_at_any_rate(stages, rate):
    """With one picture a second there is none on which a number would stand for half a second."""
    stage = stages["kite_lantern"]
    fall = Fall(StageSet(stage.story, stage.page, rate, FilmWishes(slow=1.0)))

    assert all(fall.draw(i / rate)[0] for i in range(len(fall.times)))


def test_the_jump_is_from_the_last_sample_with_the_brace_to_the_first_without(stages):
    """Dashed and full arrows are the run's forces on either side of time 0, by number of the sample."""
    stage = stages["kite_lantern"]
    trace = stage.story.falling
    assert trace is not None
    drawn = arrows(AtTheCut(stage).draw(BALANCE + 2)[0])
    first = int(np.flatnonzero(trace.time >= 0)[0])
    name = "force on LB at L by L"
    column = trace.keys.index(Key("LB", "L", "L"))

    assert "spreader" in trace.links
    assert not np.isnan(trace.tensions[first - 1, 0])
    assert np.isnan(trace.tensions[first, 0])
    assert drawn[f"{name} before"].vector == pytest.approx(tuple(trace.forces[first - 1, column, :2]))
    assert drawn[name].vector == pytest.approx(tuple(trace.forces[first, column, :2]))
    assert drawn[f"{name} before"].role == "force before"


def test_the_braces_own_force_is_gone(stages):
    """14.8 N of thrust (2 W tan theta and more: the scene's answer), then nothing, and it is said."""
    marks, _ = AtTheCut(stages["kite_lantern"]).draw(BALANCE + 2)

    assert "14.8 N → 0" in texts(marks)
    assert not [m for m in marks if m.role == "thrust" and m.opacity > 0]


def test_statics_is_said_not_to_apply(stages):
    """In words under the picture, after the jump."""
    said = " ".join(words for _, words in AtTheCut(stages["stall_trestle"]).track)

    assert "the forces balance" in said
    assert "the forces jump" in said
    assert "Statics no longer applies" in said


@pytest.mark.parametrize("shape", [(16, 9), (9, 16)])
@pytest.mark.parametrize("name", NAMES)
def test_no_words_stand_on_others(stages, name, shape):
    """At the cut before and after, in the fall at five moments."""
    stage = stages[name] if shape == (16, 9) else StageSet(stages[name].story, Page.screen(*shape), 30)
    cut, fall = AtTheCut(stage), Fall(stage)
    moments = [
        (cut, 1.0),
        (cut, cut.seconds),
        *((fall, share * fall.seconds) for share in (0, 0.2, 0.4, 0.7, 1)),
    ]
    for part, time in moments:
        marks, camera = part.draw(time)
        placement = place(marks, camera, page=stage.page, within=part.room)
        found = clashes(marks, camera, placement, stage.page)
        assert not [text for text in found if text != "caption on caption band"]


# the fall


def test_forces_are_drawn_up_to_the_first_touch_and_then_the_weights_alone(stages):
    """The kite's rods meet after 0.23 s: before, hinges have arrows of the run's forces; after, none."""
    stage = stages["kite_lantern"]
    trace = stage.story.falling
    assert trace is not None
    touch = next(event.time for event in trace.events if event.kind == "contact")
    fall = Fall(stage)
    column = trace.keys.index(Key("LB", "L", "L"))
    for share in (0.3, 0.6):
        i = int(np.searchsorted(fall.times, share * touch))
        drawn = arrows(fall.draw(i / stage.rate)[0])
        sample = int(np.abs(trace.time - fall.times[i]).argmin())
        assert drawn["force on LB at L by L"].vector == pytest.approx(
            tuple(trace.forces[sample, column, :2])
        )
    late = int(np.searchsorted(fall.times, touch)) + 1
    assert {arrow.role for arrow in arrows(fall.draw(late / stage.rate)[0]).values()} == {"weight"}


def test_no_arrow_is_longer_than_the_page_allows(stages):
    """The pentagon's hook pulls with 74 N before the rods meet: its arrow is broken, and that is said."""
    fall = Fall(stages["five_cane_lantern"])
    broken = 0
    for time in np.arange(0, fall.seconds, 0.1):
        marks, camera = fall.draw(float(time))
        for arrow in arrows(marks).values():
            assert np.hypot(*arrow.vector) * camera.per_newton <= LONGEST_LIVE * 1.001
        gaps = [mark for mark in marks if mark.role == "break gap"]
        broken += len(gaps)
        assert bool(gaps) == ("longer than it is drawn" in texts(marks))
    assert broken


def test_a_broken_arrow_keeps_its_direction_and_has_its_gap_on_it():
    """50 N along (3, 4) cut to 5 N; 30 page units long, the gap at its middle."""
    key = Key("AB", "A", "A")
    cut, names = shortened(Forces({key: Reaction((30.0, 40.0), None, (0.0, 0.0))}, {}), 5.0)
    arrow = Arrow(name="force on AB at A by A", role="hinge force", tail=(0.0, 0.0), vector=(3.0, 4.0))
    drawn = list(breaks([arrow], names, Camera((0.0, 0.0), (0.0, 0.0), 1.0, 6.0)))

    assert cut.reactions[key].force == pytest.approx((3.0, 4.0))
    assert isinstance(drawn[0], Stroke)
    assert drawn[0].points.mean(axis=0) == pytest.approx([9.0, -12.0])


def test_the_energy_bar_is_the_runs_energy(stages):
    """Shares of the drop from the start to the lowest moment shown; they are 1 together, and so wide."""
    stage = stages["stall_trestle"]
    trace = stage.story.falling
    assert trace is not None
    fall = Fall(stage)
    time = 0.4 * fall.seconds
    marks, _ = fall.draw(time)
    bars = {m.name: m.points[:, 0] for m in marks if isinstance(m, Stroke) and m.name in ROLES}
    whole = next(m.points[:, 0] for m in marks if isinstance(m, Stroke) and m.name == "energy")
    sample = int(np.abs(trace.time - fall.times[round(time * stage.rate)]).argmin())
    kinetic, potential = trace.energy[sample]
    shown = trace.time <= fall.times[-1] + 1e-3
    least = trace.energy[shown, 1].min()
    all_of_it = trace.energy[np.flatnonzero(trace.time >= 0)[0]].sum() - least

    assert np.ptp(bars["energy of height"]) / np.ptp(whole) == pytest.approx(
        (potential - least) / all_of_it, abs=1e-3
    )
    assert np.ptp(bars["energy of motion"]) / np.ptp(whole) == pytest.approx(kinetic / all_of_it, abs=1e-3)


@pytest.mark.parametrize("energies", [(0.0, 9.0), (4.0, 5.0), (3.0, 2.0), (9.1, 0.0), (0.0, 1.0)])
def test_energy_shares_sum_to_all_of_it(energies):
    """Whatever the energies are, the bar is as long as before, and its words are all there."""
    shares = Shares.of(*energies, 0.0, 9.0)
    marks = list(energy_bar(shares, (0.0, 0.0, 500.0, 200.0), True))

    assert sum(shares) == pytest.approx(1.0)
    assert min(shares) >= 0
    assert "height\nmotion\nlost in impacts and friction" in texts(marks)


def test_the_chart_draws_itself_up_to_now():
    """Points at 0, 1, 2 N; half-way the curve ends at 1 N, its dot there; past the scale it is said."""
    points = np.array([[-1.0, 5.0], [0.0, 5.0], [np.nan, np.nan], [0.0, 0.0], [1.0, 1.0], [2.0, 8.0]])
    chart = RunningChart([Course("Force", points, (5.0, 0.0))], (0, 0, 600, 400), (-1.0, 2.0), 5.0)
    half, end = chart.marks(1.0), chart.marks(2.0)
    curve = next(m for m in half if m.name == "course 0")
    dot = next(m for m in half if m.name == "now of course 0")

    assert isinstance(curve, Stroke)
    assert isinstance(dot, Ring)
    assert dot.centre == pytest.approx(tuple(curve.points[-1]))
    left, top, right, bottom = chart.axes.rect
    assert dot.centre == pytest.approx(
        (left + (right - left) * 2 / 3, bottom - (bottom - top) / chart.axes.y.high)
    )
    assert "off the scale" not in texts(half)
    assert "off the scale" in texts(end)
    assert "$F$ / N" in texts(half)
    assert "$t$ / s" in texts(half)


def test_an_edition_without_answers_tells_no_force(stages):
    """Neither the brace's force before the cut, nor a chart of it, nor a number."""
    one = stages["kite_lantern"].story
    fall = Fall(StageSet(one, Page.of(16, 9), 30, FilmWishes(answers=False)))
    before, later = (fall.draw(time)[0] for time in (0.2, 2.0))

    assert not [m for m in before if m.role in ("thrust", "hinge force") and m.opacity > 0]
    assert " N" not in texts([m for m in later if m.name != "words of scale bar"])


def test_a_hop_of_a_foot_is_not_told_but_a_foot_that_stays_up_is():
    """Down again within a third of a second: nobody has seen it lift."""
    up = [Event(0.44, "lifted", "quay at A"), Event(0.2, "lifted", "quay at B")]
    down = [Event(0.56, "contact", "quay at A"), Event(0.9, "contact", "quay at B")]

    assert hops([*up, *down]) == {up[0], down[0]}
