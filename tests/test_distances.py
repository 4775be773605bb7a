"""Distances that a question gives, found in its words and in its points."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from seen import SCENES

from simlab.frame.scene import read_scene
from simlab.pictures.angles import given_angles
from simlab.pictures.dimensions import dimensions
from simlab.pictures.distances import given_distances
from simlab.pictures.marks import Label, Stroke
from simlab.pictures.mentions import lengths_in
from simlab.pictures.plan import Plan

PICTURED = Path(__file__).parent / "pictured"


def plan_of(name: str) -> Plan:
    """The plan of a scene of ours, or of one made for these tests."""
    path = SCENES / f"{name}.toml"
    return Plan.of(read_scene(path if path.exists() else PICTURED / f"{name}.toml"))


# Expected: read off the questions by hand.
@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("banner_bracket", {("EP", "2 m", ""), ("PS", "1.6 m", ""), ("PZ", "1.2 m", "upright")}),
        ("gangway", {("AB", "$h$", "upright"), ("AC", "$3h$", "upright")}),
        ("loaded_gangplank", {("AB", "5 m", ""), ("AD", "2 m", ""), ("AC", "3 m", "")}),
        ("net_loft_ladder", {("BD", "$l/2$", "")}),
        ("sign_bracket", {("AB", "$2a$", ""), ("BC", "$a$", ""), ("AD", "$a$", "")}),
    ],
)
def test_each_distance_is_between_the_points_that_the_question_means(name, expected):
    """Two points, the words for their distance, and whether it is level or upright."""
    found = {("".join(sorted(d.points)), d.text, d.measured) for d in given_distances(plan_of(name))}

    assert expected <= found
    if name == "gangway":  # and the same level distance on either side
        assert {d for d in found if d[2] == "level"} == {("AC", "$4h$", "level"), ("BC", "$4h$", "level")}


def test_a_line_is_as_long_as_its_distance():
    """The bracket's line for 1.6 m is 1.6 m long between its ticks."""
    marks = {m.name: m for m in dimensions(plan_of("banner_bracket"), 0.002)}
    line = marks["line of distance of P-S"]

    assert isinstance(line, Stroke)
    assert np.hypot(*(line.points[4] - line.points[3])) == pytest.approx(1.6)


def test_what_follows_from_the_question_is_not_given_away():
    """The gangway's plank is 5h long (3-4-5), which the question leaves to the class."""
    labels = {m.text for m in dimensions(plan_of("gangway"), 0.004) if isinstance(m, Label)}

    assert "$5h$" not in labels
    assert "$3h$" in labels


def test_numbers_with_other_units_are_no_lengths():
    """Of "mass 6 kg", "length 2 m", "g = 9.8 m/s²" only the length is one."""
    frame = plan_of("banner_bracket").frame

    assert [m.multiple for m in lengths_in(frame)] == [Fraction(2), Fraction("1.6"), Fraction("1.2")]


def test_radii_are_drawn_from_the_centre():
    """The cask's radius r and the kettle's radius a are lines from centre to rim."""
    for name, centre, letter in (("cask_on_slip", "O", "$r$"), ("ladle_in_kettle", "O", "$a$")):
        plan = plan_of(name)
        marks = list(dimensions(plan, 0.001))
        (line,) = (m for m in marks if isinstance(m, Stroke) and "radius" in m.name)
        start, end = line.points

        assert start == pytest.approx(plan.points[centre])
        assert letter in {m.text for m in marks if isinstance(m, Label)}
        assert np.hypot(*(end - start)) == pytest.approx({"$r$": 0.4, "$a$": 0.1}[letter])


def test_slopes_forces_and_degrees_have_their_angles():
    """The slip's alpha, the 30 degrees of a pull, the 50 degrees of a jib, each on its own part."""
    assert {(a.symbol, a.rod) for a in given_angles(plan_of("cask_on_slip"))} == {("alpha", "slip")}
    assert {(a.text, a.rod) for a in given_angles(plan_of("pennant_board"))} == {(r"$30^{\circ}$", "pull")}
    assert {(a.text, a.rod) for a in given_angles(plan_of("quay_crane"))} == {(r"$50^{\circ}$", "jib")}
