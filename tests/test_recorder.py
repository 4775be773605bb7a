"""The film recorder: what is in a film, and that it is written whole or not at all."""

from __future__ import annotations

import errno
import json
import os
import resource
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import suppress
from fractions import Fraction
from itertools import pairwise, product
from pathlib import Path

import av
import numpy as np
import pytest
from av.subtitles.subtitle import AssSubtitle
from numpy.typing import NDArray

from simlab.errors import BadInput, SimlabFault
from simlab.film.captions import Caption
from simlab.film.encoder import Encoder
from simlab.film.files import write_record
from simlab.film.formats import LARGEST
from simlab.film.playback import probe
from simlab.film.recorder import Recorder, write_film
from simlab.film.tiles import Patch, Picture
from simlab.film.words import METADATA

SMALL = (128, 96)  # [px] where the size does not matter
BEFORE = b"the film that was there"
CAPTIONS = [Caption(0.25, 0.5, "Thrust = 2W tan θ"), Caption(0.5, 1.0, "√3 W/2\nat 30°")]


def moving(count: int, size: tuple[int, int] = SMALL) -> Iterator[Picture]:
    """A white ground with a mark that moves on in each picture."""
    width, height = size
    for i in range(count):
        picture = np.full((height, width, 4), 255, np.uint8)
        picture[8:40, (4 * i) % (width - 32) :][:, :32] = (213, 94, 0, 255)
        yield picture


def noise(count: int, size: tuple[int, int] = SMALL) -> Iterator[Picture]:
    """Seeded noise, which no encoder can make small."""
    chance = np.random.default_rng(7)
    for _ in range(count):
        yield chance.integers(0, 256, (size[1], size[0], 4), np.uint8)


def planes(path: Path) -> list[list[NDArray[np.float64]]]:
    """Y, Cb, Cr of each picture, as stored."""
    with av.open(str(path)) as file:
        return [
            [
                np.frombuffer(bytes(plane), np.uint8)
                .reshape(plane.height, -1)[:, : plane.width]
                .astype(float)
                for plane in frame.planes
            ]
            for frame in file.decode(video=0)
        ]


@pytest.fixture
def film(tmp_path: Path) -> Path:
    """A film that is there already, with its captions."""
    path = tmp_path / "ring.mp4"
    path.write_bytes(BEFORE)
    path.with_suffix(".vtt").write_bytes(BEFORE)
    return path


def is_as_before(film: Path) -> bool:
    """Whether the folder holds exactly the old film and its captions, and no thread is left over."""
    files = {p.name: p.read_bytes() for p in film.parent.iterdir()}
    encoders = [thread for thread in threading.enumerate() if thread.name == "film encoder"]
    for thread in encoders:
        thread.join(timeout=5)
    return files == {"ring.mp4": BEFORE, "ring.vtt": BEFORE} and not any(t.is_alive() for t in encoders)


# ---- what is in a film


@pytest.mark.parametrize(("size", "count"), [((640, 360), 120), ((1920, 1080), 30), ((854, 480), 10)])
def test_every_picture_comes_at_its_time(tmp_path: Path, size: tuple[int, int], count: int) -> None:
    """All pictures are there, in size, the first at 0, each exactly 1/60 s after the last."""
    written = write_film(tmp_path / "ring.mp4", moving(count, size), size=size)

    played = probe(tmp_path / "ring.mp4")
    assert written == count == len(played.times)
    assert played.size == size
    assert played.rate == 60
    assert played.times[0] == 0
    assert {b - a for a, b in pairwise(played.times)} == {Fraction(1, 60)}
    assert played.duration == pytest.approx(count / 60, abs=1e-3)  # the file counts in milliseconds


def test_a_player_can_jump_every_two_seconds(tmp_path: Path) -> None:
    """Of 25 pictures a second, number 0, 50, 100 ... stand on their own."""
    write_film(tmp_path / "ring.mp4", moving(140), size=SMALL, rate=25)

    played = probe(tmp_path / "ring.mp4")
    assert {0, 50, 100} <= set(played.keys)
    assert played.times[-1] == Fraction(139, 25)


