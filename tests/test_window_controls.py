"""Controls: one list, every entry visible as a tag and pressed by a key, both doing the same."""

from __future__ import annotations

from functools import lru_cache
from itertools import combinations
from pathlib import Path

import pytest
from small_frames import rhombus

from simlab.frame.scene import read_scene
from simlab.pictures.marks import Label, Ring, Stroke
from simlab.pictures.palette import BAND, PENS, contrast
from simlab.pictures.typeset import text_of
from simlab.window.bench import Bench, Tag
from simlab.window.controls import Control, control_of, controls
from simlab.window.layout import page_of
from simlab.window.player import Player

SCENES = Path(__file__).parent.parent / "scenes"
SIZES = [(1280, 720), (960, 540), (1920, 1080), (1024, 768), (640, 480), (800, 900), (2560, 1080)]
READABLE = 12.0  # [px] of type: the least that screens' own interfaces use (common practice, no source)
TEXT, MARKS = 4.5, 3.0  # least contrast; source: WCAG 2.2, 1.4.3 and 1.4.11
KEYS = {
    "pause": ("space", "Space"),
    "step": (".", "full stop"),
    "slower": ("-", "minus"),
    "faster": ("+", "plus"),
    "restart": ("r", "R"),
    "brace": ("b", "B"),
    "arrows": ("a", "A"),
    "quit": ("escape", "Esc"),
}


scene = lru_cache(read_scene)


def player() -> Player:
    """A player of a rhombus with a brace."""
    return Player(rhombus(0.8))


def bench(size: tuple[int, int] = SIZES[0], of: Player | None = None) -> Bench:
    """The bench of a window."""
    return Bench(controls(of or player()), page_of(size))


def labels(tag: Tag, of: Player, on: Bench) -> list[Label]:
    """The two lines on a tag."""
    names = (f"words of {tag.control.name}", f"key of {tag.control.name}")
    return [mark for mark in on.marks(of) if isinstance(mark, Label) and mark.name in names]


def test_each_control_of_the_issue_has_a_tag_and_a_key():
    """Pause, step, speed, restart, release, arrows, quit: on the bench, by the key that stands on each."""
    hung = bench()

    assert [tag.control.name for tag in hung.tags] == list(KEYS)
    for name, (key, words) in KEYS.items():
        control = control_of(key, hung.controls)
        assert control is not None, key
        assert control.name == name
        assert words in control.key_words


def test_no_two_controls_share_a_key():
    """A key presses one control; Tab and Return are left to the focus."""
    keys = [key for control in controls(player()) for key in control.keys]

    assert len(keys) == len(set(keys))
    assert not {"tab", "return"} & set(keys)


@pytest.mark.parametrize("name", [name for name in KEYS if name != "quit"])
def test_a_control_says_what_it_would_do_now(name: str):
    """A press changes something; of two faces the other one then shows, and a second press turns back."""
    made = player()
    control = next(c for c in controls(made) if c.name == name)

    def state() -> tuple[object, ...]:
        return (made.playing, made.time, made.speed, made.is_braced, made.arrows, control.words(made))

    if name == "restart":
        made.advance(0.05)
    before = state()
    assert control.press(made)
    assert state() != before
    if len(control.faces) > 1:
        assert control.words(made) == control.faces[1]
        control.press(made)
        assert control.words(made) == control.faces[0]


def test_speed_refuses_at_its_ends_and_says_so():
    """At the slowest and the fastest the control is greyed, tells why, and does nothing."""
    made = player()
    slower, faster = (next(c for c in controls(made) if c.name == n) for n in ("slower", "faster"))
    while slower.press(made):
        pass
    assert float(made.speed) == 0.125
    assert slower.refusal(made) == "slowest"
    assert not faster.refusal(made)
    while faster.press(made):
        pass
    assert (float(made.speed), faster.refusal(made)) == (2.0, "fastest")


def test_a_frame_without_a_brace_greys_its_control_with_the_reason():
    """The tag is dashed and grey, says why, does nothing when pressed, and the focus passes it by."""
    made = Player(scene(SCENES / "gangway.toml"))
    hung = bench(of=made)
    tag = next(tag for tag in hung.tags if tag.control.name == "brace")
    texts = [label.text for label in labels(tag, made, hung)]
    roles = {mark.name: mark.role for mark in hung.marks(made)}

    assert texts == ["Release brace", "this frame has none"]
    assert roles["tag brace"] == "reference" != roles["tag pause"]
    assert not tag.control.press(made)
    order = []
    for _ in hung.controls:
        order.append(hung.focused.name)
        hung.move_focus(made, 1)
    assert "brace" not in order


