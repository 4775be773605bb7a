"""Controls: one list, every entry visible as a tag and pressed by a key, both doing the same."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from itertools import combinations, pairwise
from pathlib import Path

import pytest
from small_frames import rhombus

from simlab.frame.scene import read_scene
from simlab.pictures.marks import Label, Ring, Stroke
from simlab.pictures.palette import PENS, contrast
from simlab.pictures.schemes import SCHEMES
from simlab.pictures.typeset import text_of
from simlab.window.bench import Bench, Tag
from simlab.window.control import Control, Item, Slider
from simlab.window.controls import control_of, controls
from simlab.window.layout import page_of
from simlab.window.player import Player
from simlab.window.session import Display, Session

SCENES = Path(__file__).parent.parent / "scenes"
SIZES = [(1280, 720), (960, 540), (1920, 1080), (1024, 768), (640, 480), (800, 900), (2560, 1080)]
READABLE = 12.0  # [px] of type: the least that screens' own interfaces use (common practice, no source)
TEXT, MARKS = 4.5, 3.0  # least contrast; source: WCAG 2.2, 1.4.3 and 1.4.11
DRAWERS = ("", "time", "letters", "joints", "view")
ALWAYS = ["pause", "brace", "time", "letters", "joints", "view", "record", "help"]
KEYS = {
    "pause": ("space", "Space"),
    "brace": ("b", "B"),
    "record": ("c", "C"),
    "help": ("h", "H"),
    "restart": ("r", "R"),
    "step": (".", "full stop"),
    "earlier": (",", "comma"),
    "slower": ("-", "minus"),
    "faster": ("+", "plus"),
    "hang": ("n", "N"),
    "unhang": ("m", "M"),
    "bare": ("x", "X"),
    "pull": ("g", "G"),
    "alone": ("o", "O"),
    "arrows": ("a", "A"),
    "board": ("d", "D"),
    "large": ("z", "Z"),
    "calm": ("k", "K"),
    "full": ("f", "F"),
    "quit": ("q", "Q"),
}


scene = lru_cache(read_scene)


def session(of: Player | None = None, drawer: str = "") -> Session:
    """A session with a rhombus that has a brace."""
    made = Session(of or Player(rhombus(0.8)))
    made.drawer = drawer
    return made


def bench(size: tuple[int, int] = SIZES[0], of: Session | None = None) -> Bench:
    """The bench of a window."""
    made = of or session()
    return Bench(made, controls(made), page_of(size, made.display.large))


def item(name: str, of: Session) -> Control:
    """A control by its name."""
    found = next(one for one in controls(of) if one.name == name)
    assert isinstance(found, Control)
    return found


def labels(tag: Tag, on: Bench) -> list[Label]:
    """The lines on a tag."""
    names = (f"words of {tag.item.name}", f"key of {tag.item.name}")
    return [mark for mark in on.marks() if isinstance(mark, Label) and mark.name in names]


def test_each_thing_to_do_has_a_tag_and_a_key():
    """Everything that can be pressed hangs in the row or in a drawer, by the key that stands on it."""
    made = session()

    assert [tag.item.name for tag in bench(of=made).tags] == ALWAYS
    seen = {tag.item.name for drawer in DRAWERS for tag in bench(of=session(drawer=drawer)).tags}
    for name, (key, words) in KEYS.items():
        control = control_of(key, controls(made))
        assert control is not None, key
        assert control.name == name
        assert words in control.key_words
        assert name in seen


def test_no_two_controls_share_a_key():
    """A key presses one control; Tab, Enter, Esc and the arrows are left to what has the focus."""
    keys = [key for one in controls(session()) if isinstance(one, Control) for key in one.keys]

    assert len(keys) == len(set(keys))
    assert not {"tab", "return", "escape", "left", "right", "up", "down", "home", "end"} & set(keys)


def test_an_open_drawer_hangs_where_the_row_was():
    """Pause and the brace stay, the drawer's own tag closes it, and what is above keeps its room."""
    closed = bench()
    for drawer in DRAWERS[1:]:
        hung = bench(of=session(drawer=drawer))
        names = [tag.item.name for tag in hung.tags]
        assert names[:2] == ["pause", "brace"]
        assert names[-1] == drawer
        assert hung.top == closed.top