def test_colours_are_those_of_bt_709(tmp_path: Path) -> None:
    """Each of 64 patches is stored as BT.709 says, within 2 levels, and the film is tagged so.

    Source: ITU-R BT.709-6, items 3.2 to 3.4 (luma, colour differences) and 4.6 (levels 16 to 235, 240).
    """
    colours = list(product((0, 94, 213, 255), repeat=3))
    grid = np.full((8, 8, 4), 255, np.uint8)
    grid[..., :3] = np.array(colours).reshape(8, 8, 3)
    picture = grid.repeat(32, axis=0).repeat(32, axis=1)
    write_film(tmp_path / "ring.mp4", [picture] * 5, size=(256, 256))

    luma, blue, red = planes(tmp_path / "ring.mp4")[-1]
    for i, rgb in enumerate(colours):
        r, g, b = (level / 255 for level in rgb)
        y = 0.2126 * r + 0.7152 * g + 0.0722 * b
        row, column = 32 * (i // 8) + 16, 32 * (i % 8) + 16  # the middle of the patch
        assert luma[row, column] == pytest.approx(16 + 219 * y, abs=2)
        assert blue[row // 2, column // 2] == pytest.approx(128 + 224 * (b - y) / 1.8556, abs=2)
        assert red[row // 2, column // 2] == pytest.approx(128 + 224 * (r - y) / 1.5748, abs=2)
    assert probe(tmp_path / "ring.mp4").colour == (1, 1, 1, 1)  # BT.709, limited (ITU-T H.273)


def test_the_index_stands_in_front(tmp_path: Path) -> None:
    """The box `moov` comes before `mdat`, so a film plays while it loads (ISO/IEC 14496-12)."""
    write_film(tmp_path / "ring.mp4", moving(10), size=SMALL)

    data, at, boxes = (tmp_path / "ring.mp4").read_bytes(), 0, []
    while at < len(data):
        boxes.append(data[at + 4 : at + 8])
        at += int.from_bytes(data[at : at + 4], "big")
    assert boxes[0] == b"ftyp"
    assert boxes.index(b"moov") < boxes.index(b"mdat")


def test_chapters_captions_and_title_are_read_back(tmp_path: Path) -> None:
    """Chapters, captions with θ, √ and °, title and caution are in the film; captions beside it too."""
    path = tmp_path / "ring.mp4"
    braces = Caption(1.5, 1.75, r"{\b1} is not a command; \N is no new line")
    chapters = [(0, "Question"), (0.5, "θ grows"), (1.5, "Cut")]
    metadata = dict.fromkeys(METADATA, "for teaching: α ≤ 30°")
    write_film(
        path, moving(120), size=SMALL, chapters=chapters, captions=[*CAPTIONS, braces], metadata=metadata
    )

    played = probe(path)
    assert list(played.chapters) == chapters
    assert list(played.captions) == [*CAPTIONS, braces]
    assert metadata.items() <= played.metadata.items()
    assert len(played.times) == 120
    assert played.duration == 2
    assert "00:00:00.250 --> 00:00:00.500\nThrust = 2W tan θ\n" in path.with_suffix(".vtt").read_text(
        "utf-8"
    )


def test_the_caption_track_is_read_by_a_decoder_of_subtitles(tmp_path: Path) -> None:
    """FFmpeg's own decoder of timed text finds the same words and line ends."""
    write_film(tmp_path / "ring.mp4", moving(60), size=SMALL, captions=CAPTIONS)

    with av.open(str(tmp_path / "ring.mp4")) as file:
        track = file.streams.subtitles[0]
        decoded = [subtitle for packet in file.demux(track) for subtitle in packet.decode()]
    found = [s.dialogue.decode() for s in decoded if isinstance(s, AssSubtitle) and s.dialogue]
    assert found == [caption.text for caption in CAPTIONS]


def test_a_film_without_chapters_and_captions_has_none(film: Path) -> None:
    """Nothing is made up, and captions of an older film do not stay beside the new one."""
    write_film(film, moving(10), size=SMALL)

    assert probe(film).chapters == ()
    assert probe(film).captions == ()
    assert [p.name for p in film.parent.iterdir()] == ["ring.mp4"]


def test_the_same_pictures_give_the_same_bytes(tmp_path: Path) -> None:
    """Two films of the same pictures are equal byte for byte, and so is one from another process."""
    for name in ("a", "b"):
        write_film(
            tmp_path / f"{name}.mp4", noise(90), size=SMALL, captions=CAPTIONS, chapters=[(0, "All")]
        )
    in_another_process(
        f"write_film({str(tmp_path / 'c.mp4')!r}, noise(90), size=SMALL, captions=CAPTIONS, "
        "chapters=[(0, 'All')])"
    )

    a, b, c = ((tmp_path / f"{name}.mp4").read_bytes() for name in "abc")
    assert a == b == c


def test_stills_are_converted_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same object again is not converted again, and the film is that of so many copies."""
    first, second = noise(2)
    copies = [first.copy() for _ in range(30)] + [second.copy() for _ in range(30)]
    write_film(tmp_path / "copies.mp4", copies, size=SMALL)
    converted: list[Patch] = []
    encode = Encoder.encode

    def counted(self: Encoder, patch: Patch) -> None:
        converted.append(patch)
        encode(self, patch)

    monkeypatch.setattr(Encoder, "encode", counted)
    write_film(tmp_path / "stills.mp4", [first] * 30 + [second] * 30, size=SMALL)

    assert len(converted) == 2
    assert (tmp_path / "stills.mp4").read_bytes() == (tmp_path / "copies.mp4").read_bytes()


def test_a_canvas_may_draw_all_pictures_on_one_array(tmp_path: Path) -> None:
    """An object that is drawn on again is a new picture, also upside down or in another memory order."""

    def on_one_array() -> Iterator[Picture]:
        canvas = np.empty((96, 128, 4), np.uint8)
        for picture in moving(60):
            canvas[:] = picture
            yield canvas

    write_film(tmp_path / "a.mp4", moving(60), size=SMALL)
    write_film(tmp_path / "b.mp4", on_one_array(), size=SMALL)
    write_film(tmp_path / "c.mp4", (p[::-1].copy(order="F")[::-1] for p in moving(60)), size=SMALL)

    a, b, c = ((tmp_path / f"{name}.mp4").read_bytes() for name in "abc")
    assert a == b == c


def test_progress_counts_the_pictures(tmp_path: Path) -> None:
    """It is told 1, 2, 3 ... as they are drawn."""
    told: list[int] = []
    write_film(tmp_path / "ring.mp4", moving(20), size=SMALL, progress=told.append)

    assert told == list(range(1, 21))


@pytest.mark.parametrize("error", [None, ZeroDivisionError])
def test_recording_leaves_the_interpreter_as_it_was(film: Path, error: type[Exception] | None) -> None:
    """Threads take turns more often during a recording, and as before afterwards, errors or not."""
    before = sys.getswitchinterval()
    during = []
    with suppress(ZeroDivisionError), Recorder(film, size=SMALL) as recorder:
        recorder.add(next(moving(1)))
        during.append(sys.getswitchinterval())
        if error:
            raise error

    assert during[0] < before == sys.getswitchinterval()


# ---- whole or not at all


@pytest.mark.parametrize("at", [0, 1, 30])
@pytest.mark.parametrize("error", [ZeroDivisionError, KeyboardInterrupt, OSError, SystemExit])
def test_an_error_while_drawing_leaves_the_old_film(
    film: Path, at: int, error: type[BaseException]
) -> None:
    """Whatever stops the drawing reaches the caller as it is; the old film stays, and nothing else."""

    def pictures() -> Iterator[Picture]:
        yield from moving(at)
        raise error

    with pytest.raises(error):
        write_film(film, pictures(), size=SMALL, captions=CAPTIONS)
    assert is_as_before(film)


def test_ctrl_c_leaves_the_old_film(film: Path) -> None:
    """The signal itself, in the middle of the drawing."""

    def pictures() -> Iterator[Picture]:
        for i, picture in enumerate(moving(600)):
            if i == 100:
                signal.raise_signal(signal.SIGINT)
            yield picture

    with pytest.raises(KeyboardInterrupt):
        write_film(film, pictures(), size=SMALL, captions=CAPTIONS)
    assert is_as_before(film)


def test_ctrl_c_while_finishing_leaves_one_whole_film(film: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Film and captions are put in place together even if the signal comes between the two."""
    replace = os.replace

    def replace_slowly(part: Path, path: Path) -> None:
        replace(part, path)
        os.kill(os.getpid(), signal.SIGINT)
        time.sleep(0.1)

    monkeypatch.setattr(os, "replace", replace_slowly)
    with pytest.raises(KeyboardInterrupt):
        write_film(film, moving(60), size=SMALL, captions=CAPTIONS)

    assert sorted(p.name for p in film.parent.iterdir()) == ["ring.mp4", "ring.vtt"]
    assert list(probe(film).captions) == CAPTIONS
    assert film.with_suffix(".vtt").read_text("utf-8").startswith("WEBVTT")


def test_a_killed_process_leaves_the_old_film(film: Path) -> None:
    """Nothing has the film's name before it is whole, so even SIGKILL cannot leave half of it."""
    code = in_another_process(
        "def pictures():\n"
        "    yield from noise(200)\n"
        "    os.kill(os.getpid(), signal.SIGKILL)\n"
        f"write_film({str(film)!r}, pictures(), size=SMALL, captions=CAPTIONS)"
    )

    assert code == -signal.SIGKILL
    assert film.read_bytes() == film.with_suffix(".vtt").read_bytes() == BEFORE
    assert all(p.suffix == ".part" for p in film.parent.iterdir() if p.stem != "ring")


@pytest.mark.parametrize("share", [0.0, 0.3, 0.9, 0.9999])
def test_a_film_that_cannot_grow_leaves_the_old_one(film: Path, tmp_path: Path, share: float) -> None:
    """The system stops the file at a share of its size: at its head, within, while its index moves."""
    whole = tmp_path / "elsewhere" / "whole.mp4"
    whole.parent.mkdir()
    write_film(whole, noise(90), size=SMALL)
    size = whole.stat().st_size
    whole.unlink()
    whole.parent.rmdir()
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (int(share * size), hard))
    try:
        with pytest.raises(BadInput, match=r"ring\.mp4 cannot be written: File too large") as raised:
            write_film(film, noise(90), size=SMALL)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))

    assert isinstance(raised.value.__cause__, OSError)
    assert raised.value.__cause__.errno == errno.EFBIG
    assert is_as_before(film)


