"""The film's chapters of a worked solution: what is said, what is shown meanwhile, what is written."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from solved import found as all_found

from simlab.commands.film_working import told_working
from simlab.commands.shapes import drawn_as_asked
from simlab.errors import BadInput
from simlab.film.captions import webvtt
from simlab.film.explained import Answer, Step
from simlab.film.playback import probe
from simlab.film.recorder import write_film
from simlab.film.story import Story
from simlab.film.storyboard import Storyboard
from simlab.pictures.marks import Arrow, Label, Mark, Ring, Stroke
from simlab.pictures.typeset import text_of
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.working import Words
from simlab.simulation.release import hang

SCENES = Path(__file__).parent.parent / "scenes"
NAMES = ["kite_lantern", "stall_trestle", "gangway", "banner_bracket"]
SMALL, SLOW = (480, 270), 12  # [px], [pictures/s]: a film made for a test
SEEN = 0.2  # opacity from which words can be read at all
each = pytest.mark.parametrize("name", NAMES)


@cache
def board(name: str, conventions: Conventions = HOUSE) -> Storyboard:
    """The film of a scene with its working, small and slow, without the fall."""
    findings = all_found(SCENES / f"{name}.toml")
    statics = findings.shapes[0]
    frame = statics.frame
    own = conventions.of(frame)
    says = (statics.verdict, statics.case.freedom.rest, statics.advice)
    story = Story(frame, frame.shown, hang(frame), None, *says, statics.case.forces, (), "They agree.")
    worked = told_working(findings, own)
    asked = drawn_as_asked(findings)
    return Storyboard(replace(story, conventions=own, working=worked, asked=asked), SMALL, SLOW)


def steps(name: str) -> list[Step]:
    """The chapters of the steps."""
    return [part for part in board(name).parts if isinstance(part, Step)]


def answer(name: str) -> Answer:
    """The chapter of the answer."""
    return next(part for part in board(name).parts if isinstance(part, Answer))


def text(words: Words) -> str:
    """A sentence of a working as plain text."""
    return "".join(piece if isinstance(piece, str) else piece.plain for piece in words)


# what is said


@each
def test_every_sentence_of_the_working_is_a_caption_in_order(name):
    """What holds throughout, each step's reasons and what its result means, one after another."""
    working = board(name).parts[3].story.working.working
    sentences = [text(words) for words in working.before]
    for step in working.steps:
        sentences += [text(words) for words in (*step.reasons, *step.closing)]
    said = " ".join(caption.text for caption in board(name).captions)
    places = [said.find(sentence) for sentence in sentences]

    assert -1 not in places
    assert sorted(places) == places


@each
def test_captions_are_plain_text_and_stand_long_enough(name):
    """No mathematics for a typesetter; at least two seconds, at most three words or expressions in each."""
    own = [part for part in board(name).parts if isinstance(part, Step | Answer)]
    for part in own:
        ends = [*(start for start, _ in part.lines[1:]), part.seconds]
        for (start, words), end in zip(part.lines, ends, strict=True):
            plain = part.plain[words]

            assert not set("$\\{}") & set(plain), plain
            assert end - start >= 2.0 - 1e-9
            assert end - start >= len(re.sub(r"\$[^$]*\$", "x", words).split()) / 3.0, plain


def test_the_words_stand_beside_the_film_as_webvtt():
    """The trestle's rope, its moments and its arms, in the file beside the film."""
    vtt = webvtt(board("stall_trestle").captions)

    assert "Let T be the tension in the rope: the rope can only pull, inwards at both its ends." in vtt
    assert "Moments about C" in vtt
    assert "Arms: T, 3 a cos θ" in vtt
    assert "So the tension in the rope is 13 W tan θ / 4 = 45.5 N." in vtt