@pytest.mark.parametrize(
    "name", ["pause", "brace", "restart", "step", "arrows", "board", "large", "calm", "full"]
)
def test_a_press_changes_something_and_a_tag_that_turns_something_on_is_lit(name: str):
    """Of two faces the other one then shows, and a second press turns back; so does the lit bead."""
    made = session()
    control, player, display = item(name, made), made.player, made.display

    def state() -> tuple[object, ...]:
        seen = (player.playing, player.time, player.is_braced, player.arrows)
        return (*seen, display.board, display.large, display.calm, display.full)

    if name == "restart":
        player.advance(0.05)
    before, was_lit = state(), control.is_lit(made)
    assert control.press(made)
    assert state() != before
    if len(control.faces) > 1:
        assert control.words(made) == control.faces[1]
        control.press(made)
        assert control.words(made) == control.faces[0]
    if control.is_on:
        assert control.is_lit(made) != was_lit


def test_speed_refuses_at_its_ends_and_says_so():
    """At the slowest and the fastest the control is greyed, tells why, and does nothing."""
    made = session()
    slower, faster = item("slower", made), item("faster", made)
    while slower.press(made):
        pass
    assert float(made.player.speed) == 0.125
    assert slower.refusal(made) == "slowest"
    assert not faster.refusal(made)
    while faster.press(made):
        pass
    assert (float(made.player.speed), faster.refusal(made)) == (2.0, "fastest")


def test_a_frame_without_a_brace_greys_its_control_with_the_reason():
    """The tag is dashed and grey, says why, does nothing when pressed, and the focus passes it by."""
    made = session(Player(scene(SCENES / "gangway.toml")))
    hung = bench(of=made)
    tag = next(tag for tag in hung.tags if tag.item.name == "brace")
    texts = [label.text for label in labels(tag, hung)]
    roles = {mark.name: mark.role for mark in hung.marks()}

    assert texts == ["Release brace", "has none"]
    assert roles["tag brace"] == "reference" != roles["tag pause"]
    assert isinstance(tag.item, Control)
    assert not tag.item.press(made)
    order = []
    for _ in hung.tags:
        order.append(hung.focused.name)
        hung.move_focus(1)
    assert "brace" not in order


def test_the_brace_is_called_by_its_name():
    """The kite's spreader is released, then restored; a name too long for a tag becomes "brace"."""
    kite = session(Player(scene(SCENES / "kite_lantern.toml")))

    assert item("brace", kite).faces == ("Release spreader", "Restore spreader")


def test_focus_goes_round_in_the_order_of_the_tags_both_ways():
    """From the first through all that do not refuse back to the first; and the other way round."""
    hung = bench(of=session(Player(scene(SCENES / "kite_lantern.toml"))))
    forth = []
    for _ in ALWAYS:
        forth.append(hung.focused.name)
        hung.move_focus(1)
    assert forth[:-1] == [name for name in ALWAYS if name != "record"]  # which refuses here
    assert forth[-1] == "pause"
    hung.focus_on(hung.first)
    hung.move_focus(-1)
    assert hung.focused.name == "help"


def test_the_focused_tag_wears_a_ring_that_can_be_seen():
    """Exactly one tag has a ring around it, at 3 : 1 on the bench, on every board."""
    hung = bench()
    hung.move_focus(1)
    rings = [mark for mark in hung.marks() if mark.name.startswith("focus of")]

    assert [ring.name for ring in rings] == ["focus of brace"]
    assert isinstance(rings[0], Stroke)
    left, top, right, bottom = hung.tags[1].rect
    low, high = rings[0].points.min(axis=0), rings[0].points.max(axis=0)
    assert low[0] < left < right < high[0]
    assert low[1] < top < bottom < high[1]
    for scheme in SCHEMES.values():
        ink, ground = scheme.pens[rings[0].role].ink, scheme.pens["band"].fill
        assert ink is not None
        assert ground is not None
        assert contrast(ink, ground) >= MARKS, scheme.name


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("large", [False, True], ids=["", "large"])
def test_tags_hang_apart_and_inside_the_page(size: tuple[int, int], large: bool):
    """In windows of any shape, with any drawer open, no tag meets another or the edge."""
    for drawer in DRAWERS:
        made = Session(Player(scene(SCENES / "kite_lantern.toml")), Display(large=large))
        made.drawer = drawer
        hung = bench(size, made)
        width, height = hung.page.width, hung.page.height
        assert width / height == pytest.approx(size[0] / size[1])
        assert hung.top > height / 2
        for tag in hung.tags:
            left, top, right, bottom = tag.rect
            assert 0 < left < right < width
            assert hung.top < top < bottom < height
        for a, b in combinations(hung.tags, 2):
            assert a.rect[2] < b.rect[0] or a.rect[3] < b.rect[1], (a.item.name, b.item.name)


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("name", ["kite_lantern", "gangway"])
def test_words_stay_on_their_tags_and_can_be_read(size: tuple[int, int], name: str):
    """Whatever stands on a tag lies within it, in type of 12 pixels or more."""
    made = session(Player(scene(SCENES / f"{name}.toml")))
    for drawer in DRAWERS:
        made.drawer = drawer
        hung = bench(size, made)
        pixels = size[1] / hung.page.height
        for _ in range(2):  # as it opens, and with every face that can be turned
            for tag in hung.tags:
                left, top, right, bottom = tag.rect
                lines = labels(tag, hung)
                assert len(lines) == (1 if isinstance(tag.item, Slider) else 2), tag.item.name
                for label in lines:
                    box, (x, y) = text_of(label).box, label.anchor
                    assert left < x + box[0] < x + box[2] < right, (label.text, size)
                    assert top < y + box[1] < y + box[3] < bottom, (label.text, size)
                    assert label.size * pixels >= READABLE
                for words, key in pairwise(lines):  # one below the other
                    assert words.anchor[1] + text_of(words).box[3] < key.anchor[1] + text_of(key).box[1] + 4
            item("pause", made).press(made)
            item("brace", made).press(made)


