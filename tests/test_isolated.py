"""Parts of a frame drawn alone: before, blank, after, arms, and the whole moved apart."""

from __future__ import annotations

import io
import xml.etree.ElementTree as ET
from itertools import combinations

import numpy as np
import pytest
from hand_parts import ByHand, moments
from PIL import Image
from seen import SCENES, lines_of
from small_frames import frame, stepladder

from simlab.frame.model import Frame
from simlab.frame.scene import read_scene
from simlab.pictures.arm_lines import arms
from simlab.pictures.given_loads import LONGER
from simlab.pictures.isolated import LARGEST, after, before, blank, scale_of
from simlab.pictures.marks import Arrow, Label, Ring, Stroke
from simlab.pictures.picture import Picture
from simlab.pictures.separated import separated
from simlab.results.working import Part

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def trestle() -> tuple[Frame, ByHand]:
    """The trestle of the market stall."""
    scene = read_scene(SCENES / "stall_trestle.toml")
    return scene, ByHand(scene)


def arrows(picture: Picture) -> dict[str, Arrow]:
    """The arrows of forces by name."""
    words = {m.name.removeprefix("words of ") for m in picture.marks if isinstance(m, Label)}
    shown = [m for m in picture.marks if isinstance(m, Arrow) and m.space == "frame"]
    return {m.name: m for m in shown if m.name in words}


def texts(picture: Picture) -> set[str]:
    """The words of all labels."""
    return {m.text for m in picture.marks if isinstance(m, Label)}


def ends(arrow: Arrow, picture: Picture) -> tuple[np.ndarray, np.ndarray]:
    """Tail and tip of an arrow on the page."""
    line = next(iter(lines_of(arrow, picture.camera)))
    return line[0], line[-1]


def off_line(part: Part, arrow: Arrow, action_at: np.ndarray, picture: Picture) -> float:
    """How far a point [m] is from the line of an arrow [page units]."""
    tail, tip = ends(arrow, picture)
    along = (tip - tail) / np.hypot(*(tip - tail))
    out = picture.camera.to_page(action_at) - tail
    return abs(float(out[0] * along[1] - out[1] * along[0]))


def crossed() -> Frame:
    """Two rods hinged to each other in the middle, as scissors, kept open by a rope."""
    points = {"A": (0.0, 0.0), "B": (2.0, 0.2), "M": (1.0, 0.6), "C": (2.0, 1.2), "D": (0.0, 1.0)}
    rods = {"AC": ("ACM", 10.0), "BD": ("BDM", 10.0)}
    return frame(points, rods, {"rope": ("string", "AB")}, hooks="D")


# before


def test_only_the_part_is_drawn(trestle):
    """Of CB alone: its rod and points, not the other leg, the rope or the square."""
    scene, hand = trestle
    names = {mark.name for mark in before(scene, scene.shown, hand.part("CB")).marks}

    assert {"CB", "name C", "name V", "name B", "centre of CB"} <= names
    assert not {"CA", "name A", "name U", "rope", "lanterns"} & names
    assert not any("square at" in name and name.startswith(("stone", "ground")) for name in names)


def test_members_wholly_inside_are_drawn_and_others_are_forces(trestle):
    """The rope is drawn in the whole trestle, and is a tension on one leg."""
    scene, hand = trestle
    whole = before(scene, scene.shown, hand.part("CA", "CB"))
    leg = before(scene, scene.shown, hand.part("CB"))

    assert "rope" in {mark.name for mark in whole.marks}
    assert not any(arrow.role == "tension" for arrow in arrows(whole).values())
    assert sum(arrow.role == "tension" for arrow in arrows(leg).values()) == 1


def test_unknowns_have_one_length_and_their_assumed_senses(trestle):
    """Every unknown's arrow is as long as every other, along its action's way, on its line of action."""
    scene, hand = trestle
    part = hand.part("CB")
    picture = before(scene, scene.shown, part)
    drawn = list(arrows(picture).values())
    for action in part.actions:
        way = np.array([v.number(scene.shown) for v in action.way])
        at = np.array([v.number(scene.shown) for v in action.at])
        fitting = [a for a in drawn if np.allclose(np.array(a.vector) / np.hypot(*a.vector), way)]
        assert any(off_line(part, arrow, at, picture) < 1e-6 for arrow in fitting)
    unknown = [arrow for arrow in drawn if arrow.role != "weight"]
    lengths = [float(np.hypot(*np.subtract(*ends(arrow, picture)))) for arrow in unknown]

    assert len(unknown) == 4
    assert lengths == pytest.approx([LONGER] * 4)