def test_a_class_hears_its_own_words():
    """Bars and compression instead of rods and thrust."""
    own = Conventions(rod="bar", thrust="compression")
    captions = " ".join(caption.text for caption in board("kite_lantern", own).captions)

    assert "Let T be the compression in the spreader" in captions
    assert "thrust" not in captions


@each
def test_the_working_has_a_chapter_for_each_step_and_one_for_the_answer(name):
    """They stand between gravity and the answers of the film, and say which part is looked at."""
    titles = [title for _, title in board(name).chapters]
    own = [title for title in titles if title.startswith("The working: ")]

    assert own == titles[3:-1]
    assert titles[2] == "Gravity is let on"
    assert own[-1] == "The working: the answer"
    assert len(own) == len(steps(name)) + 1
    assert len(own) == len(set(own))


def test_a_step_says_in_its_title_what_is_done():
    """Two equations that hold at once stand in one chapter."""
    assert "AC, moments about C; the whole frame, moments about B" in steps("gangway")[0].title


# what is shown


def found(marks: list[Mark], name: str) -> list[Mark]:
    """The marks of a name that can be seen."""
    return [mark for mark in marks if mark.name == name and mark.opacity > SEEN]


@each
def test_every_term_is_there_at_its_time_with_its_arrow_and_its_arm(name):
    """While a term is spoken of its arrow glows, its arm is drawn and it is written; not before."""
    for step in steps(name):
        for stay in step.score.stays:
            for turn in stay.turns:
                assert turn.shown
                for one in turn.shown:
                    before, _ = step.draw(one.begin - 0.2)
                    now, _ = step.draw(one.end - 0.05)

                    assert one.arrows
                    assert all(found(now, arrow) for arrow in one.arrows)
                    assert all(found(now, f"glow of {arrow}") for arrow in one.arrows)
                    assert all(found(now, f"arm of {arm}") for arm in one.arms)
                    assert found(now, f"line glow {one.term}")
                    assert not found(before, f"line glow {one.term}")
                    if turn.equation.method == "moments":
                        assert one.arms


@each
def test_forces_come_one_by_one(name):
    """No arrow before its time, each there by the time of the first equation; none pops: it grows."""
    for step in steps(name):
        for stay in step.score.stays:
            for arrow, begin in stay.arrows.items():
                if begin < 0:
                    continue
                assert not found(step.draw(begin - 0.1)[0], arrow)
                (early,) = found(step.draw(begin + 0.15)[0], arrow)
                (late,) = found(step.draw(begin + 1.0)[0], arrow)

                assert isinstance(early, Arrow)
                assert isinstance(late, Arrow)
                assert np.hypot(*early.vector) < np.hypot(*late.vector) or early.opacity < late.opacity
            first = stay.turns[0].shown[0].begin
            assert all(begin <= first for begin in stay.arrows.values())


@each
def test_the_point_about_which_moments_are_taken_is_ringed(name):
    """A ring for moments, none for resolving."""
    for step in steps(name):
        for stay in step.score.stays:
            for turn in stay.turns:
                marks, _ = step.draw(turn.shown[0].begin)
                rings = [m for m in marks if isinstance(m, Ring) and m.role == "moment point"]

                assert [m.name for m in rings] == (
                    [f"moments about {turn.equation.about}"] if turn.equation.method == "moments" else []
                )


def boxes(marks: list[Mark]) -> list[tuple[str, tuple[float, ...]]]:
    """The words that can be read, and their boxes on the page; every word has its place already."""
    result = []
    for mark in marks:
        if isinstance(mark, Label) and mark.opacity > SEEN:
            assert mark.space == "page"
            assert not mark.sides
            left, top, right, bottom = text_of(mark).box
            x, y = mark.anchor
            result.append((mark.text, (x + left, y + top, x + right, y + bottom)))
    return result