def test_the_brace_is_called_by_its_name():
    """The kite's spreader is released, then restored; a name too long for a tag becomes "brace"."""
    kite = Player(scene(SCENES / "kite_lantern.toml"))
    faces = next(c.faces for c in controls(kite) if c.name == "brace")

    assert faces == ("Release spreader", "Restore spreader")


def test_focus_goes_round_in_the_order_of_the_tags_both_ways():
    """Tab from the first through all of them back to the first; Shift-Tab the other way round."""
    made, hung = player(), bench()
    forth = []
    for _ in KEYS:
        forth.append(hung.focused.name)
        hung.move_focus(made, 1)
    assert forth == list(KEYS)
    assert hung.focused.name == "pause"
    hung.move_focus(made, -1)
    assert hung.focused.name == "quit"


def test_the_focused_tag_wears_a_ring_that_can_be_seen():
    """Exactly one tag has a ring around it, at 3 : 1 on the bench."""
    made, hung = player(), bench()
    hung.move_focus(made, 1)
    rings = [mark for mark in hung.marks(made) if mark.name.startswith("focus of")]

    assert [ring.name for ring in rings] == ["focus of step"]
    assert isinstance(rings[0], Stroke)
    left, top, right, bottom = hung.tags[1].rect
    low, high = rings[0].points.min(axis=0), rings[0].points.max(axis=0)
    assert low[0] < left < right < high[0]
    assert low[1] < top < bottom < high[1]
    ink = PENS[rings[0].role].ink
    assert ink is not None
    assert contrast(ink, BAND) >= MARKS


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_tags_hang_apart_and_inside_the_page(size: tuple[int, int]):
    """In windows of any shape no tag meets another or the edge, and the order is that of reading."""
    hung = bench(size)
    width, height = hung.page.width, hung.page.height

    assert width / height == pytest.approx(size[0] / size[1])
    for tag in hung.tags:
        left, top, right, bottom = tag.rect
        assert 0 < left < right < width
        assert hung.top < top < bottom < height
    for a, b in combinations(hung.tags, 2):
        assert a.rect[2] < b.rect[0] or a.rect[3] < b.rect[1], (a.control.name, b.control.name)


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("name", ["kite_lantern", "gangway"])
def test_words_stay_on_their_tags_and_can_be_read(size: tuple[int, int], name: str):
    """Whatever stands on a tag lies within it, in type of 12 pixels or more."""
    made = Player(scene(SCENES / f"{name}.toml"))
    hung = bench(size, made)
    pixels = size[1] / hung.page.height
    for _ in range(2):  # as it opens, and with every face that can be turned
        for tag in hung.tags:
            left, top, right, bottom = tag.rect
            words, key = labels(tag, made, hung)
            for label in (words, key):
                box, (x, y) = text_of(label).box, label.anchor
                assert left < x + box[0] < x + box[2] < right, (label.text, size)
                assert top < y + box[1] < y + box[3] < bottom, (label.text, size)
                assert label.size * pixels >= READABLE
            assert words.anchor[1] + text_of(words).box[3] < key.anchor[1] + text_of(key).box[1] + 4
        for control in hung.controls:
            if control.name in ("pause", "brace", "arrows"):
                control.press(made)


def test_words_on_tags_have_contrast():
    """4.5 : 1 on white paper, and for a greyed control on the bench as well."""
    for role, ground in (("text", "#FFFFFF"), ("quiet text", "#FFFFFF"), ("quiet text", BAND)):
        ink = PENS[role].ink
        assert ink is not None
        assert contrast(ink, ground) >= TEXT, (role, ground)


def test_a_point_hits_the_tag_it_is_on():
    """The middle of each tag is that tag's; between two tags, and above the bench, is nobody's."""
    hung = bench()
    for tag in hung.tags:
        left, top, right, bottom = tag.rect
        assert hung.tag_at(((left + right) / 2, (top + bottom) / 2)) is tag
        assert hung.tag_at((right + 2, (top + bottom) / 2)) is not tag
    assert hung.tag_at((hung.page.width / 2, hung.top - 10)) is None


def test_a_light_lies_under_the_tag_below_the_pointer():
    """The hovered tag glows; a control that refuses does not."""
    made = Player(scene(SCENES / "gangway.toml"))
    hung = bench(of=made)

    def lit(control: Control) -> bool:
        return any(mark.name == f"light of {control.name}" for mark in hung.marks(made, control))

    by_name = {control.name: control for control in hung.controls}
    assert lit(by_name["pause"])
    assert not lit(by_name["brace"])


def test_the_bench_is_drawn_by_marks_of_the_palette():
    """Strokes, rings and labels, each in a role that the palette knows: one look for window and film."""
    for mark in bench().marks(player()):
        assert isinstance(mark, (Stroke, Ring, Label))
        assert mark.role in PENS
        assert mark.space == "page"
