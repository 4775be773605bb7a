"""What hands do in the window, by mouse and by keys, and what is then seen."""

from __future__ import annotations

from fractions import Fraction
from math import cos, hypot, radians, sin, tan

import numpy as np
import pygame
import pytest
from window_driver import Driver, display

from simlab.pictures.marks import Arrow, Label, Ring
from simlab.pictures.palette import GLOW, INK, PENS
from simlab.window.choosing import Target

CLOSED = 1e-9  # of the largest arrow: as well as the sides of a polygon at rest add up to nothing
STIFF = 1e-3  # of a distance: what soft joints give while a frame swings
RIGHT = 1e-6  # of a force or a length: a frame at rest


assert display  # the display that nobody sees, for each test here


def drag(
    window: Driver, metres: tuple[float, float], by: tuple[float, float], seconds: float = 0.5
) -> None:
    """Press on a place of the frame and pull it by so many pixels, time passing; it stays held."""
    x, y = window.at(metres)
    window.press((x, y))
    steps = round(60 * seconds)
    for i in range(1, steps + 1):
        window.move((x + by[0] * i / steps, y + by[1] * i / steps))
        window.player.advance(1 / 60)
        window.screen.draw()


def is_drawn(window: Driver, a: str, b: str) -> bool:
    """Whether the screen has a cane's own colour along the line between two points of the frame, now."""
    (x0, y0), (x1, y1) = window.point(a), window.point(b)
    places = [window.at((x0 + share * (x1 - x0), y0 + share * (y1 - y0))) for share in (0.25, 0.4, 0.75)]
    cane = PENS["rod"].fill or ""
    return all(window.count(cane, place, 3) > 18 for place in places)  # of 36 pixels


def length(window: Driver, a: str, b: str) -> float:
    """How far two points are apart now [m]."""
    (x0, y0), (x1, y1) = window.point(a), window.point(b)
    return hypot(x1 - x0, y1 - y0)


def test_a_braced_frame_that_is_pulled_keeps_its_shape_and_is_drawn_where_it_is():
    """The kite swings, L and R stay as far apart as they were; canes are seen where the player has them."""
    window = Driver()
    before, apart = window.point("B"), length(window, "L", "R")
    drag(window, before, (160, -30))

    now = window.point("B")
    assert hypot(now[0] - before[0], now[1] - before[1]) > 0.05
    assert length(window, "L", "R") == pytest.approx(apart, rel=STIFF)
    assert "the shape holds" in window.said
    x, y = window.at(now)
    assert window.count(INK, (x, y)) > 10
    assert is_drawn(window, "L", "B")
    assert is_drawn(window, "R", "B")
    window.release((x, y))
    assert window.player.hand is None


def test_without_its_brace_the_frame_folds_when_it_is_pulled():
    """L and R come nearer by far more than a stiff frame gives."""
    window = Driver()
    apart = length(window, "L", "R")
    window.letter("b")
    drag(window, window.point("B"), (60, 80))

    assert length(window, "L", "R") < 0.8 * apart


def test_a_click_on_a_joint_hangs_a_lantern_and_the_right_button_takes_it_off():
    """One lantern is W. By hand, by virtual work: the spreader is a third of the way from B to L, so
    thrust × 2/3 = W (5 tan θ + 2 tan α) from the canes + W (tan θ + tan α) from the lantern."""
    window = Driver()
    told = window.said
    window.move(window.at(window.point("B")))
    assert window.said.startswith("Click: hang one more lantern at $B$.")
    window.click(window.at(window.point("B")))
    assert window.player.lanterns == {"B": 1}
    window.move((5, 5))
    window.play(3.0)
    window.settle()

    thrust = 1.5 * 2 * (6 * tan(radians(40)) + 3 * tan(radians(20)))
    assert window.said.endswith(f"=\u00a0{thrust:.1f}\u00a0N.")
    lantern = [m for m in window.screen.showing.marks() if m.name.startswith("lantern_at_B")]
    assert lantern
    window.click(window.at(window.point("B")), button=3)
    assert window.player.lanterns == {}
    window.move((5, 5))
    window.play(3.0)
    window.settle()
    assert window.said == told