@pytest.mark.skipif(sys.platform != "linux" or os.geteuid() != 0, reason="needs root to mount a small disk")
@pytest.mark.parametrize("room", ["8k", "60k", "512k", "900k"])
def test_a_full_disk_leaves_the_old_film(tmp_path: Path, room: str) -> None:
    """On a disk that is too small for a second film the old one stays, and nothing else."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={room}", "tmpfs", disk], check=False)
    if mounted.returncode:
        pytest.skip("this machine does not let root mount")
    try:
        film = disk / "ring.mp4"
        film.write_bytes(BEFORE)
        film.with_suffix(".vtt").write_bytes(BEFORE)
        with pytest.raises(BadInput, match="No space left on device") as raised:
            write_film(film, noise(90), size=SMALL, captions=CAPTIONS)
        assert isinstance(raised.value.__cause__, OSError)
        assert raised.value.__cause__.errno == errno.ENOSPC
        assert is_as_before(film)
    finally:
        subprocess.run(["umount", disk], check=True)


@pytest.mark.parametrize("method", ["encode", "finish"])
def test_an_error_in_the_worker_reaches_the_caller(
    film: Path, monkeypatch: pytest.MonkeyPatch, method: str
) -> None:
    """The very error, at the next picture or at the end, and the old film stays."""

    def fail(self: Encoder, given: object = None) -> None:
        raise RuntimeError("the encoder has failed")

    monkeypatch.setattr(Encoder, method, fail)
    with pytest.raises(RuntimeError, match="the encoder has failed"):
        write_film(film, moving(90), size=SMALL, captions=CAPTIONS)
    assert is_as_before(film)


def test_captions_that_cannot_be_written_keep_the_old_film(
    film: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A disk that fills up between film and captions changes neither."""

    def full(self: Path, text: str, encoding: str) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(Path, "write_text", full)
    with pytest.raises(BadInput, match="No space left on device"):
        write_film(film, moving(90), size=SMALL, captions=CAPTIONS)
    assert is_as_before(film)


