"""One frame filmed in many ways: chosen chapters, holds, pages of every shape, no answers, again."""

from __future__ import annotations

import json
from dataclasses import replace
from math import hypot, radians, tan
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from rich.progress import Progress
from seen import box_of

from simlab import BadInput, film
from simlab.commands import film_output, film_record
from simlab.commands.edge import AGREE, DISAGREE
from simlab.commands.filming import Filming, Told, wished
from simlab.film.chapters import Question
from simlab.film.fall import Fall
from simlab.film.fingerprint import Fingerprint
from simlab.film.playback import probe
from simlab.film.stage_set import StageSet
from simlab.film.storyboard import Storyboard
from simlab.film.tiles import Tiles
from simlab.pictures.marks import Arrow, Label
from simlab.pictures.placement import place
from simlab.pictures.typeset import text_of

KITE = Path(__file__).parent.parent / "scenes" / "kite_lantern.toml"
SMALL, SLOW = (320, 180), 6  # [px], [pictures/s]
PAGES = {"wide": (1280, 720), "square": (900, 900), "4:3": (1024, 768), "tall": (1080, 1920)}
# By hand: virtual work of the kite (W = 2 N, theta = 40, alpha = 20 degrees) gives the spreader's thrust
# 3 W (2 tan alpha + 5 tan theta) / 2; at L the force has the parts 5 W tan(theta) / 2 (moments of KL about
# K) and 2 W; at B, where the frame is the same left and right, what of the thrust is not taken at L.
THRUST = 3 * 2 * (2 * tan(radians(20)) + 5 * tan(radians(40))) / 2
ACROSS = 5 * 2 * tan(radians(40)) / 2  # [N]
ANSWERS = (
    f"{THRUST:.1f}",
    f"{ACROSS:.2f} N",
    "\\tan",
    "tan α",
    "values exact",
    f"{hypot(ACROSS, 2 * 2):.2f}",
    f"{THRUST - ACROSS:.1f}",
)


@pytest.fixture(scope="module")
def told() -> Told:
    """The kite's story, worked out."""
    with Progress(disable=True) as progress:
        return Filming(KITE, wishes=wished(without="working")).told(progress)


def board(told: Told, size: tuple[int, int] = SMALL, rate: int = SLOW, **options: object) -> Storyboard:
    """A film of it."""
    return Storyboard(told.story, size, rate, wished(**options))  # type: ignore[arg-type]


def pixels_of(path: Path) -> np.ndarray:
    """A picture, read back."""
    with Image.open(path) as image:
        return np.asarray(image)


def words_of(made: Storyboard) -> str:
    """All that may be read or heard in a film, twenty times in each chapter."""
    texts = [title for _, title in made.chapters] + [caption.text for caption in made.captions]
    for part in made.parts:
        for time in np.linspace(0, part.seconds, 20):
            texts += [mark.text for mark in part.draw(float(time))[0] if isinstance(mark, Label)]
    return "\n".join(texts)


def test_a_film_has_the_chapters_that_are_named(told):
    """In the order of a lesson; and a sentence where there is no such chapter."""
    assert [one.name for one in board(told, chapters="release, question").played] == ["question", "release"]
    assert "gravity" not in [one.name for one in board(told, without="gravity").played]
    with pytest.raises(BadInput, match='no chapter "working": there is nothing to work'):
        board(told, chapters="working")
    with pytest.raises(BadInput, match="no chapter of the film is left"):
        board(told, chapters="question", without="question")


def test_a_quicker_telling_leaves_the_fall_its_own_time(told):
    """Twice the pace: half the time and captions twice as early, but the collapse by its own clock."""
    usual, quick = (
        board(told, chapters="gravity, release"),
        board(told, chapters="gravity, release", quick="2"),
    )
    slow_one, slow_fall = usual.played
    one, fall = quick.played

    assert abs(2 * one.count - slow_one.count) <= 1
    assert fall.count == slow_fall.count
    assert one.time(30) == slow_one.time(60)
    said = [[c.start for c in film.captions if c.end <= film.played[0].seconds] for film in (usual, quick)]
    assert said[0] == pytest.approx([2 * start for start in said[1]])
    assert len(said[0]) > 1