def test_a_contact_pushes_and_a_string_pulls(trestle):
    """The floor's arrow has its tip at the foot, the rope's its tail at V."""
    scene, hand = trestle
    picture = before(scene, scene.shown, hand.part("CB"))
    floor = next(a for a in arrows(picture).values() if a.role == "support force")
    rope = next(a for a in arrows(picture).values() if a.role == "tension")
    foot, v = (
        picture.camera.to_page(np.array([q.number(scene.shown) for q in scene.points[p]])) for p in "BV"
    )

    assert np.hypot(*(ends(floor, picture)[1] - foot)) < 20  # the rod is 24 thick
    assert np.hypot(*(ends(rope, picture)[0] - v)) < 1


def test_letters_weights_angles_and_lengths_are_said(trestle):
    """Letters of the unknowns, W, the angle and the lengths that the question gives of this leg."""
    scene, hand = trestle
    said = texts(before(scene, scene.shown, hand.part("CB")))

    assert {"$X_{C}$", "$Y_{C}$", "$T_{1}$", "$N_{2}$", "$W$", r"$\theta$", "$5a$", "$2a$"} <= said
    assert "arrows not to scale" in said


def test_the_angle_of_a_string_is_shown_at_its_arrow():
    """The sign alone has no rod at theta: the angle stands at the tension, from the level at B."""
    scene = read_scene(SCENES / "sign_board.toml")
    part = ByHand(scene).part("sign")
    picture = before(scene, scene.shown, part)
    arc = next(m for m in picture.marks if m.name.startswith("arc of angle theta"))
    b = np.array([q.number(scene.shown) for q in scene.points["B"]])

    assert r"$\theta$" in texts(picture)
    assert np.hypot(*(arc.points - b).T) == pytest.approx(np.hypot(*(arc.points[0] - b)))


def test_a_string_of_no_given_angle_shows_what_its_direction_follows_from():
    """The stay of the banner: its far end Z, 1.2 m above P, is kept as a point, with its distance."""
    scene = read_scene(SCENES / "banner_bracket.toml")
    picture = before(scene, scene.shown, ByHand(scene).part("pole"))

    assert {"$Z$", "1.2 m", "1.6 m", "2 m"} <= texts(picture)


def test_points_of_moments_are_ringed(trestle):
    """A ring around C for moments about C."""
    scene, hand = trestle
    part = hand.part("CB")
    equation = moments(part, scene.shown, "C", scene.points["C"])
    ring = next(m for m in before(scene, scene.shown, part, [equation]).marks if m.role == "moment point")

    assert isinstance(ring, Ring)
    assert ring.centre == pytest.approx(tuple(q.number(scene.shown) for q in scene.points["C"]))


def test_two_forces_on_one_line_do_not_hide_each_other():
    """A rod that stands upright on a floor under a load: weight, load and reaction all lie on one line."""
    upright = frame(
        {"A": (0.0, 0.0), "B": (0.0, 1.0)},
        {"AB": ("AB", 10.0)},
        floors={"A": (0.0, 1.0)},
        loads={"B": ("force", (0.0, -5.0))},
    )
    picture = before(upright, {}, ByHand(upright).part("AB"))
    spans = [sorted(y for _, y in ends(arrow, picture)) for arrow in arrows(picture).values()]

    assert len(spans) == 3
    assert all(a[1] < b[0] or b[1] < a[0] for a, b in combinations(spans, 2))


def test_weights_at_one_point_stand_side_by_side():
    """Scissors: both rods have their centres at the pin, and both weights are seen."""
    scissors = crossed()
    picture = before(scissors, {}, ByHand(scissors).part("AC", "BD"))
    tails = [ends(arrow, picture)[0] for arrow in arrows(picture).values() if arrow.role == "weight"]

    assert abs(tails[0][0] - tails[1][0]) > 20


# blank


