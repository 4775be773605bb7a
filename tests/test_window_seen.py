"""What a window shows in its states and sizes: no label on another, none cut off, none left out."""

from __future__ import annotations

import os
import subprocess
import sys
from itertools import combinations
from pathlib import Path

import pygame
import pytest
from window_driver import Driver, display

from simlab.pictures.arrows import kind_of
from simlab.pictures.camera import Rect
from simlab.pictures.marks import Label
from simlab.pictures.names import point_name
from simlab.pictures.palette import INK
from simlab.pictures.schemes import SCHEMES
from simlab.pictures.structure import is_named
from simlab.pictures.typeset import text_of
from simlab.results import Key
from simlab.results.wording import CAUTION
from simlab.window.control import Control
from simlab.window.help_card import BY_KEYS, BY_MOUSE, groups_of, help_card
from simlab.window.layout import page_of
from simlab.window.pane import Pane
from simlab.window.session import Display

SIZES = {"": ((1280, 720), False), "full": ((1920, 1080), False), "large": ((1280, 720), True)}
OVER = 12.0  # [square page units] of two boxes that are as good as apart: glyphs do not fill their boxes
PINS = frozenset({"hinge force"})  # the forces whose numbers make way first
READABLE = 12.0  # [px] of type: the least that screens' own interfaces use (common practice, no source)


assert display  # the display that nobody sees, for each test here


def boxes(window: Driver) -> dict[str, tuple[str, Rect]]:
    """The text and the box on the page of every label of the last picture, by name."""
    marks, placement = window.screen.shown
    found = {}
    for mark in marks:
        if isinstance(mark, Label) and mark.opacity > 0:
            (x, y), (left, top, right, bottom) = placement[mark.name][:2], text_of(mark).box
            found[mark.name] = (mark.text, (x + left, y + top, x + right, y + bottom))
    return found


def shared(a: Rect, b: Rect) -> float:
    """The area that two boxes share."""
    wide, high = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
    return max(wide, 0.0) * max(high, 0.0)


def check(window: Driver, state: str, may_go: frozenset[str] = frozenset()) -> None:
    """No two labels meet, none leaves the page or the room above the line of words, none is left out.

    `may_go`: roles of labels of which the least may be.
    """
    found = boxes(window)
    wanted = [m for m in window.screen.showing.marks() if isinstance(m, Label) and m.opacity > 0]
    assert {m.role for m in wanted if m.name not in found} <= may_go, state
    for (a, (words, one)), (b, (other, two)) in combinations(found.items(), 2):
        assert shared(one, two) <= OVER, (state, a, words, b, other)
    _, top, _, bottom = window.screen.showing.line.strip
    for name, (words, box) in found.items():
        foot = bottom if name.startswith("time ") else top
        assert box[0] >= 0 <= box[1], (state, words)
        assert box[2] <= window.screen.page.width, (state, words)
        assert box[3] <= foot, (state, words)


@pytest.mark.parametrize("name", ["kite_lantern", "stall_trestle", "ring_lantern"])
@pytest.mark.parametrize("shape", SIZES)
def test_no_label_meets_another_or_is_cut_off_and_none_is_left_out(name: str, shape: str):
    """At rest every named point and every answer has its words; in no state does one stand on another."""
    size, large = SIZES[shape]
    window = Driver(name, size, Display(large=large, calm=True))
    window.settle(4)
    check(window, "at rest")
    said = {text for text, _ in boxes(window).values()}
    plan = window.player.plan
    assert {point_name(point) for point in plan.points if is_named(plan, point)} <= said
    beside = [m for m in window.screen.showing.marks() if m.name.startswith("words of force")]
    pins = sum(m.role == "hinge force" for m in beside)
    texts = window.screen.showing.texts.beside
    hinges = sum(isinstance(what, Key) and kind_of(plan, what) == "hinges" for what in texts)
    assert len(beside) - pins == len(texts) - hinges - len(plan.weights) - len(plan.loads)
    assert pins == hinges or large

    window.player.isolate(next(iter(plan.bodies)))
    window.settle(4)
    check(window, "one rod alone")
    window.player.isolate(None)
    x, y = window.at(window.point(window.player.joints[0]))
    window.press((x, y))
    window.move((x + 60, y))
    window.play(0.5)
    window.settle(4)
    check(window, "pulled")
    window.release((x + 60, y))
    window.letter("b")
    window.play(0.1)
    window.settle(4)
    check(window, "released")
    window.player.play_or_pause()
    window.settle(4)
    check(window, "held after release", PINS if large else frozenset())


def test_the_lesser_numbers_make_way_where_large_type_has_no_room_for_all():
    """Five rods in large type, held after the release: all names, no number of a pin."""
    window = Driver("five_cane_lantern", (1280, 720), Display(large=True, calm=True))
    window.letter("b")
    window.play(0.1)
    window.player.play_or_pause()
    window.settle(4)
    check(window, "held after release", frozenset({"weight"}))
    shown = boxes(window)
    assert not any(isinstance(m, Label) and m.role in PINS for m in window.screen.shown[0])
    assert {point_name(point) for point in window.player.plan.points if len(point) == 1} <= {
        text for text, _ in shown.values()
    }