def test_a_hold_is_a_still_picture_so_much_longer(told):
    """Three seconds at the end of gravity: as many pictures more, all the same; later captions wait."""
    plain = board(told, chapters="gravity, release")
    held = board(told, chapters="gravity, release", hold=["gravity=3"])
    pictures = [picture.copy() for picture in held.pictures()]
    count = plain.played[0].count

    assert len(pictures) == len(held) == len(plain) + 3 * SLOW
    assert all(np.array_equal(pictures[count - 1], pictures[count + i]) for i in range(3 * SLOW))
    assert held.captions[2].start == pytest.approx(plain.captions[2].start + 3)
    assert held.captions[1].end == held.captions[2].start == held.chapters[1][0]


def test_a_pause_is_where_something_is_asked_or_answered(told):
    """Not after the rods are put together, nor after the fall."""
    paused = [one.name for one in board(told, hold=["2"]).played if one.hold]

    assert paused == [
        "question",
        "push-or-pull",
        "gravity",
        "what-now",
        "cut",
        "with-and-without",
        "answer",
    ]


def test_a_vote_is_held_while_the_question_stands(told):
    """What is held of the chapter is the question, not what follows from it."""
    (played,) = board(told, chapters="push-or-pull", hold=["push-or-pull=5"]).played
    standing = [text for time, text in played.chapter.track if time <= played.chapter.held][-1]

    assert standing == "Does the spreader push or pull?"
    assert played.seen(played.chapter.held + 1) == pytest.approx(played.chapter.held + 6)


@pytest.mark.parametrize(("slow", "share", "words"), [("1/4", 0.25, "1/4"), ("0.4", 0.4, "2/5")])
def test_the_break_is_as_slow_as_is_wished_and_says_so(told, slow, share, words):
    """A share of real speed, in motion and in words."""
    (played,) = board(told, rate=30, chapters="release", slow=slow).played
    speed = np.diff(played.chapter.times) * 30
    said = [m.text for m in played.chapter.draw(played.chapter.telling)[0] if isinstance(m, Label)]

    assert speed.min() == pytest.approx(share)
    assert f"at {words} of real speed" in said


def test_one_chapter_gives_way_to_the_next_without_a_hard_cut(told):
    """From one picture to the next no more changes than a part of what the two chapters differ by."""
    made = board(told, rate=10, chapters="question, assembly, gravity, what-now, answer")
    pictures = [picture[..., :3].astype(int) for picture in made.pictures()]

    for one in made.played[1:]:
        first = round(one.begin * made.rate)
        whole = np.abs(pictures[first + 9] - pictures[first - 1]).mean()
        steps = [np.abs(pictures[i + 1] - pictures[i]).mean() for i in range(first - 1, first + 4)]
        assert max(steps) < 0.5 * whole, one.name


def test_the_camera_glides_from_chapter_to_chapter(told):
    """Without the chapter that makes room for the fall, the camera still gets there step by step."""
    made = board(told, rate=30, chapters="gravity, release")
    fall = made.parts[1]
    seen = []
    fall.marks_at = lambda time, camera, draw=fall.marks_at: (seen.append(camera), draw(time, camera))[1]
    before = made.parts[0].camera_at(0.0)
    for i, _ in enumerate(made.pictures()):
        if i > made.played[0].count + 30:
            break
    scales = np.array([before.scale, *(camera.scale for camera in seen)])

    assert scales[-1] == pytest.approx(fall.camera_at(1.0).scale, rel=0.01)
    assert np.abs(np.diff(scales)).max() < 0.1 * np.ptp(scales)