@each
def test_no_words_lie_on_others_or_off_the_page(name):
    """At twelve times of each chapter."""
    page = board(name).page
    for part in (*steps(name), answer(name)):
        moments = [part.score.to_scale + 0.3] if isinstance(part, Answer) else []
        for time in (*np.linspace(0.0, part.seconds, 12), *moments):
            marks, _ = part.draw(float(time))
            names = [mark.name for mark in marks if isinstance(mark, Label)]
            assert len(names) == len(set(names)), "places of words go by their names"
            words = boxes(marks)
            for i, (said, a) in enumerate(words):
                assert a[0] >= 0
                assert a[1] >= 0
                assert a[2] <= page.width
                assert a[3] <= page.height
                for other, b in words[i + 1 :]:
                    wide = min(a[2], b[2]) - max(a[0], b[0])
                    high = min(a[3], b[3]) - max(a[1], b[1])
                    assert wide < 1 or high < 1, f"{said} on {other} at {time:.1f} s"


@each
def test_equations_stay_in_their_column_in_type_that_can_be_read(name):
    """Left, right and foot of the board, at every line; no type below 34 units (test_cards.READABLE)."""
    for step in steps(name):
        board = step.board
        left, _, right, bottom = board.rect
        assert board.column.size >= 34.0
        for line in range(len(board.formulas)):
            for i, y in board.places[line].items():
                box = board.column.laid[i].box

                assert board.equals + box[0] >= left - 1
                assert board.equals + box[2] <= right + 1
                assert y + box[3] <= bottom + 1


def signature(marks: list[Mark]) -> list[tuple[object, ...]]:
    """What a picture is made of, as far as it can be told apart."""
    rows: list[tuple[object, ...]] = []
    for mark in marks:
        row: tuple[object, ...] = (mark.name, mark.role, round(mark.opacity, 9))
        if isinstance(mark, Stroke):
            row += (np.nan_to_num(mark.points).round(6).tobytes(),)
        elif isinstance(mark, Label):
            row += (mark.anchor, mark.text)
        elif isinstance(mark, Arrow):
            row += (mark.tail, mark.vector)
        elif isinstance(mark, Ring):
            row += (mark.centre, mark.radius)
        rows.append(row)
    return rows


@each
def test_a_still_picture_is_the_one_before(name):
    """Where a chapter says that nothing moves, nothing does; and that is a good part of the time."""
    for part in (*steps(name), answer(name)):
        times = [i / SLOW for i in range(round(part.seconds * SLOW))]
        still = [time for time in times[1:] if part.is_still(time)]

        assert len(still) > 0.25 * len(times)
        for time in still:
            assert signature(part.draw(time)[0]) == signature(part.draw(time - 1 / SLOW)[0]), time


@each
def test_the_part_leaves_the_whole_frame_and_goes_back_into_it(name):
    """At the beginning and at the end of the working the rods are where the film's own camera sees them."""
    first, last = steps(name)[0], answer(name)
    camera, plan = first.stage.camera, first.stage.plan
    for part, time in ((first, 0.0), (last, last.seconds)):
        marks, _ = part.draw(time)
        for body, ends in plan.outlines.items():
            rods = [m for m in marks if m.name == body and isinstance(m, Stroke) and m.width is not None]

            assert len(rods) == 1
            assert rods[0].opacity == 1.0
            np.testing.assert_allclose(rods[0].points, camera.to_page(ends), atol=1e-6)


def test_the_answer_is_boxed_and_the_arrows_are_to_one_scale():
    """T = 13 W tan theta / 4 = 45.5 N beside R_B = 49 W/20 = 73.5 N, for W = 30 N and theta = 25 degrees.

    By hand: whole trestle about A, 10 R_B = 2 x 2.5 W + 7.5 W + 4 x 3 W; CB about C,
    3 T cos theta + 2.5 W sin theta = 5 R_B sin theta.
    """
    part = answer("stall_trestle")
    marks, _ = part.draw(part.score.stays[0].back - 0.1)
    arrows = {
        mark.role: mark for mark in marks if isinstance(mark, Arrow) and mark.name.startswith("force on")
    }
    long = {role: float(np.hypot(*arrow.vector)) for role, arrow in arrows.items()}

    assert found(marks, "answer box")
    assert found(marks, "scale bar")
    assert not found(marks, "note")
    assert long["tension"] / long["support force"] == pytest.approx(45.466 / 73.5, rel=1e-4)
    (said,) = (mark for mark in marks if isinstance(mark, Label) and mark.name == "answer")
    assert said.text.startswith("$$T$$ =")
    assert said.text.replace("\u00a0", " ").endswith("= 45.5 N")