def test_a_blank_has_the_part_and_no_force(trestle):
    """The same rods, names and lengths at the same places; no arrow but those of dimensions, no letter."""
    scene, hand = trestle
    part = hand.part("CB")
    full, empty = before(scene, scene.shown, part), blank(scene, scene.shown, part)
    boxed = blank(scene, scene.shown, part, boxes=True)

    assert not any(isinstance(mark, Arrow) for mark in empty.marks)
    assert texts(empty) == {"$C$", "$V$", "$B$", r"$\theta$", "$5a$", "$2a$"}
    assert empty.camera == full.camera
    assert all(empty.placement[name] == full.placement[name] for name in empty.placement)
    boxes = [m for m in boxed.marks if m.role == "blank"]
    assert len(boxes) == len(part.actions)


def test_a_blank_of_a_built_in_end_has_no_arc():
    """The moment's arc and head are gone, too."""
    cantilever = frame({"A": (0.0, 0.0), "B": (1.0, 0.0)}, {"AB": ("AB", 10.0)}, built_in="A")
    part = ByHand(cantilever).part("AB")

    assert any(m.role == "moment" for m in before(cantilever, {}, part).marks)
    assert not any(m.role == "moment" for m in blank(cantilever, {}, part).marks)


# after


def test_all_parts_of_a_solution_have_one_scale(trestle):
    """Length over newtons is the same for every arrow of every part; the largest is LARGEST long."""
    scene, hand = trestle
    parts = [hand.part("CA", "CB"), hand.part("CA"), hand.part("CB")]
    scale = scale_of(scene.shown, parts, hand.letters)
    longest = 0.0
    for part in parts:
        picture = after(scene, scene.shown, part, hand.letters, scale)
        for arrow in arrows(picture).values():
            tail, tip = ends(arrow, picture)
            long = float(np.hypot(*(tip - tail)))
            longest = max(longest, long)
            assert long == pytest.approx(float(np.hypot(*arrow.vector)) * scale)
        assert any(m.name == "scale bar" for m in picture.marks)

    assert longest == pytest.approx(LARGEST)


def test_a_negative_letter_acts_the_other_way(trestle):
    """At C the leg CA bears on CB, downwards, though Y was taken upwards on one of the two."""
    scene, hand = trestle
    parts = [hand.part("CA"), hand.part("CB")]
    scale = scale_of(scene.shown, parts, hand.letters)
    pictures = [after(scene, scene.shown, part, hand.letters, scale) for part in parts]
    on_ca, on_cb = (next(a for n, a in arrows(p).items() if n.startswith("whole")) for p in pictures)

    assert hand.letters["Y_C"].value.number() > 0  # upwards on CA, taken so; on CB it is downwards
    assert on_cb.vector[1] < 0 < on_ca.vector[1]
    assert np.add(on_ca.vector, on_cb.vector) == pytest.approx((0, 0), abs=1e-4)


def test_a_hinge_force_has_its_parts_beside_it(trestle):
    """The dashed parts add up to the whole; all three lines pass through the hinge."""
    scene, hand = trestle
    part = hand.part("CB")
    picture = after(scene, scene.shown, part, hand.letters, scale_of(scene.shown, [part], hand.letters))
    drawn = arrows(picture)
    whole = next(a for n, a in drawn.items() if n.startswith("whole"))
    parts = [a for a in drawn.values() if a.role == "hinge component"]

    assert len(parts) == 2
    assert np.sum([a.vector for a in parts], axis=0) == pytest.approx(whole.vector)
    assert any(a.vector[1] == 0 for a in parts)
    assert any(a.vector[0] == 0 for a in parts)
    c = np.array([q.number(scene.shown) for q in scene.points["C"]])
    assert all(off_line(part, a, c, picture) < 1e-6 for a in (*parts, whole))


def test_what_came_out_as_nothing_has_no_arrow():
    """A level beam hinged at one end and on a floor at the other has no level force at its hinge."""
    beam = frame(
        {"A": (0.0, 0.0), "B": (2.0, 0.0)}, {"AB": ("AB", 10.0)}, hooks="A", floors={"B": (0.0, 1.0)}
    )
    hand = ByHand(beam)
    part = hand.part("AB")
    picture = after(beam, {}, part, hand.letters, scale_of({}, [part], hand.letters))

    assert len(arrows(picture)) == 3  # the weight and two upward forces of 5 N
    assert texts(picture) >= {"$g$ N", "5 N"}  # 10 N where g is 10 m/s²


# arms


