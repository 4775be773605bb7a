"""A reel: the pictures of a film alone, encoded, in a file that can be played while it grows.

It uses PyAV. What else is in a film (chapters, captions, a title) is added when it is put in order.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from types import TracebackType
from typing import Self, cast

import av
import numpy as np
from av.codec.context import ThreadType
from av.video.reformatter import (
    ColorPrimaries,
    ColorRange,
    Colorspace,
    ColorTrc,
    Interpolation,
    VideoReformatter,
)
from av.video.stream import VideoStream
from numpy.typing import NDArray

from simlab.film.formats import Format
from simlab.film.tiles import Patch, Tiles

ENCODER_THREADS = 2  # fixed, because the bytes may depend on it
KEY_PICTURE_EVERY = 2  # [s] so that players jump quickly
MATRIX_BT709 = 1  # code of the BT.709 matrix, ITU-T H.273 table 4
# AREA: colour is the mean of 2 x 2 pixels, right to half a level; BITEXACT: on every kind of processor;
# FULL_CHR_H_INP: the same result in three quarters of the time (measured)
CONVERSION = Interpolation.AREA | Interpolation.BITEXACT | Interpolation.FULL_CHR_H_INP
WITHOUT_VERSIONS = 0x400  # AVFMT_FLAG_BITEXACT: no library version and no date in the file
AT_ONCE = 0x200  # AVFMT_FLAG_FLUSH_PACKETS: a killed process leaves what it had written
# A reel is an mp4 of short pieces, each with an index of its own: it can be played up to the last
# piece at any time. Its head waits for the first piece, so that it can say when that begins.
PIECES = {"movflags": "+delay_moov+default_base_moof", "frag_duration": "250000"}  # [us]
AT_A_TIME = 32  # tiles converted by one call: more would be work for nothing, fewer would be more calls
BYTES = {"rgba": 4, "rgb24": 3, "yuv420p": 1}  # of a pixel in a plane
AHEAD = 6  # shares of a second: so far at most a growing film's encoder looks ahead


Plane = NDArray[np.uint8]  # of a frame in tiles: shape (rows, height, columns, width of a tile in bytes)


def _in_tiles(frame: av.VideoFrame, shape: tuple[int, int]) -> list[Plane]:
    """The planes of a frame, cut into rows and columns of tiles; writing on them writes on it."""
    rows, columns = shape
    planes = []
    for plane in frame.planes:
        high = plane.height // rows
        wide = plane.width * BYTES[frame.format.name] // columns
        step = plane.line_size
        planes.append(
            np.ndarray(
                (rows, high, columns, wide),
                np.uint8,
                memoryview(plane),
                strides=(high * step, step, wide, 1),
            )
        )
    return planes


class Encoder:
    """Write pictures to a new reel inside a `with` block; `finish` makes it complete.

    Its colours are BT.709 in limited range, converted and tagged, where the film's are. `growing`:
    what a killed process leaves behind lacks less than its last second.
    The same calls give the same bytes. Raises OSError where the file cannot be written.
    """

    def __init__(self, path: Path, form: Format, tiles: Tiles, rate: int, growing: bool = False) -> None:
        self.rate = rate
        self.count = 0  # pictures encoded; `shown` is the last of them
        self._form = form
        self._reformatter = VideoReformatter()
        self._tiles = tiles
        # the tiles that are converted together, one below the other, and the whole picture as encoded
        rows, columns = tiles.shape
        self._at_a_time = min(AT_A_TIME, rows * columns)  # sides that have no parts make huge tiles
        self._stack = av.VideoFrame(tiles.width, tiles.height * self._at_a_time, "rgba")
        self._stacked = _in_tiles(self._stack, (self._at_a_time, 1))[0][:, :, 0]
        self.shown = av.VideoFrame(*tiles.size, form.pixels)
        self._planes = _in_tiles(self.shown, tiles.shape)
        options = dict(form.options)
        if growing:
            options["rc-lookahead"] = str(max(1, min(10, rate // AHEAD)))
        self._disk = path.open("wb")  # FFmpeg's own files do not say that the last bytes found no room
        self._file = av.open(self._disk, "w", format="mp4", options=PIECES)
        self._file.flags |= WITHOUT_VERSIONS | AT_ONCE
        self._video = cast(VideoStream, self._file.add_stream(form.codec, rate, options))
        self._video.width, self._video.height = tiles.size
        self._video.pix_fmt = form.pixels
        self._video.gop_size = KEY_PICTURE_EVERY * rate
        self._video.thread_count = ENCODER_THREADS
        self._video.codec_context.thread_type = ThreadType.FRAME  # `encode` need not wait: 12 % faster
        if form.pixels.startswith("yuv"):
            self._video.colorspace = MATRIX_BT709
            self._video.color_range = ColorRange.MPEG
            self._video.color_primaries = ColorPrimaries.BT709
            self._video.color_trc = ColorTrc.BT709

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        with self._disk:
            self._file.close()

    def encode(self, patch: Patch) -> None:
        """Encode the next picture, which differs from the last one by a patch (the first: all of it)."""
        for start in range(0, len(patch.tiles), self._at_a_time):
            some = slice(start, start + self._at_a_time)
            tiles = patch.tiles[some].view(np.uint8)
            self._stacked[: len(tiles)] = tiles
            for whole, part in zip(self._planes, self._converted(), strict=True):
                whole[patch.rows[some], :, patch.columns[some]] = part[: len(tiles), :, 0]
        self.repeat()

    def _converted(self) -> list[Plane]:
        """The stacked tiles as the encoder takes them."""
        in_yuv = self._form.pixels.startswith("yuv")
        frame = self._reformatter.reformat(
            self._stack,
            format=self._form.pixels,
            dst_colorspace=Colorspace.ITU709 if in_yuv else None,
            src_color_range=ColorRange.JPEG,
            dst_color_range=ColorRange.MPEG if in_yuv else ColorRange.JPEG,
            interpolation=CONVERSION,
            threads=1,  # the second core is the drawing's
        )
        return _in_tiles(frame, (self._at_a_time, 1))

    def repeat(self) -> None:
        """Encode the last picture once more."""
        # the encoder has copied the frame when `encode` returns, so that it may be written on again
        self.shown.pts, self.shown.time_base = self.count, Fraction(1, self.rate)
        self._file.mux(self._video.encode(self.shown))
        self._disk.flush()  # to the system, which keeps it if this process is killed
        self.count += 1

    def finish(self) -> None:
        """Encode what is still on the way."""
        self._file.mux(self._video.encode())