def test_words_on_tags_have_contrast():
    """4.5 : 1 on paper, and for a greyed control on the bench as well, on every board."""
    for scheme in SCHEMES.values():
        pens = scheme.pens
        for role, ground in (("text", "box"), ("quiet text", "box"), ("quiet text", "band")):
            ink, fill = pens[role].ink, pens[ground].fill
            assert ink is not None
            assert fill is not None
            assert contrast(ink, fill) >= TEXT, (scheme.name, role, ground)


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
    hung = bench(of=session(Player(scene(SCENES / "gangway.toml"))))

    def lit(one: Item) -> bool:
        return any(mark.name == f"light of {one.name}" for mark in hung.marks(one))

    by_name = {one.name: one for one in hung.items}
    assert lit(by_name["pause"])
    assert not lit(by_name["brace"])


def test_the_bench_is_drawn_by_marks_of_the_palette():
    """Strokes, rings and labels, each in a role that the palette knows: one look for window and film."""
    for drawer in DRAWERS:
        for mark in bench(of=session(drawer=drawer)).marks():
            assert isinstance(mark, (Stroke, Ring, Label))
            assert mark.role in PENS
            assert mark.space == "page"


def slider() -> tuple[Session, Slider]:
    """The kite's slider for theta, which goes from 10 to 70 degrees there."""
    made = session(Player(scene(SCENES / "kite_lantern.toml")), "letters")
    found = next(one for one in controls(made) if one.name == "letter theta")
    assert isinstance(found, Slider)
    return made, found


def test_keys_move_a_slider_by_steps_pages_and_to_its_ends():
    """A degree by an arrow key, ten by a page key, Home and End to the ends; never beyond."""
    made, theta = slider()
    low, high = theta.stops[0], theta.stops[-1]
    at = [theta.value(made)]
    for key in ("right", "left", "up", "page up", "page down", "end", "right", "home", "down"):
        assert theta.key(made, key)
        at.append(theta.value(made))

    assert at == [40, 41, 40, 41, 51, 41, high, high, low, low]
    assert not theta.key(made, "x")


def test_a_bead_is_where_its_value_is_on_the_track():
    """At a quarter of the way the bead stands at a quarter of the track, and the tag says the value."""
    made, theta = slider()
    theta.put_share(made, 0.25)
    hung = bench(of=made)
    tag = next(tag for tag in hung.tags if tag.item.name == theta.name)
    (left, y), (right, _) = tag.track
    bead = next(mark for mark in hung.marks() if mark.name == f"bead of {theta.name}")
    label = next(mark for mark in hung.marks() if mark.name == f"words of {theta.name}")
    wanted = theta.stops[0] + (theta.stops[-1] - theta.stops[0]) / Fraction(4)

    assert isinstance(bead, Ring)
    assert isinstance(label, Label)
    assert theta.value(made) == pytest.approx(float(wanted), abs=0.5)
    assert bead.centre[1] == y
    assert (bead.centre[0] - left) / (right - left) == pytest.approx(theta.share(made))
    assert label.text == rf"$\theta$ = {int(theta.value(made))}°"
    assert tag.share_at(bead.centre[0]) == pytest.approx(theta.share(made))