def test_arms_are_perpendicular_distances(trestle):
    """Each arm is square to its force, ends on its line of action, and is as long as the equation says."""
    scene, hand = trestle
    part = hand.part("CB")
    equation = moments(part, scene.shown, "C", scene.points["C"])
    picture = arms(scene, scene.shown, equation)
    lines = {m.name: m for m in picture.marks if isinstance(m, Stroke) and m.role == "arm"}
    c = np.array([q.number(scene.shown) for q in scene.points["C"]])

    assert len(lines) == 3  # of the weight, the rope and the floor
    for line in lines.values():
        arrow = arrows(picture)[line.name.removeprefix("arm of ")]
        start, foot = line.points
        way = np.array(arrow.vector) / np.hypot(*arrow.vector)
        term = next(
            t
            for t in equation.terms
            if np.allclose([v.number(scene.shown) for v in t.action.way], way)
            and np.isclose(t.arm.number(), np.hypot(*(foot - start)), rtol=5e-3)
        )
        assert (foot - start) @ way == pytest.approx(0, abs=1e-9)
        assert abs(way[0] * (start - c)[1] - way[1] * (start - c)[0]) < 1e-9  # on the parallel through C
        assert off_line(part, arrow, foot, picture) < 1e-6
        assert f"{term.arm.decimal} m" in texts(picture)


def test_forces_on_one_line_share_an_arm():
    """Two weights at the middle of the pole have one arm."""
    scene = read_scene(SCENES / "banner_bracket.toml")
    part = ByHand(scene).part("pole")
    picture = arms(scene, scene.shown, moments(part, scene.shown, "P", scene.points["P"]))

    assert [m.text for m in picture.marks if m.role == "arm name"].count("1 m") == 1


# apart


def test_opposite_forces_stand_on_separate_rods(trestle):
    """At C the two rods are drawn apart, each with its own of two opposite arrows under one letter."""
    scene, hand = trestle
    parts = [hand.part("CA"), hand.part("CB")]
    picture = separated(scene, scene.shown, parts)
    pair = [m for m in picture.marks if isinstance(m, Label) and m.text == "$X_{C}$"]
    vectors = [arrows(picture)[m.name.removeprefix("words of ")].vector for m in pair]
    hinges = [
        np.array(m.centre) for m in picture.marks if isinstance(m, Ring) and m.name.startswith("hinge C")
    ]

    assert len(pair) == len(hinges) == 2
    assert np.add(*vectors) == pytest.approx((0, 0), abs=1e-12)
    assert np.hypot(*(hinges[0] - hinges[1])) * picture.camera.scale > 100


def test_the_rods_keep_their_shape_when_they_are_moved_apart():
    """Both legs are moved, not turned: each has its length and direction."""
    ladder = stepladder()
    hand = ByHand(ladder)
    picture = separated(ladder, {}, [hand.part("CA"), hand.part("CB")], hand.letters)
    for mark in picture.marks:
        if isinstance(mark, Stroke) and mark.role == "rod":
            ends_ = [np.array([v.number() for v in ladder.points[p]]) for p in mark.name[:2]]
            assert mark.points[1] - mark.points[0] == pytest.approx(ends_[1] - ends_[0])


def test_crossing_rods_are_moved_clear_of_each_other():
    """Two rods hinged in the middle, as scissors: drawn apart, no point of one is near the other."""
    scissors = crossed()
    hand = ByHand(scissors)
    picture = separated(scissors, {}, [hand.part(b) for b in ("AC", "BD")])
    one, other = (
        next(iter(lines_of(mark, picture.camera)))
        for mark in picture.marks
        if isinstance(mark, Stroke) and mark.role == "rod"
    )
    gap = np.hypot(*np.moveaxis(one[:, None] - other[None], 2, 0)).min()

    assert gap > 60


# files


def test_pictures_say_what_they_show(trestle):
    """SVG has a title and a description for a screen reader, PDF a subject, PNG a text: the same words."""
    scene, hand = trestle
    picture = before(scene, scene.shown, hand.part("CB"))
    root = ET.fromstring(picture.svg())

    assert picture.description.startswith("On CB: ")
    assert root.attrib["role"] == "img"
    assert [root.find(f"{SVG}title").text, root.find(f"{SVG}desc").text] == ["CB", picture.description]
    assert "On CB: ".encode("utf-16-be") in picture.pdf()
    assert Image.open(io.BytesIO(picture.png(200))).text["Description"] == picture.description


def test_the_same_part_is_drawn_the_same_way_twice(trestle):
    """Equal parts, equal files."""
    scene, hand = trestle
    one, two = (before(scene, scene.shown, hand.part("CB")).svg() for _ in range(2))

    assert one == two