# ---- what cannot be recorded


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"path": "ring.avi"}, 'ring.avi: films are written as .mp4, .webm, .gif, not ".avi"'),
        ({"path": "no/ring.mp4"}, "there is no folder"),
        ({"path": "folder.mp4"}, "is a folder"),
        ({"size": (641, 360)}, "641 x 360 px; both must be even"),
        ({"size": (640, LARGEST + 2)}, "16 to 8192"),
        ({"size": (0, 0)}, "0 x 0 px"),
        ({"rate": 0}, "0 pictures a second; 1 to 240"),
        ({"metadata": {"tilte": "x"}}, 'metadata "tilte" is not kept'),
        ({"chapters": [(1, "Cut")]}, 'chapter "Cut" begins at 1 s; the first chapter begins at 0'),
        ({"chapters": [(0, "Hung"), (0, "Cut")]}, 'chapter "Cut" begins at 0 s'),
        ({"chapters": [(0, " ")]}, "no title"),
        (
            {"chapters": [(0, "Hung"), (3, "Cut")]},
            'chapter "Cut" begins at 3 s, after the film\'s end at 1 s',
        ),
        (
            {"captions": [Caption(0, 1.5, "Cut")]},
            'caption "Cut" ends at 1.5 s, after the film\'s end at 1 s',
        ),
        ({"captions": [Caption(0, 1, "")]}, "has no text"),
        ({"pictures": []}, "would have no pictures"),
        ({"pictures": moving(3, (64, 64))}, r"picture 0 of .* has the shape \(64, 64, 4\) of uint8"),
        ({"pictures": [np.zeros((96, 128, 4))]}, "float64; it must be"),
    ],
)
def test_what_cannot_be_recorded_is_refused(film: Path, given: dict[str, object], says: str) -> None:
    """Each in a sentence that says what came and what is allowed; nothing is written."""
    (film.parent / "folder.mp4").mkdir()
    arguments: dict[str, object] = {"path": "ring.mp4", "pictures": moving(60), "size": SMALL, **given}
    with pytest.raises(BadInput, match=says):
        write_film(film.parent / str(arguments.pop("path")), **arguments)  # type: ignore[arg-type]
    (film.parent / "folder.mp4").rmdir()
    assert is_as_before(film)