@pytest.mark.parametrize("size", [(1280, 720), (640, 480), (1920, 1080)], ids=str)
def test_the_card_lists_every_key_in_type_that_can_be_read(size: tuple[int, int]):
    """Each control's key and what it does, the mouse and the keys: apart, and 12 pixels or more."""
    window = Driver("gangway", seconds=0.1, exact=False)
    page = page_of(size)
    groups = groups_of(window.screen.bench.items, BY_MOUSE)
    labels = [mark for mark in help_card(groups, page) if isinstance(mark, Label)]
    texts = {label.text for label in labels}
    assert CAUTION in texts
    for item in window.screen.bench.items:
        if isinstance(item, Control):
            assert {item.key_words, item.told} <= texts
    for key, told in (*BY_MOUSE, *BY_KEYS):
        assert {key, told} <= texts
    found = []
    for label in labels:
        (x, y), (left, top, right, bottom) = label.anchor, text_of(label).box
        assert 0 < x + left
        assert x + right < page.width
        assert y + bottom < page.height
        assert label.size * size[1] / page.height >= READABLE
        found.append((label.text, (x + left, y + top, x + right, y + bottom)))
    for (a, one), (b, two) in combinations(found, 2):
        assert shared(one, two) <= OVER, (a, b)


def test_the_card_holds_time_and_any_click_takes_it_away():
    """H shows it over everything; the frame has not moved when it is gone."""
    window = Driver("banner_bracket", exact=False, seconds=1.0)
    window.letter("h")
    assert window.session.has_help
    assert not window.session.is_running
    window.click((300, 200))
    assert not window.session.has_help
    assert window.session.is_running


@pytest.mark.parametrize("board", SCHEMES)
def test_boards_are_what_their_scheme_says(board: str):
    """Paper and thrust have the colours of the scheme on the surface itself."""
    window = Driver(display=Display(board=board))
    window.screen.draw()
    scheme = SCHEMES[board]

    assert window.count(scheme.paper) > window.seen[..., 0].size / 4
    assert window.count(scheme.force_colour("thrust")) > 50


def test_calm_jumps_where_else_the_camera_glides():
    """After the cut the view is the wide one in the next picture; otherwise it is still on its way."""
    scales = {}
    for calm in (False, True):
        window = Driver("banner_bracket", display=Display(calm=calm))
        window.screen.draw()
        before = window.screen.showing.view.scale
        window.letter("b")
        window.screen.draw()
        scales[calm] = window.screen.showing.view.scale / before
        assert window.screen.showing.sight.is_gliding is not calm
    assert scales[True] < scales[False] < 1


class Dense(Pane):
    """A pane on a display with two pixels to each unit of the desktop, which this one may not have."""

    _twice: pygame.Surface | None = None

    @property
    def surface(self) -> pygame.Surface:
        """Twice as wide and high as the window says."""
        width, height = self.window.size
        self.window.get_surface()  # what is flipped
        if self._twice is None or self._twice.get_size() != (2 * width, 2 * height):
            self._twice = pygame.Surface((2 * width, 2 * height))
        return self._twice


def test_a_dense_display_gets_a_sharp_picture_and_clicks_find_their_tags():
    """Twice the pixels, the same page: a tag's middle in the desktop's units is still that tag."""
    window = Driver("banner_bracket", pane=Dense("dense", (960, 540)), exact=False, seconds=0.5)
    window.screen.draw()

    assert window.seen.shape == (1080, 1920, 3)
    assert window.screen.page == page_of((1920, 1080))
    assert window.count(INK) > 1000
    x, y = window.tag("pause")
    assert x < 960
    assert y < 540
    window.click((x, y))
    assert not window.player.playing


def test_large_type_is_larger_by_the_same_factor_everywhere():
    """1.4 times as many pixels to a unit: on tags, in the line of words, in the readings."""
    window = Driver("banner_bracket", (1280, 720), exact=False, seconds=0.1)
    before = window.screen.canvas.ratio
    window.letter("z")
    assert window.screen.canvas.ratio / before == pytest.approx(1.4)


X = Path("/usr/bin/Xvfb")


@pytest.mark.skipif(
    not (X.exists() and Path("/usr/bin/xdotool").exists()),
    reason="needs Xvfb and xdotool: real clicks and keys",
)
def test_a_real_window_opens_takes_a_film_and_is_left_by_key(tmp_path: Path):
    """simlab watch on an X server of its own: its title, a film by C, the end by Q, exit code 0."""
    words = [str(X), "-displayfd", "1", "-screen", "0", "1300x740x24"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL) as server:
        assert server.stdout is not None
        number = server.stdout.readline().decode().strip()
        env = {**os.environ, "DISPLAY": f":{number}", "SDL_VIDEODRIVER": "x11"}
        scene = Path(__file__).parent.parent / "scenes" / "banner_bracket.toml"

        def xdo(*words: str) -> str:
            done = subprocess.run(
                ["xdotool", *words], env=env, capture_output=True, text=True, timeout=60, check=False
            )
            return done.stdout.strip()

        try:
            with subprocess.Popen(
                [sys.executable, "-m", "simlab", "watch", str(scene)], env=env, cwd=tmp_path
            ) as watching:
                xdo("search", "--sync", "--onlyvisible", "--class", "simlab", "windowfocus", "--sync")
                for key in ("c", "b", "f"):
                    xdo("key", "--delay", "100", key)
                film = tmp_path / "recordings" / "banner_bracket_hand_1.mp4"
                for _ in range(100):
                    if film.exists() and film.stat().st_size > 0:
                        break
                    xdo("sleep", "0.1")
                pane = xdo("search", "--onlyvisible", "--class", "simlab")
                sizes = set()
                for _ in range(50):
                    sizes.add(xdo("getwindowgeometry", pane).split()[-1])
                    if "1300x740" in sizes:
                        break
                    xdo("sleep", "0.1")
                xdo("key", "q")
                assert watching.wait(60) == 0
        finally:
            server.terminate()
    assert "1300x740" in sizes  # the whole screen, though no window manager makes it so
    import av

    with av.open(str(film)) as taken:
        assert sum(1 for _ in taken.decode(video=0)) >= 1
