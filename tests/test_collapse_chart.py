"""The chart of a collapse, of every scene that has a brace."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from command_line import simlab
from equations_of_motion import EquationsOfMotion
from published.balance import Balance
from seen import SCENES
from test_chart import faults
from test_commands import KITE

from simlab.collapse import follow
from simlab.errors import BadInput
from simlab.frame.change import without
from simlab.frame.scene import read_scene
from simlab.motion.integrate import release
from simlab.pictures.collapse_chart import collapse_chart
from simlab.pictures.marks import Label, Ring, Stroke
from simlab.pictures.picture import Picture
from simlab.results import Key, Trace, in_numbers
from simlab.results.collapse import Collapse
from simlab.results.wording import CAUTION
from simlab.simulation.release import release as simulated
from simlab.statics.solution import solve

BRACED = [path.stem for path in sorted(SCENES.glob("*.toml")) if read_scene(path).brace]
SECONDS = 1.0  # of the runs: all that most of them last


@cache
def runs(name: str) -> tuple[Trace, Trace]:
    """Both roads of a scene."""
    frame = read_scene(SCENES / f"{name}.toml")
    return release(frame, duration=SECONDS), simulated(frame, duration=SECONDS, before=0.0)


def drawn(name: str, roads: tuple[Trace, Trace] | None = None) -> tuple[Picture, Collapse]:
    """The chart of a scene, and what it is drawn from."""
    frame = read_scene(SCENES / f"{name}.toml")
    statics = solve(frame)
    roads = roads or runs(name)
    both = follow(frame, frame.shown, *roads)
    before = in_numbers(statics.case.forces, statics.values)
    return collapse_chart(frame, frame.shown, roads, both, before, footnote=CAUTION), both


def words(picture: Picture) -> str:
    """All words of a chart, mathematics without its signs."""
    return "\n".join(m.text for m in picture.marks if isinstance(m, Label)).replace("$", "")


@pytest.mark.parametrize("name", BRACED)
def test_words_of_every_braced_scene_are_on_nothing(name):
    """No words on words, lines or dots, none off the page, none too small for the back row."""
    picture, both = drawn(name)

    assert faults(picture) == []
    for said in ("line: equations of motion", "dots: simulation", "the most that is allowed", CAUTION):
        assert said in words(picture)
    assert f"{both.until:.2f} s" in words(picture)


def test_the_jump_of_a_force_is_from_rest_to_the_first_instant():
    """The trestle's reaction at A, by the tests' own equations of rest and of motion."""
    frame = read_scene(SCENES / "stall_trestle.toml")
    before = Balance(frame).forces.reactions[Key("CA", "square at A", "square")].force[1]
    equations = EquationsOfMotion(without(frame, "rope"))
    after = float(equations.forces(equations.start, np.zeros_like(equations.start))["square at A"][0])
    picture, _ = drawn("stall_trestle")
    said = re.search(r"reaction at A: from\s(\S+)\sto\s(\S+)\sN", words(picture))
    ends = [m for m in picture.marks if isinstance(m, Ring) and m.role == "end"]

    assert said is not None
    assert [float(said[1]), float(said[2])] == pytest.approx([before, after], rel=0.005)  # three figures
    assert len(ends) == 2  # two forces, and each jumps


def test_dots_are_the_simulation_and_lines_the_equations_of_motion():
    """A second run that is a tenth further on at every moment has its dots off the line, and differs."""
    line, dots = runs("kite_lantern")
    both = [Ring, Stroke]
    picture, _ = drawn("kite_lantern")
    spoiled, compared = drawn("kite_lantern", (line, replace(dots, energy=1.1 * dots.energy)))

    def at(of: Picture, kind: type, start: str) -> list[object]:
        found = [m for m in of.marks if isinstance(m, kind) and m.name.startswith(start)]
        return [m.centre if isinstance(m, Ring) else m.points.tolist() for m in found]

    assert compared.agreement == "differ"
    assert "they differ" in words(spoiled)
    for kind in both:
        assert at(picture, kind, "paths L") == at(spoiled, kind, "paths L")
    assert at(picture, Stroke, "energy kinetic") == at(spoiled, Stroke, "energy kinetic")
    assert at(picture, Ring, "energy kinetic dot") != at(spoiled, Ring, "energy kinetic dot")


def test_energy_is_conserved_on_the_page():
    """The line of the total stays where it begins, to a thousandth of a page unit."""
    picture, _ = drawn("five_cane_lantern")
    total = next(m.points for m in picture.marks if m.name == "energy total")

    assert np.nanmax(np.abs(total[:, 1] - total[0, 1])) < 1e-3


def test_what_could_not_be_compared_is_not_drawn():
    """A run of five moments has no chart, and the message says why."""
    frame = read_scene(KITE)
    roads = release(frame, duration=0.005), simulated(frame, duration=0.005, before=0.0)
    statics = solve(frame)
    both = follow(frame, frame.shown, *roads)
    with pytest.raises(BadInput, match="too few to compare"):
        collapse_chart(frame, frame.shown, roads, both, in_numbers(statics.case.forces, statics.values))


def test_the_command_draws_the_chart(tmp_path):
    """check --chart means --motion too, and says where the chart is."""
    target = tmp_path / "kite.svg"
    done = simlab("check", KITE, "--chart", str(target))

    assert done.returncode == 0, done.stderr
    assert "agree on the collapse" in done.stdout
    assert f"{target}: The kite lantern" in done.stdout
    assert target.read_text().startswith("<?xml")


@pytest.mark.parametrize(
    ("scene", "name", "why"),
    [
        ("gangway", "old.png", "no chart is drawn: gangway names no brace"),
        ("kite_lantern", "old.jpg", 'pictures are written as .svg, .pdf, .png, not ".jpg"'),
        ("kite_lantern", "nowhere/old.png", "there is no folder"),
    ],
)
def test_where_there_is_no_chart_a_sentence_says_why(tmp_path, scene, name, why):
    """Exit code 2, a message, and what was there before is still there."""
    old = tmp_path / "old.png"
    old.write_text("old")
    (tmp_path / "old.jpg").write_text("old")
    done = simlab("check", SCENES / f"{scene}.toml", "--chart", str(tmp_path / name))

    assert done.returncode == 2
    assert why in " ".join(done.stderr.split())
    assert "Traceback" not in done.stderr
    assert old.read_text() == (tmp_path / "old.jpg").read_text() == "old"


def test_a_chart_is_of_one_scene(tmp_path):
    """Two scenes and one file: refused before anything is worked out."""
    done = simlab("check", KITE, SCENES / "gangway.toml", "--chart", str(tmp_path / "a.png"))

    assert done.returncode == 2
    assert "a chart is of one scene" in done.stderr
    assert done.stdout == ""
