"""The window itself, on SDL's dummy display: events in, pictures out."""

from __future__ import annotations

import os
import subprocess
import sys
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scenes_at_rest import each_shown
from small_frames import rhombus
from window_driver import OPENED, display

from simlab.commands.watch import texts_of
from simlab.errors import BadInput
from simlab.frame.scene import read_scene
from simlab.pictures.marks import Arrow, Label
from simlab.pictures.palette import FORCE_COLOURS, INK, PAPER, rgb
from simlab.statics.solution import solve
from simlab.window.control import Control
from simlab.window.player import Player
from simlab.window.session import Session
from simlab.window.words import Texts

pygame = pytest.importorskip("pygame")
from simlab.window.screen import Screen, show  # noqa: E402

ROOT = Path(__file__).parent.parent
SCENES = ROOT / "scenes"
KITE = SCENES / "kite_lantern.toml"
BRACKET = SCENES / "banner_bracket.toml"  # one rod: quickly made
SIZES = [(1280, 720), (960, 540), (800, 900)]
PRESSES = {
    "pause": (pygame.K_SPACE, " "),
    "step": (pygame.K_PERIOD, "."),
    "earlier": (pygame.K_COMMA, ","),
    "slower": (pygame.K_MINUS, "-"),
    "faster": (pygame.K_PLUS, "+"),
    "restart": (pygame.K_r, "r"),
    "brace": (pygame.K_b, "b"),
    "arrows": (pygame.K_a, "a"),
    "board": (pygame.K_d, "d"),
    "large": (pygame.K_z, "z"),
    "calm": (pygame.K_k, "k"),
    "help": (pygame.K_h, "h"),
    "quit": (pygame.K_q, "q"),
}
NEAR = 40  # of 255 in each colour: edges are mixed with what is behind them


assert display  # the display that nobody sees, for each test here


scene = lru_cache(read_scene)


def screen(size: tuple[int, int] = (1280, 720), texts: Texts | None = None, path: Path = KITE) -> Screen:
    """A window on a scene that has run for a second."""
    shown = Screen(Session(Player(scene(path))), texts or Texts(), size)
    OPENED.append(shown)
    for _ in range(60):
        shown.player.advance(1 / 60)
    return shown


def key(shown: Screen, code: int, text: str = "", mod: int = 0) -> None:
    """Press a key and let it go."""
    shown.handle(pygame.event.Event(pygame.KEYDOWN, key=code, unicode=text, mod=mod, scancode=0))
    shown.handle(pygame.event.Event(pygame.KEYUP, key=code, unicode=text, mod=mod, scancode=0))


def middle(shown: Screen, name: str) -> tuple[int, int]:
    """The pixel in the middle of a control's tag."""
    left, top, right, bottom = next(tag for tag in shown.bench.tags if tag.item.name == name).rect
    ratio = shown.size[1] / shown.bench.page.height
    return round((left + right) / 2 * ratio), round((top + bottom) / 2 * ratio)


def open_drawer(shown: Screen, name: str) -> None:
    """Open the drawer that a control hangs in, if it hangs in one."""
    drawer = next(item.drawer for item in shown.bench.items if item.name == name)
    if drawer and shown.session.drawer != drawer:
        click(shown, drawer)


def click(shown: Screen, name: str) -> None:
    """Click on a control's tag."""
    open_drawer(shown, name)
    at = middle(shown, name)
    for kind in (pygame.MOUSEBUTTONDOWN, pygame.MOUSEBUTTONUP):
        shown.handle(pygame.event.Event(kind, pos=at, button=1))


def seen(shown: Screen) -> NDArray[np.uint8]:
    """What the window shows: red, green, blue, shape (height, width, 3)."""
    return np.swapaxes(pygame.surfarray.array3d(shown.pane.surface), 0, 1)


def count(pixels: NDArray[np.uint8], colour: str) -> int:
    """How many pixels are nearly of a colour."""
    wanted = np.array(rgb(colour)) * 255
    return int((np.abs(pixels - wanted).max(axis=2) < NEAR).sum())


def state(shown: Screen) -> tuple[object, ...]:
    """All that a control may change."""
    p, display = shown.player, shown.session.display
    seen = (display.board, display.large, display.calm, shown.session.has_help)
    return (
        *seen,
        p.playing,
        p.time,
        p.speed,
        p.share,
        p.is_braced,
        p.arrows,
        p.over,
        p.now().poses.tobytes(),
    )


