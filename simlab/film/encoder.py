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

Picture = NDArray[np.uint8]  # shape (height, width, 4): red, green, blue, opacity (taken as full)

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
AHEAD = 6  # shares of a second: so far at most a growing film's encoder looks ahead


class Buffer:
    """Memory for one picture that the encoder can read: `pixels`, shape (height, width, 4)."""

    def __init__(self, size: tuple[int, int]) -> None:
        width, height = size
        self.frame = av.VideoFrame(width, height, "rgba")
        plane = self.frame.planes[0]
        self.pixels: Picture = np.ndarray(
            (height, width, 4), np.uint8, buffer=memoryview(plane), strides=(plane.line_size, 4, 1)
        )


class Encoder:
    """Write pictures to a new reel inside a `with` block; `finish` makes it complete.

    Its colours are BT.709 in limited range, converted and tagged, where the film's are. `growing`:
    what a killed process leaves behind lacks less than its last second.
    The same calls give the same bytes. Raises OSError where the file cannot be written.
    """

    def __init__(
        self, path: Path, form: Format, size: tuple[int, int], rate: int, growing: bool = False
    ) -> None:
        self.rate = rate
        self.count = 0  # pictures encoded
        self._form = form
        self._reformatter = VideoReformatter()
        self._shown: av.VideoFrame | None = None
        options = dict(form.options)
        if growing:
            options["rc-lookahead"] = str(max(1, min(10, rate // AHEAD)))
        self._disk = path.open("wb")  # FFmpeg's own files do not say that the last bytes found no room
        self._file = av.open(self._disk, "w", format="mp4", options=PIECES)
        self._file.flags |= WITHOUT_VERSIONS | AT_ONCE
        self._video = cast(VideoStream, self._file.add_stream(form.codec, rate, options))
        self._video.width, self._video.height = size
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

    def encode(self, buffer: Buffer) -> None:
        """Convert and encode the next picture; the buffer is free again afterwards."""
        in_yuv = self._form.pixels.startswith("yuv")
        self._shown = self._reformatter.reformat(
            buffer.frame,
            format=self._form.pixels,
            dst_colorspace=Colorspace.ITU709 if in_yuv else None,
            src_color_range=ColorRange.JPEG,
            dst_color_range=ColorRange.MPEG if in_yuv else ColorRange.JPEG,
            interpolation=CONVERSION,
            threads=1,  # the second core is the drawing's
        )
        self.repeat()

    def repeat(self) -> None:
        """Encode the last picture once more."""
        if self._shown is not None:
            self._shown.pts, self._shown.time_base = self.count, Fraction(1, self.rate)
            self._file.mux(self._video.encode(self._shown))
            self._disk.flush()  # to the system, which keeps it if this process is killed
            self.count += 1

    def finish(self) -> None:
        """Encode what is still on the way."""
        self._file.mux(self._video.encode())