@pytest.mark.parametrize("shape", PAGES)
def test_nothing_is_cut_off_on_a_page_of_any_shape(told, shape):
    """Every word and every arrow of each chapter's telling picture is on the page, and words are apart."""
    made = board(told, size=PAGES[shape])
    for part in made.parts:
        marks, camera = part.draw(part.telling)
        placement = place(marks, camera, page=made.page, within=part.room)
        labels = [m for m in marks if isinstance(m, Label) and len(text_of(m).vertices) and m.opacity > 0.5]
        boxes = np.array([box_of(label, placement) for label in labels])

        assert boxes[:, :2].min() >= 0, (shape, part.title)
        assert boxes[:, 2].max() <= made.page.width, (shape, part.title)
        assert boxes[:, 3].max() <= made.page.height, (shape, part.title)
        for mark in marks:
            if isinstance(mark, Arrow) and mark.space == "frame" and mark.measure == "force":
                tail = camera.to_page(np.array(mark.tail))
                for x, y in (tail, tail + camera.arrow(mark.vector)):
                    assert 0 <= x <= made.page.width
                    assert 0 <= y <= made.page.height
        for i, (left, top, right, bottom) in enumerate(boxes):
            others = np.delete(boxes, i, axis=0)
            over = (others[:, 0] < right - 1) & (others[:, 2] > left + 1)
            over &= (others[:, 1] < bottom - 1) & (others[:, 3] > top + 1)
            assert not over.any(), (shape, part.title, labels[i].text)


def test_a_frame_that_falls_on_a_square_page_is_no_small_thing(told):
    """Where what is measured stands beside it, it takes a third of the page or more (common practice)."""
    stage = StageSet(told.story, Storyboard.page_of(PAGES["square"]), SLOW)

    assert stage.beside.scale * stage.size > stage.page.height / 3


def test_type_is_as_large_for_a_telephone():
    """The shorter side of a page is 1080 units: on a tall one type is larger beside the width."""
    assert Storyboard.page_of((1080, 1920)).width == 1080
    assert Storyboard.page_of((1920, 1080)).height == Storyboard.page_of((1024, 768)).height == 1080


def test_an_edition_without_answers_gives_nothing_away(told):
    """No value, no exact form, before the cut no force but weights; the full edition has them all.

    The forces of the fall, which are not asked, are drawn, without words.
    """
    quiet, full = board(told, answers=False), board(told)
    arrows = [
        mark.role
        for part in quiet.parts
        for time in np.linspace(0, part.seconds, 20)
        for mark in part.draw(float(time))[0]
        if isinstance(mark, Arrow) and mark.measure == "force" and mark.opacity > 0.01
        if not (isinstance(part, Fall) and time > part.before)
    ]

    assert "release" in [one.name for one in quiet.played]
    assert not {"answer", "working", "cut"} & {one.name for one in quiet.played}
    assert [word for word in ANSWERS if word in words_of(quiet)] == []
    assert set(ANSWERS) - {"tan α"} <= {word for word in ANSWERS if word in words_of(full)}
    assert set(arrows) == {"weight"}


def test_the_files_of_an_edition_without_answers_give_nothing_away(tmp_path):
    """Read back: captions, chapters, metadata, WebVTT, record; the poster is the question."""
    path = film(KITE, tmp_path / "kite.mp4", answers=False, size=SMALL, rate=SLOW)
    made = probe(path)
    said = [caption.text for caption in made.captions] + [title for _, title in made.chapters]
    files = [path.with_suffix(".vtt").read_text(), path.with_name("kite.mp4.json").read_text()]
    everything = "\n".join([*said, *made.metadata.values(), *files])

    assert [word for word in ANSWERS if word in everything] == []
    assert "agree" not in everything
    poster = pixels_of(tmp_path / "kite.mp4.png")
    with Progress(disable=True) as progress:
        quiet = (
            Filming(KITE, wishes=wished(answers=False), size=SMALL, rate=SLOW).told(progress).storyboard()
        )
    assert isinstance(quiet.parts[0], Question)
    assert np.array_equal(poster, quiet.one(quiet.parts[0], 0.0)[..., :3])