def test_a_lantern_can_be_hung_at_a_foot_on_the_floor():
    """It comes to stand there; nothing else is asked of the frame than a larger reaction, by its weight."""
    window = Driver("stall_trestle")
    before = window.player.now().forces
    window.player.hang_on("A")
    window.play(3.0)
    window.screen.draw()
    after = window.player.now().forces
    ups = {key: force.force[1] - before.reactions[key].force[1] for key, force in after.reactions.items()}

    assert max(ups.values()) == pytest.approx(window.player.lantern.number(window.player.values), rel=1e-6)


def test_a_click_on_a_rod_shows_it_alone_and_another_click_the_whole_frame():
    """The polygon of the forces on LB closes: the vectors drawn add up to nothing."""
    window = Driver()
    (x0, y0), (x1, y1) = window.point("L"), window.point("B")
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    window.move(window.at(middle))
    assert window.said.startswith("Click: $LB$ alone")
    window.click(window.at(middle))
    assert window.player.isolated == "LB"
    arrows = [m for m in window.screen.showing.marks() if isinstance(m, Arrow)]
    total = np.sum([m.vector for m in arrows], axis=0)
    largest = max(hypot(*m.vector) for m in arrows)

    assert len(arrows) == 8  # weight, spreader and two hinges, on the rod and in the polygon
    assert np.hypot(*total) < CLOSED * largest
    assert "tip to tail" in window.said
    window.player.release_or_restore()
    window.play(3.0)  # it folds until its rods lie on one another: what they do to each other is not known
    arrows = [m for m in window.screen.showing.marks() if isinstance(m, Arrow)]
    assert [m.role for m in arrows] == ["weight"]
    assert "tip to tail" not in window.said
    window.click((400, 300))
    assert window.player.isolated is None


def test_a_slider_at_60_shows_the_plan_at_60_and_the_exact_answer_there():
    """K stands over L at 60 degrees; the thrust is 3W(2 tan 20° + 5 tan 60°)/2, by hand as above."""
    window = Driver()
    window.letter("l")
    tag = next(t for t in window.screen.bench.tags if t.item.name == "letter theta")
    (left, y), (right, _) = tag.track
    low, high = 5, 80  # degrees; as the scene has them
    at = left + (60 - low) / (high - low) * (right - left)
    window.press(window.position((tag.rect[0] + 40, y)))
    window.move(window.position((at, y)))
    window.release(window.position((at, y)))
    window.move((5, 5))
    window.play(3.0)
    window.settle()
    (kx, ky), (lx, ly) = window.point("K"), window.point("L")
    thrust = 3 * 2 * (2 * tan(radians(20)) + 5 * tan(radians(60))) / 2

    assert kx - lx == pytest.approx(0.5 * sin(radians(60)), rel=RIGHT)
    assert ky - ly == pytest.approx(0.5 * cos(radians(60)), rel=RIGHT)
    assert window.said.endswith(f"=\u00a0{thrust:.1f}\u00a0N.")
    forces = window.player.now().forces.tensions
    assert -forces["spreader"] == pytest.approx(thrust, rel=RIGHT)
    hinge = window.at((lx, ly))
    assert window.count(INK, hinge) > 10
    assert is_drawn(window, "L", "B")
    assert is_drawn(window, "R", "B")


def test_an_answer_in_letters_stands_while_a_slider_moves_and_its_figures_follow():
    """Before exact statics has said anything new, the same letters are there with the new value."""
    window = Driver()
    window.letter("l")
    window.screen._asking = None  # nobody answers any more
    window.session.put("theta", Fraction(50))
    window.play(3.0)
    window.settle()
    thrust = 3 * 2 * (2 * tan(radians(20)) + 5 * tan(radians(50))) / 2

    assert window.said.endswith(f"=\u00a0{thrust:.1f}\u00a0N.")
    assert r"\tan" in window.said


def test_the_bead_of_time_pulled_back_shows_the_frame_as_it_was_and_play_goes_on_from_there():
    """After the fall the kite is whole again at half of the cord, and falls anew."""
    window = Driver()
    whole = window.point("B")
    window.letter("b")
    window.play(1.0)
    line = window.screen.showing.line
    fallen = window.point("B")
    start = window.position((line.right, line.y))
    to = window.position(((line.left + line.right) / 2, line.y))
    window.press(start)
    window.move(to)
    window.release(to)
    window.screen.draw()

    assert window.player.is_past
    assert window.point("B") == pytest.approx(whole, abs=1e-3)
    assert hypot(fallen[0] - whole[0], fallen[1] - whole[1]) > 0.02
    assert any(m.text == "in the past" for m in window.screen.showing.marks() if isinstance(m, Label))
    window.key(pygame.K_SPACE, " ")
    assert not window.player.is_past
    assert window.player.playing


