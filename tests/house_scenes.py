"""Every scene of the repository reads, solves, settles, agrees, and is drawn."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from solved import at_rest, found, scene

from simlab.commands.shapes import as_asked
from simlab.comparison import compare, probes
from simlab.pictures.picture import picture
from simlab.results import Trace, in_numbers
from simlab.simulation.release import hang, release
from simlab.simulation.settle import settle
from simlab.statics.second_road import second_road
from simlab.statics.solution import solve

SCENES = sorted((Path(__file__).parent.parent / "scenes").glob("*.toml"))
TO_REACH = 1e-9  # largest difference, as a share of the largest force (the design's accuracy)


@pytest.fixture(params=SCENES, ids=lambda path: path.stem)
def path(request):
    """Each scene's file."""
    return request.param


@pytest.fixture
def frame(path):
    """Each scene's frame."""
    return scene(path)


@pytest.fixture
def settled(path):
    """Each scene's frame as it rests."""
    return at_rest(path)


def test_there_are_six_scenes_two_of_them_with_a_free_angle():
    """At least two answers keep an angle."""
    assert 6 <= len(SCENES)
    free = [
        path.stem
        for path in SCENES
        for frame in [scene(path)]
        if not frame.found
        if any(frame.symbols[n].is_angle for q in solve(frame).answers.values() for n in q.names)
    ]
    assert 2 <= len(free)


def test_the_two_exact_roads_agree(path):
    """Virtual work gives every tension, and every shape, that the balances give."""
    findings = found(path)

    assert findings.shapes
    for state in findings.shapes:
        assert state.verdict == "determined", state.advice
        assert all(second_road(findings.frame, state).values())


def test_both_roads_agree_at_three_sets_of_values(settled):
    """Every component of every reaction, at the values shown and at two more."""
    statics = solve(settled)
    for values in probes(settled):
        comparison = compare(statics, settle(settled, values))

        assert "agree" == comparison.agreement, comparison.advice
        assert comparison.largest < TO_REACH


def test_a_reading_is_the_same_bit_for_bit(settled):
    """Settled twice, the same forces in every bit."""
    assert settle(settled).forces == settle(settled).forces


def test_a_run_is_the_same_bit_for_bit(settled):
    """Released twice (hung twice, if there is no brace), the same hash of everything recorded."""

    def run() -> Trace:
        return release(settled, duration=1.0) if settled.brace else hang(settled, ramp=0.5, rest=0.5)

    assert run().hash == run().hash


def test_the_frame_is_drawn_with_its_data_and_with_its_forces(path, frame):
    """Both pictures are there, as SVG that names the frame."""
    statics = found(path).shapes[0]
    forces = in_numbers(statics.case.forces, statics.values)
    for drawn in (picture(as_asked(frame)), picture(statics.frame, forces=forces)):
        assert frame.title in drawn.svg()


def test_the_scene_says_where_it_comes_from(frame):
    """Each scene names its source, and asks something."""
    assert frame.source
    assert frame.asked


def test_no_two_scenes_have_the_same_title():
    """Titles tell scenes apart."""
    titles = [re.search(r'title = "(.*)"', path.read_text())[1] for path in SCENES]

    assert len(set(titles)) == len(titles)