@pytest.mark.parametrize("name", PRESSES)
def test_a_click_and_a_key_do_the_same(name: str):
    """From equal windows, the tag, the key, and Tab with Enter lead to equal states, changed by all."""
    clicked, keyed, focused = (screen(path=BRACKET) for _ in range(3))
    before = state(clicked)
    click(clicked, name)
    key(keyed, *PRESSES[name])
    open_drawer(focused, name)
    while focused.bench.focused.name != name or focused.session.focus != "bench":
        key(focused, pygame.K_TAB, "\t")
    key(focused, pygame.K_RETURN, "\r")

    assert state(clicked) == state(keyed) == state(focused) != before


def test_tab_goes_through_all_tags_then_the_line_of_time_and_the_frame():
    """And round again; with Shift the other way: nothing can be reached by the mouse alone."""
    shown = screen()
    seen = []
    for _ in range(12):
        seen.append(shown.bench.focused.name if shown.session.focus == "bench" else shown.session.focus)
        key(shown, pygame.K_TAB, "\t")
    tags = [tag.item.name for tag in shown.bench.tags if tag.item.name != "record"]
    assert seen[: len(tags) + 3] == [*tags, "time", "frame", tags[0]]
    back = []
    for _ in range(12):
        key(shown, pygame.K_TAB, "\t", pygame.KMOD_SHIFT)
        back.append(shown.bench.focused.name if shown.session.focus == "bench" else shown.session.focus)
    assert back == seen[::-1]


def test_space_pauses_wherever_the_focus_is():
    """A letter or Space is a control's own key, not a press of the focused one."""
    shown = screen(path=BRACKET)
    key(shown, pygame.K_TAB, "\t", pygame.KMOD_SHIFT)
    assert shown.session.focus == "frame"
    key(shown, pygame.K_SPACE, " ")

    assert not shown.player.playing
    assert not shown.player.over


def test_escape_closes_what_was_opened_last_and_never_the_window():
    """A card, one rod alone, a drawer; with nothing open it does nothing."""
    shown = screen()
    key(shown, pygame.K_v, "v")
    shown.player.isolate("LB")
    key(shown, pygame.K_h, "h")
    opened = []
    for _ in range(4):
        opened.append((shown.session.has_help, shown.player.isolated, shown.session.drawer))
        key(shown, pygame.K_ESCAPE, "\x1b")

    assert opened == [(True, "LB", "view"), (False, "LB", "view"), (False, None, "view"), (False, None, "")]
    assert not shown.player.over


def test_a_held_key_presses_once_unless_it_is_a_step():
    """A key's repeats step on and on, but do not pause and play in turn."""
    shown = screen(path=BRACKET)
    for name, presses in (("pause", 1), ("step", 4)):
        code, text = PRESSES[name]
        before = shown.player.time
        for _ in range(4):
            shown.handle(pygame.event.Event(pygame.KEYDOWN, key=code, unicode=text, mod=0, scancode=0))
        shown.handle(pygame.event.Event(pygame.KEYUP, key=code, unicode=text, mod=0, scancode=0))
        assert not shown.player.playing
        assert shown.player.time == pytest.approx(before + (presses / 60 if name == "step" else 0))


