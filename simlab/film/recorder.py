"""The film recorder: pictures in, a whole film out, or nothing.

The main thread draws and copies each picture into a pooled buffer; one worker thread converts and
encodes. All is written to temporary names beside the film and put in place at the very end by the
worker, which Ctrl-C cannot interrupt: a film and its captions change together or not at all.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from fractions import Fraction
from pathlib import Path
from queue import Queue
from threading import Event, Thread
from types import TracebackType
from typing import Literal, Self

import numpy as np

from simlab.errors import BadInput
from simlab.film.captions import Caption, in_order, webvtt
from simlab.film.encoder import MILLISECOND, Buffer, Chapter, Encoder, Picture
from simlab.film.files import discard, put_in_place, temporary, writing

SIZE = (1920, 1080)  # [px] what projectors show
RATE = 60  # [pictures/s] smooth for a collapse
FASTEST = 240  # [pictures/s] more than any screen shows
SMALLEST, LARGEST = 16, 8192  # [px] sides of a picture that players of H.264 accept
METADATA = ("title", "comment", "description", "copyright", "date")  # what we use of what mp4 keeps
ROOM = 2**16  # [bytes] more than the head of a film needs
SWITCH_INTERVAL = 0.0002  # [s] with Python's own 5 ms the worker would wait for the drawing: 10 % slower
POOL = 5  # pictures between the two threads; more do not help (measured)


class Recorder:
    """Record a film picture by picture, inside a `with` block.

    Leaving the block normally puts the film in place, and its captions in `<name>.vtt` beside it;
    leaving it by any error, Ctrl-C included, leaves everything as it was. Only a process that is
    killed outright can leave a `.part` file; it never leaves a half film under the film's name.

    Raises BadInput where an argument cannot be used or the file cannot be written (a missing
    folder, a full disk); errors of the worker reach the caller at the next picture or at the end.
    """

    def __init__(
        self,
        path: str | Path,
        *,
        size: tuple[int, int] = SIZE,
        rate: int = RATE,
        chapters: Sequence[Chapter] = (),
        captions: Sequence[Caption] = (),
        metadata: Mapping[str, str] | None = None,
    ) -> None:
        self.path, self.size, self.rate = Path(path), size, rate
        self.chapters, self.captions = tuple(chapters), in_order(captions)
        self.metadata = dict(metadata or {})
        check_place(self.path)
        _check_form(size, rate, self.metadata)
        _check_chapters(self.chapters)
        self.count = 0  # pictures taken
        self._free: Queue[Buffer] = Queue()
        self._drawn: Queue[Buffer | Literal["still", "end"]] = Queue(POOL)
        self._last: Picture | None = None
        self._copy: Picture | None = None  # of the last picture; only `add` writes on it
        self._abandoned = False
        self._error: BaseException | None = None
        self._done = Event()

    def __enter__(self) -> Self:
        try:
            with writing(self.path):  # fails now, not after the drawing, if there is no room
                temporary(self.path).write_bytes(bytes(ROOM))
            for _ in range(POOL):
                self._free.put(Buffer(self.size))
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

        It is copied, so its memory may be drawn on again. The same object with the same content is
        a still: it is neither copied nor converted again.
        """
        if self._error is not None:
            raise self._error
        width, height = self.size
        if picture.shape != (height, width, 4) or picture.dtype != np.uint8:
            raise BadInput(
                f"picture {self.count} of {self.path} has the shape {picture.shape} of {picture.dtype}; "
                f"it must be {(height, width, 4)} of uint8. Draw it in the size of the film"
            )
        # the content counts, since a canvas may draw all its pictures on the same object
        if picture is self._last and self._copy is not None and np.array_equal(picture, self._copy):
            self._drawn.put("still")
        else:
            buffer = self._free.get()
            np.copyto(buffer.pixels, picture)
            self._drawn.put(buffer)
            self._last, self._copy = picture, buffer.pixels
        self.count += 1

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._abandoned = kind is not None
        try:
            self._drawn.put("end")
            self._done.wait()
        except BaseException:  # Ctrl-C while the worker finishes
            self._abandoned = True
            self._drawn.put("end")
            self._done.wait()
            raise
        finally:
            sys.setswitchinterval(self._switch_interval)
        if kind is None and self._error is not None:
            raise self._error

    # In the worker thread:

    def _work(self) -> None:
        waiting = iter(self._drawn.get, "end")
        try:
            with writing(self.path):
                self._record(waiting)
        except BaseException as error:  # the main thread raises it
            self._error = error
        for item in waiting:  # after an error: nobody shall wait for a buffer
            if isinstance(item, Buffer):
                self._free.put(item)
        self._done.set()

    def _record(self, waiting: Iterable[Buffer | str]) -> None:
        """Encode what comes; when all has come, put film and captions in place."""
        words = self.path.with_suffix(".vtt")
        try:
            with Encoder(
                temporary(self.path), self.size, self.rate, self.captions, self.metadata
            ) as encoder:
                self._encode(waiting, encoder)
            if self.captions:
                temporary(words).write_text(webvtt(self.captions), encoding="utf-8")
            if self._abandoned:
                return
            if self.captions:
                put_in_place(self.path, words)
            else:
                put_in_place(self.path)
                words.unlink(missing_ok=True)  # those of an older film would be shown with this one
        finally:
            discard(self.path, words)

    def _encode(self, waiting: Iterable[Buffer | str], encoder: Encoder) -> None:
        for item in waiting:
            if self._abandoned:
                return
            if isinstance(item, Buffer):
                encoder.encode(item)
                self._free.put(item)
            else:
                encoder.repeat()
        if not self._abandoned:
            self._check_length(Fraction(encoder.count, self.rate))
            encoder.finish(self.chapters)

    def _check_length(self, seconds: Fraction) -> None:
        """Chapters and captions are checked against the film when its length is known."""
        if seconds == 0:
            raise BadInput(f"{self.path} would have no pictures. Give it at least one")
        begun = [(f'chapter "{title}" begins', start) for start, title in self.chapters]
        ended = [(f'caption "{caption.lines[0]}" ends', caption.end) for caption in self.captions]
        for what, time in begun + ended:
            if time > seconds + MILLISECOND:
                raise BadInput(f"{what} at {time:g} s, after the film's end at {float(seconds):g} s")


