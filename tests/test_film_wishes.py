"""How a film is wished for: on the command line, in a scene, in plain data."""

from __future__ import annotations

from pathlib import Path

import pytest

from simlab import BadInput, SceneError, parse_scene, schema
from simlab.commands.filming import wished
from simlab.film.sizes import SIZES, size_of
from simlab.film.storyboard import CHAPTERS, MISSING
from simlab.frame.film_wishes import CHAPTER_NAMES, FilmWishes

KITE = (Path(__file__).parent.parent / "scenes" / "kite_lantern.toml").read_text()


def test_every_chapter_that_can_be_named_is_in_the_storyboard():
    """The names of scene files and commands are those of the table; what may be missing has a reason."""
    assert set(CHAPTER_NAMES) == set(CHAPTERS)
    assert set(MISSING) < set(CHAPTERS)


def test_chapters_come_in_the_order_of_a_lesson_whatever_order_they_are_named_in():
    """ "release, question" is question, then release; what is left out is left out."""
    wishes = wished("release, question ,gravity", without="gravity")

    assert [name for name in CHAPTER_NAMES if wishes.shows(name)] == ["question", "release"]


def test_holds_are_of_a_chapter_or_of_all_that_ask():
    """Several in one option, or several options; with a unit or without."""
    wishes = wished(hold=["gravity=6 s, release = 2.5", "4"])

    assert wishes.hold == {"gravity": 6.0, "release": 2.5}
    assert wishes.pause == 4.0


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ({"chapters": "grvity"}, '--chapters: "grvity" is not a chapter.*Did you mean "gravity"'),
        ({"without": "gravity,"}, '--without: "" is not a chapter'),
        ({"hold": ["gravity=6 m"]}, '--hold "gravity=6 m": "6 m" is no time. Write seconds'),
        ({"hold": ["gravity=-1"]}, '"-1" is no time'),
        ({"hold": ["601"]}, "up to 600"),
        ({"hold": ["fall=2"]}, '"fall" is not a chapter'),
        ({"slow": "0"}, '--slow: "0" is no share of real speed'),
        ({"slow": "2"}, '"2" is no share'),
        ({"slow": "1/0"}, '"1/0" is no share'),
        ({"quick": "5"}, '--pace: "5" is no pace. Write a number from 0.5 to 4'),
        ({"quick": "fast"}, '"fast" is no pace'),
    ],
)
def test_a_wish_that_cannot_be_met_gets_a_sentence(options, says):
    """The option, what came, what is allowed."""
    with pytest.raises(BadInput, match=says):
        wished(**options)


def test_a_scene_may_say_how_it_is_filmed_and_the_command_wins():
    """[film] in the scene; where the command says nothing, the scene's own words stand."""
    table = (
        '[film]\nchapters = ["release", "gravity"]\nhold = { gravity = 6 }\nslow = "1/4"\n'
        "answers = false\npace = 2\n"
    )
    own = parse_scene(f"{KITE}\n{table}").film

    assert own == FilmWishes(("gravity", "release"), (), {"gravity": 6.0}, None, 0.25, False, 2.0)
    both = wished(slow="0.5", answers=True).over(own)
    assert (both.slow, both.answers, both.chapters) == (0.5, True, ("gravity", "release"))
    assert wished("working").over(FilmWishes(without=("working",))).shows("working")
    assert parse_scene(f"{KITE}\n[film]\nhold = 4\n").film == FilmWishes(pause=4.0)
    assert parse_scene(KITE).film == FilmWishes()


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ('chapters = ["grvity"]', r'line \d+, \[film\] chapters: .*"grvity" is not known.*mean "gravity"'),
        ('chapter = ["gravity"]', r'\[film\] chapter: "chapter" is not a key here.*mean "chapters"'),
        ("hold = { gravty = 3 }", r'\[film\] hold: .*"gravty" is not known'),
        ('hold = "six"', r'\[film\] hold: "six" is no time'),
        ("pace = 9", r'\[film\] pace: "9" is no pace'),
        ("slow = 3", r'\[film\] slow: "3" is no share'),
        ('answers = "no"', r"\[film\] answers: expected true or false"),
    ],
)
def test_a_wrong_key_of_the_film_table_is_named_with_its_line(line, says):
    """As everywhere in a scene: line, table, key, what came, what is allowed."""
    with pytest.raises(SceneError, match=says):
        parse_scene(f"{KITE}\n[film]\n{line}\n")


def test_editors_know_the_film_table():
    """The published schema has it, with the names of the chapters."""
    text = str(schema())

    assert "'film'" in text
    assert all(f"'{name}'" in text for name in CHAPTER_NAMES)


def test_wishes_survive_as_plain_data():
    """What a record keeps gives the same wishes again."""
    wishes = wished("gravity, release", hold=["gravity=2.5", "1"], slow="1/3", answers=False, quick="1.5")

    assert FilmWishes.of(wishes.told) == wishes
    assert FilmWishes().told == {}
    assert FilmWishes.of(FilmWishes(pause=1e-05).told) == FilmWishes(pause=1e-05)  # JSON writes 1e-05
    assert FilmWishes.of(wished(hold=["0"]).told).pause == 0.0  # or a scene's own pause would come back


def test_sizes_have_names():
    """The usual names (common practice, no source), a telephone's, and any other in pixels."""
    assert [SIZES[name][1] for name in ("720p", "1080p", "1440p", "4k")] == [720, 1080, 1440, 2160]
    assert all(16 * high == 9 * wide for name, (wide, high) in SIZES.items() if name != "tall")
    assert size_of("tall") == (1080, 1920)
    assert size_of(" 800 x 600") == (800, 600)
    with pytest.raises(BadInput, match=r'"3k" is no size\. Sizes: 720p'):
        size_of("3k")