def test_a_press_that_slides_off_its_tag_does_nothing():
    """Down on Release, up elsewhere: the watcher has thought better of it. Ctrl with a letter is no key."""
    shown = screen(path=BRACKET)
    before = state(shown)
    down, up = middle(shown, "brace"), middle(shown, "pause")
    shown.handle(pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=down, button=1))
    shown.handle(pygame.event.Event(pygame.MOUSEBUTTONUP, pos=up, button=1))
    key(shown, pygame.K_b, "b", pygame.KMOD_CTRL)

    assert state(shown) == before


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_the_surface_shows_the_picture(size: tuple[int, int]):
    """Paper, ink and the thrust's red are on the window, in their own colours (no channels swapped)."""
    shown = screen(size)
    shown.draw()
    pixels = seen(shown)

    assert pixels.shape == (size[1], size[0], 3)
    assert count(pixels, PAPER) > pixels[..., 0].size / 3
    assert count(pixels, INK) > pixels[..., 0].size / 200
    assert count(pixels, FORCE_COLOURS["thrust"]) > 50


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_every_control_is_seen_in_the_window(size: tuple[int, int]):
    """Where a tag hangs there is white paper with ink on it, and the ring when it has the focus."""
    shown = screen(size, path=BRACKET)
    shown.draw()
    ratio = size[1] / shown.bench.page.height
    for tag in shown.bench.tags:
        left, top, right, bottom = (round(edge * ratio) for edge in tag.rect)
        if isinstance(tag.item, Control) and tag.item.refusal(shown.session):
            continue
        inside = seen(shown)[top + 4 : bottom - 4, left + 4 : right - 4]
        assert count(inside, "#FFFFFF") > inside[..., 0].size / 2, tag.item.name
        assert count(inside, INK) > inside[..., 0].size / 100, tag.item.name
        around = seen(shown)[top - 8 : bottom + 8, left - 8 : right + 8]
        before = count(around, INK)
        shown.bench.focus_on(tag.item)
        shown.draw()
        around = seen(shown)[top - 8 : bottom + 8, left - 8 : right + 8]
        assert tag.item.name == "pause" or count(around, INK) > before + (right - left), tag.item.name


def test_arrows_come_and_go():
    """With the arrows hidden no red of a thrust, no blue of a hinge is left, legend included."""
    shown = screen()
    shown.draw()
    with_arrows = [count(seen(shown), FORCE_COLOURS[kind]) for kind in ("thrust", "hinge force")]
    key(shown, pygame.K_a, "a")
    shown.draw()
    without = [count(seen(shown), FORCE_COLOURS[kind]) for kind in ("thrust", "hinge force")]

    assert min(with_arrows) > 100
    assert max(without) == 0


def test_arrows_are_live_and_to_scale():
    """At half of gravity the thrust's arrow is half as long as at the whole."""
    shown = Screen(Session(Player(rhombus(0.8))), Texts())
    OPENED.append(shown)
    lengths = []
    for _ in range(2):
        for _ in range(120):
            shown.player.advance(1 / 60)
        arrow = next(m for m in shown.showing.marks() if isinstance(m, Arrow) and m.role == "thrust")
        lengths.append(float(np.hypot(*shown.showing.view.arrow(arrow.vector))))

    assert lengths[0] == pytest.approx(lengths[1] / 2, rel=0.01)


def test_how_things_stand_is_written_on_the_picture():
    """Share of gravity, time, speed and pause are labels of the picture; the line of words has its band."""
    shown = screen()
    key(shown, pygame.K_MINUS, "-")
    key(shown, pygame.K_SPACE, " ")
    texts = [mark.text for mark in shown.showing.marks() if isinstance(mark, Label)]

    for text in ("gravity 25 %", "time 1.000 s", "speed 1/2", "paused"):
        assert text in texts
    said = [mark.text for mark in shown.showing.words() if isinstance(mark, Label)]
    assert said == [
        "The spreader is in place. Gravity is let on: the weights grow, and every force with them."
    ]


def test_exact_values_stand_beside_the_arrows_only_at_rest():
    """The texts that the command passes in appear when the frame is at rest, and go with the brace."""
    shown = screen(texts=texts_of(solve(read_scene(KITE))))

    def words() -> list[str]:
        return [m.text for m in shown.showing.marks() if m.name.startswith("words of force")]

    assert words() == []
    for _ in range(300):
        shown.player.advance(1 / 60)
    assert any("tan" in text for text in words())
    shown.player.release_or_restore()
    assert words() == []


@pytest.mark.parametrize("size", SIZES[1:], ids=str)
def test_a_resized_window_is_laid_out_anew(size: tuple[int, int]):
    """Canvas, bench and frame follow the window; clicks find the tags where they are now."""
    shown = screen()
    shown.draw()
    shown.pane.window.size = size
    pygame.event.pump()
    shown.draw()

    assert seen(shown).shape == (size[1], size[0], 3)
    assert shown.size == size
    assert count(seen(shown), FORCE_COLOURS["thrust"]) > 50
    click(shown, "pause")
    assert not shown.player.playing