def write_film(
    path: str | Path,
    pictures: Iterable[Picture],
    *,
    size: tuple[int, int] = SIZE,
    rate: int = RATE,
    chapters: Sequence[Chapter] = (),
    captions: Sequence[Caption] = (),
    metadata: Mapping[str, str] | None = None,
    progress: Callable[[int], object] | None = None,
) -> int:
    """Write `pictures` as a film, each shown for 1/rate seconds; return how many there were.

    `size` (width, height) [px]; `rate` [pictures/s]; `chapters` (start [s], title), the first at 0;
    `metadata` one or more of METADATA; `progress` is called with the number of pictures drawn so far.
    Otherwise as Recorder.

    >>> pictures = (canvas.draw(i / 60) for i in range(600))  # doctest: +SKIP
    >>> write_film("ring.mp4", pictures, chapters=[(0, "Question"), (6, "Release")])  # doctest: +SKIP
    600
    """
    with Recorder(
        path, size=size, rate=rate, chapters=chapters, captions=captions, metadata=metadata
    ) as recorder:
        for picture in pictures:
            recorder.add(picture)
            if progress is not None:
                progress(recorder.count)
    return recorder.count


def check_place(path: Path) -> None:
    if path.suffix.lower() != ".mp4":
        raise BadInput(f'{path}: a film is an mp4 file. Give it a name that ends in ".mp4"')
    if not path.parent.is_dir():
        raise BadInput(f"{path}: there is no folder {path.parent}. Create it, or choose another place")
    for target in (path, path.with_suffix(".vtt")):
        if target.is_dir():
            raise BadInput(f"{target} is a folder. Choose another name")


def _check_form(size: tuple[int, int], rate: int, metadata: Mapping[str, str]) -> None:
    for side in size:
        if side % 2 or not SMALLEST <= side <= LARGEST:
            raise BadInput(
                f"a film of {size[0]} x {size[1]} px; both must be even, {SMALLEST} to {LARGEST}"
            )
    if not 1 <= rate <= FASTEST:
        raise BadInput(f"{rate} pictures a second; 1 to {FASTEST} are allowed")
    for key in metadata:
        if key not in METADATA:
            raise BadInput(f'metadata "{key}" is not kept in an mp4 file; use {", ".join(METADATA)}')


def _check_chapters(chapters: Sequence[Chapter]) -> None:
    last = -1.0
    for start, title in chapters:
        if not title.strip():
            raise BadInput(f"the chapter at {start} s has no title. Give it one")
        if (last < 0 and start != 0) or start <= last:
            raise BadInput(
                f'chapter "{title}" begins at {start} s; the first chapter begins at 0 and each later '
                "than the one before"
            )
        last = start
