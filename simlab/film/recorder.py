"""The film recorder: pictures in, a whole film out, or nothing.

The main thread draws and copies each picture; one worker thread finds what changed in it, converts
that and encodes. All is written to temporary names beside the film and put in place at the very end by the
worker, which Ctrl-C cannot interrupt: a film and its captions change together or not at all.

What someone does in front of a window cannot be recorded again: such a film grows under a name of
its own, can be played at any time, and is kept whatever happens.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from pathlib import Path
from queue import Queue
from threading import Event, Thread
from types import TracebackType
from typing import Self

import numpy as np

from simlab.errors import BadInput
from simlab.film.captions import Caption, webvtt
from simlab.film.encoder import Encoder
from simlab.film.files import discard, growing_place, put_in_place, temporary, writing
from simlab.film.fingerprint import Fingerprint
from simlab.film.formats import FORMATS, check_form, format_of
from simlab.film.order import put_in_order
from simlab.film.tiles import Picture, Tiles
from simlab.film.words import Chapter, Words

SIZE = FORMATS[".mp4"].size  # [px]
RATE = FORMATS[".mp4"].rate  # [pictures/s]
ROOM = 2**16  # [bytes] more than the head of a film needs
SWITCH_INTERVAL = 0.0002  # [s] with Python's own 5 ms the worker would wait for the drawing: 10 % slower
WAITING = 5  # pictures between the two threads; more do not help (measured)


class Recorder:
    """Record a film picture by picture, inside a `with` block.

    The name's ending says which kind of film it is: .mp4, .webm or .gif; size [px] and rate [pictures/s]
    are what is usual for it, if not given. `chapters` (start [s], title) and `captions` may be set
    anew until the block is left. A `fingerprint`, if one is given, takes every picture.

    Leaving the block normally puts the film in place, and its captions in `<name>.vtt` beside it;
    leaving it by any error, Ctrl-C included, leaves everything as it was. Only a process that is
    killed outright can leave a `.part` file; it never leaves a half film under the film's name.

    With `growing` (.mp4 only) the pictures grow in `reel`, a file that can be played at any time, also
    after a crash: under the film's name, or as `<name>.recording.mp4` beside a film that is there
    already. Leaving the block by an error keeps what was recorded, in order, in `reel`.

    Raises BadInput where an argument cannot be used or the file cannot be written (a missing
    folder, a full disk); errors of the worker reach the caller at the next picture or at the end.
    """

    def __init__(
        self,
        path: str | Path,
        *,
        size: tuple[int, int] | None = None,
        rate: int | None = None,
        chapters: Sequence[Chapter] = (),
        captions: Sequence[Caption] = (),
        metadata: Mapping[str, str] | None = None,
        growing: bool = False,
        fingerprint: Fingerprint | None = None,
    ) -> None:
        self.path, self.growing = Path(path), growing
        self.format = format_of(self.path)
        self.size = self.format.size if size is None else size
        self.rate = self.format.rate if rate is None else rate
        self.chapters, self.captions, self.metadata = chapters, captions, dict(metadata or {})
        Words(chapters, captions, self.metadata)  # says now what it would say at the end
        check_place(self.path)
        check_form(self.format, self.size, self.rate)
        if growing and self.format is not FORMATS[".mp4"]:
            raise BadInput(f"{path}: only an .mp4 file can be played while it grows")
        self.reel = temporary(self.path.with_suffix(".reel"))  # the pictures alone
        self.count = 0  # pictures taken
        self._tiles = Tiles(self.size)
        self._fingerprint = fingerprint
        self._free: Queue[Picture] = Queue()
        self._drawn: Queue[Picture | None] = Queue()  # None after the last
        self._abandoned = False
        self._error: BaseException | None = None
        self._done = Event()

    def __enter__(self) -> Self:
        try:
            with writing(self.path):  # fails now, not after the drawing, if there is no room
                temporary(self.path).write_bytes(bytes(ROOM))
                discard(self.path)
                if self.growing:
                    self.reel = growing_place(self.path)
            width, height = self.size
            for _ in range(WAITING):
                self._free.put(np.empty((height, width, 4), np.uint8))
            self._switch_interval = sys.getswitchinterval()
            sys.setswitchinterval(SWITCH_INTERVAL)
            # a daemon, so that nothing can keep a dying interpreter waiting for pictures
            Thread(target=self._work, name="film encoder", daemon=True).start()
        except BaseException:
            discard(self.path)
            raise
        return self

    def add(self, picture: Picture) -> None:
        """Take the next picture: uint8, shape (height, width, 4), red, green, blue, opacity (ignored).

        It is copied, so its memory may be drawn on again; what did not change is not converted again.
        """
        if self._error is not None:
            raise self._error
        width, height = self.size
        if picture.shape != (height, width, 4) or picture.dtype != np.uint8:
            raise BadInput(
                f"picture {self.count} of {self.path} has the shape {picture.shape} of {picture.dtype}; "
                f"it must be {(height, width, 4)} of uint8. Draw it in the size of the film"
            )
        taken = self._free.get()
        np.copyto(taken, picture)
        self._drawn.put(taken)
        self.count += 1

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._abandoned = kind is not None
        try:
            self._drawn.put(None)
            self._done.wait()
        except BaseException:  # Ctrl-C while the worker finishes
            self._abandoned = True
            self._drawn.put(None)
            self._done.wait()
            raise
        finally:
            sys.setswitchinterval(self._switch_interval)
        if kind is None and self._error is not None:
            raise self._error

    # In the worker thread:

    def _waiting(self) -> Iterator[Picture]:
        while (picture := self._drawn.get()) is not None:
            yield picture

    def _work(self) -> None:
        waiting = self._waiting()
        try:
            with writing(self.path):
                self._record(waiting)
        except BaseException as error:  # the main thread raises it
            self._error = error
        for picture in waiting:  # after an error: nobody shall wait for room
            self._free.put(picture)
        self._done.set()

    def _record(self, waiting: Iterable[Picture]) -> None:
        """Encode what comes; when all has come, put film and captions in place."""
        try:
            with Encoder(self.reel, self.format, self._tiles, self.rate, self.growing) as encoder:
                for picture in waiting:
                    if self._abandoned and not self.growing:
                        return
                    patch = self._tiles.changed(picture)
                    self._free.put(picture)
                    if self._fingerprint is not None:
                        self._fingerprint.take(patch)
                    if patch is not None:
                        encoder.encode(patch)
                    else:
                        encoder.repeat()
                encoder.finish()
            seconds = Fraction(encoder.count, self.rate)
            if seconds:
                self._finish(self.reel if self._abandoned else self.path, seconds)
            elif not self._abandoned:
                raise BadInput(f"{self.path} would have no pictures. Give it at least one")
        finally:
            if not self.growing or (self.reel.exists() and not self.reel.stat().st_size):
                self.reel.unlink(missing_ok=True)

    def _finish(self, film: Path, seconds: Fraction) -> None:
        """Put the pictures of the reel in order, as a film in its place."""
        words = Words(self.chapters, self.captions, self.metadata)
        if self._abandoned:
            words = words.until(seconds)
        words.check_end(seconds)
        files = [film]
        said = film.with_suffix(".vtt")
        try:
            put_in_order(self.reel, temporary(film), self.format, words, seconds)
            if words.captions and self.format.told:
                temporary(said).write_text(webvtt(words.captions), encoding="utf-8")
                files.append(said)
            if not self.growing:
                self.reel.unlink()
                if self._abandoned:
                    return
            put_in_place(*files)
            if self.format.told and said not in files:
                said.unlink(missing_ok=True)  # those of an older film would be shown with this one
            if self.growing and film != self.reel:
                self.reel.unlink()
        finally:
            discard(film, said)


def write_film(
    path: str | Path,
    pictures: Iterable[Picture],
    *,
    size: tuple[int, int] | None = None,
    rate: int | None = None,
    chapters: Sequence[Chapter] = (),
    captions: Sequence[Caption] = (),
    metadata: Mapping[str, str] | None = None,
    fingerprint: Fingerprint | None = None,
    progress: Callable[[int], object] | None = None,
) -> int:
    """Write `pictures` as a film, each shown for 1/rate seconds; return how many there were.

    `size` (width, height) [px] and `rate` [pictures/s] are what is usual for this kind of film, if not
    given; `chapters` (start [s], title), the first at 0; `metadata` one or more of METADATA;
    `fingerprint` takes every picture; `progress` is called with the number of pictures drawn so far.
    Otherwise as Recorder.

    >>> pictures = (canvas.draw(i / 60) for i in range(600))  # doctest: +SKIP
    >>> write_film("ring.mp4", pictures, chapters=[(0, "Question"), (6, "Release")])  # doctest: +SKIP
    600
    """
    with Recorder(
        path,
        size=size,
        rate=rate,
        chapters=chapters,
        captions=captions,
        metadata=metadata,
        fingerprint=fingerprint,
    ) as recorder:
        for picture in pictures:
            recorder.add(picture)
            if progress is not None:
                progress(recorder.count)
    return recorder.count


def check_place(path: Path) -> None:
    """BadInput where no film can be written: an unknown ending, no folder, a folder of that name."""
    format_of(path)
    if not path.parent.is_dir():
        raise BadInput(f"{path}: there is no folder {path.parent}. Create it, or choose another place")
    for target in (path, path.with_suffix(".vtt")):
        if target.is_dir():
            raise BadInput(f"{target} is a folder. Choose another name")