def test_a_poster_leaves_other_pictures_alone(tmp_path, capsys):
    """A picture of the film's name stays; what cannot be written is told apart from what is there."""
    mine = [tmp_path / "kite.png", tmp_path / "kite.png.json"]
    for path in mine:
        path.write_text("mine")
    options = {"chapters": ["what-now"], "size": (64, 36), "rate": SLOW}
    path = film(KITE, tmp_path / "kite.mp4", **options)

    assert [one.read_text() for one in mine] == ["mine", "mine"]
    assert pixels_of(tmp_path / "kite.mp4.png").shape == (36, 64, 3)
    assert capsys.readouterr().out == ""  # Python gives a path; the command prints
    (tmp_path / "b.mp4.png").mkdir()
    with pytest.raises(
        BadInput, match=r"b\.mp4 and its record are there, but not its poster: .*b\.mp4\.png"
    ):
        film(KITE, tmp_path / "b.mp4", **options)
    (tmp_path / "c.mp4.json").mkdir()
    with pytest.raises(
        BadInput, match=r"c\.mp4 is there, but not its record and its poster: .*c\.mp4\.json"
    ):
        film(KITE, tmp_path / "c.mp4", **options)
    assert probe(tmp_path / "c.mp4").times == probe(path).times


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ({"hold": {"gravity": 1e300}}, '^hold "gravity='),
        ({"hold": -1.0}, '^hold "-1'),
        ({"slow": 3.0}, '^slow: "3.0" is no share'),
        ({"pace": True}, '^pace: "True" is no pace'),
        ({"chapters": ["gravty"]}, '^chapters: "gravty"'),
        ({"rate": "a"}, "^a is no number of pictures a second"),
        ({"rate": True}, "^True is no number of pictures a second"),
        ({"working_chain": 0}, "^working_chain: 0 is none"),
        ({"size": (64,)}, '^"64" is no size'),
        ({"size": 5}, '^"5" is no size'),
        ({"board": 5}, '^"5" is no board'),
        ({"beside": {"z": "3"}}, '^--beside z: the scene has no letter "z"'),
        ({"beside": {"alpha": "20 deg"}}, "^--beside: these are the values that the film has already"),
    ],
)
def test_what_python_cannot_have_is_said_before_anything_is_solved(tmp_path, monkeypatch, options, says):
    """A sentence in the words of the call; and statics is not asked."""
    monkeypatch.setattr("simlab.commands.filming.first", None)
    with pytest.raises(BadInput, match=says):
        film(KITE, tmp_path / "kite.mp4", **options)
    assert not list(tmp_path.iterdir())


def test_a_film_is_made_again_from_its_record(tmp_path, capsys, monkeypatch):
    """The scene is gone, and still the same pictures; a record of other pictures is told from it."""
    scene = tmp_path / "lantern.toml"
    scene.write_text(KITE.read_text())
    path = film(scene, tmp_path / "a.mp4", {"alpha": "25 deg"}, chapters=["release"], size=SMALL, rate=SLOW)
    scene.write_text("spoiled")
    beside = tmp_path / "a.mp4.json"

    assert film_output.again(beside, None) == AGREE
    out = capsys.readouterr().out
    assert "The pictures are the same" in out
    assert "has changed since" in " ".join(out.split())
    assert (tmp_path / "a_again.mp4").read_bytes() == path.read_bytes()
    record = json.loads(beside.read_text())
    assert record["scene_text"] == KITE.read_text()
    assert record["chapters"] == ["release"]
    other = json.dumps({**record, "pictures_sha256": "f" * 64, "versions": {"simlab": "0.0.1"}})
    monkeypatch.setattr(
        film_output, "record", lambda _, path: path.with_name(f"{path.name}.json").write_text(other)
    )
    assert film_output.again(beside, None) == DISAGREE
    said = " ".join(capsys.readouterr().out.split())
    assert "The pictures are not the same" in said
    assert f"simlab was {record['versions']['simlab']}, and is 0.0.1 now" in said
    assert "processor" not in said
    old, now = (film_record.Record.of({**record, **more}) for more in ({"rate": 5}, {"pictures": 1}))
    assert "its settings were changed since" in " ".join(film_record.differences(old, now))
    assert "processor" not in " ".join(film_record.differences(old, now))
    same = film_record.Record.of(record)
    assert "another kind of processor" in list(film_record.differences(same, now))[-1]
    beside.write_text(json.dumps({**record, "class": {"colour": "red"}}))
    with pytest.raises(BadInput, match=r"the class in .*a\.mp4\.json.*colour"):
        film_output.again(beside, None)
    for key, value in (
        ("rate", True),
        ("size", [320.5, 180]),
        ("set", "alpha=1"),
        ("wishes", {"answers": "no"}),
    ):
        beside.write_text(json.dumps({**record, key: value}))
        with pytest.raises(BadInput, match="has to be"):
            film_output.again(beside, None)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "it is damaged"),
        ('{"what": "film"', "it is damaged"),
        ("[]", "it is damaged"),
        ('{"what": "film"}', "it does not say 'size'"),
        ('{"scene_sha256": "ab"}', "an earlier simlab wrote it"),
        ('{"size": [64, 36], "rate": 1e400}', '"rate" has to be'),
    ],
)
def test_a_spoiled_record_gets_a_sentence(tmp_path, text, says):
    """Empty, cut off, something else, too old; and none at all."""
    path = tmp_path / "film.mp4.json"
    path.write_text(text)

    with pytest.raises(BadInput, match=says):
        film_output.again(path, None)
    with pytest.raises(BadInput, match="cannot be read: No such file"):
        film_output.again(tmp_path / "other.json", None)