def test_a_force_with_two_components_is_put_together_on_the_board():
    """The gangway's reaction at A: both components, Pythagoras, size and direction."""
    part = answer("gangway")
    marks, _ = part.draw(part.score.to_scale)
    texts = [mark.text.replace("\u00a0", " ") for mark in marks if isinstance(mark, Label)]

    assert any("873 N" in said and "44.8°" in said for said in texts)
    assert any("sqrt{X_{A}^{2} + Y_{A}^{2}}" in said for said in texts)


# the film


def test_the_film_plays_with_its_working(tmp_path):
    """Every picture decodes; chapters and captions of the track are those of the storyboard."""
    film = board("banner_bracket")
    path = tmp_path / "banner.mp4"
    write_film(path, film.pictures(), size=SMALL, rate=SLOW, chapters=film.chapters, captions=film.captions)
    seen = probe(path)

    assert len(film) == len(seen.times)
    assert [title for _, title in film.chapters] == [title for _, title in seen.chapters]
    assert [caption.text for caption in film.captions] == [caption.text for caption in seen.captions]
    assert "Positive, so the stay is taut." in path.with_suffix(".vtt").read_text()


def test_the_same_working_gives_the_same_pictures():
    """Two boards, the same bits."""
    first, second = board("stall_trestle"), Storyboard(board("stall_trestle").parts[0].story, SMALL, SLOW)
    for time in (30.0, 45.0, 55.0, 62.0, 80.0):
        assert np.array_equal(first.still(time), second.still(time))


def test_another_way_may_be_shown_and_nothing_where_there_is_none():
    """The second best working has other equations; a hundredth is refused; no answer, no working."""
    findings = all_found(SCENES / "stall_trestle.toml")
    best, second = (told_working(findings, HOUSE, chain) for chain in (1, 2))
    assert best is not None
    assert second is not None

    def parts(told):
        return [(one.part.words, one.about or one.along) for one in told.working.equations]

    assert parts(best) != parts(second)
    with pytest.raises(BadInput, match=r"--working-chain 100: there are only \d+ ways"):
        told_working(findings, HOUSE, 100)
    falls = replace(findings.shapes[0], verdict="cannot rest")
    assert told_working(replace(findings, shapes=(falls,)), HOUSE) is None


def test_a_letter_that_was_to_be_found_is_boxed():
    """How far up the ladder: friction at its limit beside its arrow, the equation left over, 4.88 m.

    By hand: N_A (1 + mu^2) = 4W, N_B = mu N_A; moments about A: 3 a W cos + 3 W y cos
    = N_B 6 a (sin + mu cos), so y = a (7 mu^2 + 8 mu tan - 1)/(1 + mu^2): mu = 2/5, tan = sqrt 3, a = 1 m.
    """
    part = answer("shed_ladder")
    marks, _ = part.draw(part.seconds - 3.0)
    (said,) = (mark for mark in marks if isinstance(mark, Label) and mark.name == "answer")
    texts = [mark.text for mark in marks if isinstance(mark, Label)]

    assert (7 * 0.16 + 8 * 0.4 * 3**0.5 - 1) / 1.16 == pytest.approx(4.88, abs=0.005)
    assert "4.88 m" in said.text.replace("\u00a0", " ")
    assert any("\\mu N_{A}" in text for text in texts)
    assert found(marks, "answer box")
    assert not found(marks, "scale bar")