@pytest.mark.skipif(sys.platform != "linux", reason="/proc, where not even root can write, is Linux's")
def test_a_folder_that_cannot_be_written_is_refused_before_any_drawing() -> None:
    """The message names the film and the system's reason."""

    def pictures() -> Iterator[Picture]:
        raise AssertionError("drawn in vain")
        yield

    with pytest.raises(BadInput, match=r"/proc/ring\.mp4 cannot be written"):
        write_film("/proc/ring.mp4", pictures(), size=SMALL)


def test_a_damaged_film_is_not_taken_for_one(tmp_path: Path) -> None:
    """Half of a film's bytes, text, and no file at all: the probe says so."""
    whole, half = tmp_path / "whole.mp4", tmp_path / "half.mp4"
    write_film(whole, noise(60), size=SMALL)
    half.write_bytes(whole.read_bytes()[: whole.stat().st_size // 2])
    (tmp_path / "text.mp4").write_text("not a film")

    for name in ("half.mp4", "text.mp4", "none.mp4"):
        with pytest.raises(BadInput, match=f"{name} cannot be played as a film"):
            probe(tmp_path / name)


def test_a_recorder_takes_pictures_one_by_one(tmp_path: Path) -> None:
    """The block form records what it is given, in any number."""
    with Recorder(tmp_path / "ring.mp4", size=SMALL) as film:
        for picture in moving(7):
            film.add(picture)

    assert film.count == len(probe(tmp_path / "ring.mp4").times) == 7


# ---- the record beside a film


def test_a_record_is_sorted_json(tmp_path: Path) -> None:
    """The same mapping in any order gives the same bytes."""
    write_record(tmp_path / "a.json", {"step": 0.001, "scene": "θ", "versions": {"av": "18.1.0"}})
    write_record(tmp_path / "b.json", {"versions": {"av": "18.1.0"}, "scene": "θ", "step": 0.001})

    assert (tmp_path / "a.json").read_bytes() == (tmp_path / "b.json").read_bytes()
    assert json.loads((tmp_path / "a.json").read_text("utf-8"))["scene"] == "θ"
    assert len(list(tmp_path.iterdir())) == 2


def test_a_record_that_cannot_be_written_leaves_the_old_one(tmp_path: Path) -> None:
    """A value that is no JSON is a fault of simlab's own; a missing folder is bad input."""
    write_record(tmp_path / "a.json", {"step": 1})
    for value in (object(), float("nan")):
        with pytest.raises(SimlabFault, match=r"a\.json cannot be written as JSON"):
            write_record(tmp_path / "a.json", {"step": value})
    with pytest.raises(BadInput, match="No such file or directory"):
        write_record(tmp_path / "no" / "a.json", {"step": 1})

    assert json.loads((tmp_path / "a.json").read_text("utf-8")) == {"step": 1}
    assert len(list(tmp_path.iterdir())) == 1


def in_another_process(code: str) -> int:
    """Run code in a fresh interpreter, with the names of this file; return its exit code."""
    names = "import os, signal\nfrom test_recorder import *\n"
    return subprocess.run(
        [sys.executable, "-c", names + code], cwd=Path(__file__).parent, check=False
    ).returncode