def test_stills_and_slides(tmp_path):
    """A picture of each chapter, numbered; a slide shows the brace taken away, and no more."""
    wishes = wished("question, gravity", answers=True)
    film_output.stills(Filming(KITE, wishes=wishes, size=SMALL), tmp_path / "stills")
    names = sorted(path.name for path in (tmp_path / "stills").iterdir())

    assert names == ["01_question.png", "02_gravity.png", "stills.json"]
    assert pixels_of(tmp_path / "stills" / "02_gravity.png").shape == (*SMALL[::-1], 3)


def test_a_slide_shows_the_release_alone(told):
    """Of a .gif, if nothing else is said; small and at fifteen pictures a second."""
    slide = replace(told, filming=Filming(KITE)).storyboard(Path("kite.gif"))

    assert [one.name for one in slide.played] == ["release"]
    assert (slide.size, slide.rate) == ((640, 360), 15)


def test_a_film_without_its_question_still_says_what_it_is_for(told):
    """The caution is in the band of every chapter; with the question or the answer it is said there."""
    alone, whole = board(told, chapters="release"), board(told, chapters="question, release")

    assert "For teaching" in words_of(alone)
    fall = whole.parts[1]
    texts = [mark.text for mark in fall.draw(1.0)[0] if isinstance(mark, Label)]
    assert not any("For teaching" in text for text in texts)


def test_a_fingerprint_knows_every_pixel_and_where_it_is():
    """A value of each pixel of a picture, the order of pictures, and in which tile of several a dot is."""

    def mark(*pictures: np.ndarray) -> str:
        fingerprint, tiles = Fingerprint(), Tiles(pictures[0].shape[1::-1])
        for picture in pictures:
            fingerprint.take(tiles.changed(picture))
        return fingerprint.hex

    one = np.random.default_rng(5).integers(0, 256, (18, 32, 4), np.uint8)
    others = [one.copy() for _ in range(18 * 32)]
    for i, picture in enumerate(others):
        picture[i // 32, i % 32, i % 3] ^= 1
    other = others[0]
    blank = np.zeros((120, 240, 4), np.uint8)
    dots = [blank.copy() for _ in range(4)]
    for i, picture in enumerate(dots):
        picture[7 + 60 * (i // 2), 11 + 120 * (i % 2), 0] = 255

    assert Tiles((240, 120)).shape == (2, 2)
    assert len({mark(blank, dot) for dot in dots}) == len(dots)
    assert len({mark(one, changed) for changed in others}) == len(others)
    assert mark(one, one) == mark(one.copy(), one)
    assert len({mark(one, one), mark(one, other), mark(other, one), mark(one)}) == 4