def test_arrow_keys_look_back_and_ahead():
    """A tenth of a second each; Home is the beginning, End is now."""
    window = Driver("banner_bracket")
    now = window.player.time
    window.key(pygame.K_LEFT, times=3)
    assert window.player.time == pytest.approx(now - 0.3, abs=0.02)
    window.key(pygame.K_RIGHT)
    assert window.player.time == pytest.approx(now - 0.2, abs=0.02)
    window.key(pygame.K_HOME)
    assert window.player.time == window.player.span[0]
    window.key(pygame.K_END)
    assert not window.player.is_past


def test_the_cord_of_time_has_a_slash_at_the_cut():
    """Where on the cord the slash is, the player's time is that of the cut."""
    window = Driver("banner_bracket", seconds=5.0)
    cut = window.player.time
    window.letter("b")
    window.play(1.0)
    line = window.screen.showing.line
    slash = next(m for m in window.screen.showing.marks() if m.name.startswith("cut at"))

    assert line.time_at(float(slash.points[:, 0].mean()), window.player) == pytest.approx(cut, abs=0.02)


def test_keys_alone_choose_a_joint_hang_a_lantern_pull_it_and_take_a_rod_alone():
    """P, arrows, Enter, G, arrows, Enter; then a rod and O: nothing needs a mouse."""
    window = Driver()
    window.letter("p")
    for _ in range(3):
        if window.session.chosen != Target("joint", "B"):
            window.key(pygame.K_DOWN)
    assert window.session.chosen == Target("joint", "B")
    ring = next(m for m in window.screen.showing.marks() if m.name == "ring of keys")
    assert isinstance(ring, Ring)
    assert ring.centre == pytest.approx(window.point("B"))
    window.key(pygame.K_RETURN, "\r")
    assert window.player.lanterns == {"B": 1}
    window.letter("m")
    assert window.player.lanterns == {}
    before = window.point("B")
    window.letter("g")
    window.key(pygame.K_RIGHT, times=5)
    window.play(0.5)
    assert window.point("B")[0] > before[0] + 0.02
    window.key(pygame.K_RETURN, "\r")
    assert window.player.hand is None
    for code in (pygame.K_UP, pygame.K_LEFT, pygame.K_UP, pygame.K_RIGHT):
        if window.session.chosen and window.session.chosen.kind != "rod":
            window.key(code)
    assert window.session.chosen is not None
    assert window.session.chosen.kind == "rod"
    window.letter("o")
    assert window.player.isolated == window.session.chosen.name


def test_what_is_under_the_pointer_glows():
    """The lantern's orange is around a joint that would get one, and gone when the pointer is."""
    window = Driver("gangway")
    at = window.at(window.point("C"))
    window.move((5, 5))
    window.screen.draw()
    assert window.count(GLOW, at, 20) == 0
    window.move(at)
    window.screen.draw()
    assert window.count(GLOW, at, 20) > 100


def test_a_hint_makes_way_for_what_happens_once_it_is_read_or_a_key_is_pressed():
    """The pointer rests on a joint: what a click does is said for five seconds, or until a key."""
    window = Driver("gangway")
    at = window.at(window.point("C"))
    window.move(at)
    assert window.said.startswith("Click: hang")
    assert not window.screen.hands.rest(4.9)
    assert window.said.startswith("Click: hang")
    assert window.screen.hands.rest(0.2)
    assert window.said.startswith("At rest: ")
    window.move(at)
    assert window.said.startswith("Click: hang")
    window.key(pygame.K_COMMA, ",")
    assert window.said.startswith("At rest: ")


def test_a_value_that_cannot_be_is_refused_in_a_sentence():
    """The line of words says why; nothing has changed."""
    window = Driver(exact=False)
    before = window.player.edition
    window.session.put("theta", Fraction(200))

    assert window.said == "θ goes from 5° to 80°, so it cannot be 200°."
    assert window.player.edition == before
    window.key(pygame.K_SPACE, " ")
    assert "goes from" not in window.said