def test_the_camera_makes_room_for_the_fall():
    """No rod of a falling pole leaves the place between the readings and the line of words."""
    shown = screen(path=BRACKET)
    for _ in range(360):
        shown.player.advance(1 / 60)
    shown.player.release_or_restore()
    left, top, right, bottom = shown.showing.layout.room
    looks = 0
    for _ in range(120):
        shown.player.advance(1 / 60)
        shown.showing.marks()
        if not shown.showing.sight.is_gliding:
            looks += 1
            ends = shown.showing.view.to_page(shown.player.plan.outline("pole", shown.player.now()))
            assert (ends[:, 0] > left).all()
            assert (ends[:, 0] < right).all()
            assert (ends[:, 1] > top).all()
            assert (ends[:, 1] < bottom).all()
    assert looks > 60


@pytest.mark.parametrize("event", [pygame.QUIT, pygame.WINDOWCLOSE])
def test_closing_the_window_ends_it(event: int):
    """The close button of the desktop leaves, like Quit; nothing was said on the sound card."""
    shown = screen(path=BRACKET)
    pygame.event.post(pygame.event.Event(event))
    shown.run()

    assert shown.player.over
    assert pygame.mixer.get_init() is None


def test_watch_returns_when_the_watcher_has_left(monkeypatch: pytest.MonkeyPatch):
    """The whole of it: a window opened, a few pictures shown, closed, the display given back."""
    drawn = []
    draw = Screen.draw

    def counted(self: Screen) -> None:
        draw(self)
        drawn.append(self.player.time)
        if len(drawn) == 5:
            self.player.quit()

    monkeypatch.setattr(Screen, "draw", counted)
    show(Session(Player(read_scene(KITE))))

    assert len(drawn) == 5
    assert not pygame.display.get_init()


SCRIPT = """
import simlab
from simlab.window.screen import Screen

said = []
draw = Screen.draw

def drawn(self):
    draw(self)
    said.append(self.showing.texts.verdict)
    if said[-1] or len(said) == 600:
        self.player.quit()

Screen.draw = drawn
print("opened", simlab.watch(simlab.read_scene("scenes/banner_bracket.toml"), board="dark"), said[-1])
"""


def test_a_script_without_a_guard_opens_a_window_on_a_frame(tmp_path: Path):
    """simlab.watch(frame), as help(simlab) shows it: opened once, with the exact answer, and closed."""
    script = tmp_path / "lesson.py"
    script.write_text(SCRIPT, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, str(script)],
        capture_output=True,
        text=True,
        cwd=ROOT,
        env={**os.environ, "SDL_VIDEODRIVER": "dummy", "PYTHONPATH": str(ROOT)},
        timeout=60,
        check=False,
    )

    assert (done.stdout, done.stderr) == ("opened None determined\n", "")


def test_a_window_that_fails_is_bad_input(monkeypatch: pytest.MonkeyPatch):
    """Whatever SDL complains of becomes one message that says what to do instead."""
    monkeypatch.setenv("SDL_VIDEODRIVER", "nonsense")
    pygame.display.quit()
    with pytest.raises(BadInput, match=r"no window can be shown here: .*simlab film"):
        show(Session(Player(read_scene(KITE))))


def test_without_a_display_there_is_a_message_and_no_traceback():
    """Exit code 2, one sentence, no invisible window that runs for ever."""
    unset = ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER")
    if sys.platform != "linux" or Path("/dev/dri").exists():
        pytest.skip("there may be a display here even without these variables")
    done = subprocess.run(
        [sys.executable, "-m", "simlab", "watch", str(KITE)],
        capture_output=True,
        text=True,
        cwd=ROOT,
        env={name: value for name, value in os.environ.items() if name not in unset},
        timeout=60,
        check=False,
    )

    assert done.returncode == 2
    assert "simlab: no window can be shown here" in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stdout == ""


@each_shown
def test_every_scene_plays_through(of):
    """Let on, at rest, released, restored, in a window: no scene stumbles anywhere."""
    shown = Screen(Session(Player(of)), texts_of(solve(of)), SIZES[1])
    OPENED.append(shown)
    for _ in range(6):
        for _ in range(60):
            shown.player.advance(1 / 60)
        shown.draw()
    for _ in range(2):
        key(shown, pygame.K_b, "b")
        shown.draw()
        for _ in range(60):
            shown.player.advance(1 / 60)
        shown.draw()
    assert shown.player.is_still or of.brace is not None
