"""One mp4 file being written: pictures to H.264, chapters, captions, metadata. It uses PyAV."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from types import TracebackType
from typing import Self

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
from numpy.typing import NDArray

from simlab.film.captions import TRACK_STYLE, Caption, timed_text

Picture = NDArray[np.uint8]  # shape (height, width, 4): red, green, blue, opacity (taken as full)
Chapter = tuple[float, str]  # start [s], title

# Measured at 1080p60: 9 MB for 20 s, clean to the eye. Processor time against size: subme=1 -27 %, +5 %;
# bframes=1 -10 %, +13 % (and 0.4 dB better); weightp=0 and me=dia -10 %, +0.4 %. The offset keeps
# thin arrows in their colour.
ENCODER = {
    "preset": "veryfast",
    "crf": "20",
    "x264-params": "subme=1:chroma-qp-offset=-4:bframes=1:weightp=0:me=dia",
}
ENCODER_THREADS = 2  # fixed, because the bytes may depend on it
KEY_PICTURE_EVERY = 2  # [s] so that players jump quickly
MATRIX_BT709 = 1  # code of the BT.709 matrix, ITU-T H.273 table 4
# AREA: colour is the mean of 2 x 2 pixels, right to half a level; BITEXACT: on every kind of processor;
# FULL_CHR_H_INP: the same result in three quarters of the time (measured)
CONVERSION = Interpolation.AREA | Interpolation.BITEXACT | Interpolation.FULL_CHR_H_INP
WITHOUT_VERSIONS = 0x400  # AVFMT_FLAG_BITEXACT: no library version and no date in the file
MILLISECOND = Fraction(1, 1000)  # [s] the clock of chapters and captions


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
    """Write pictures to a new mp4 file inside a `with` block; `finish` makes it complete.

    The film is H.264 with BT.709 colours in limited range, converted and tagged, and its index
    stands in front, so that it plays while it loads. The same calls give the same bytes.
    Raises OSError where the file cannot be written.
    """

    def __init__(
        self,
        path: Path,
        size: tuple[int, int],
        rate: int,
        captions: Sequence[Caption],
        metadata: Mapping[str, str],
    ) -> None:
        self.rate = rate
        self.count = 0  # pictures encoded
        self._reformatter = VideoReformatter()
        self._shown: av.VideoFrame | None = None
        # the path ends in .part, so the format has to be named
        self._file = av.open(str(path), "w", format="mp4", options={"movflags": "+faststart"})
        self._file.flags |= WITHOUT_VERSIONS
        self._file.metadata.update(metadata)
        self._video = self._file.add_stream("libx264", rate, ENCODER)
        self._video.width, self._video.height = size
        self._video.pix_fmt = "yuv420p"  # the only format that every player decodes
        self._video.gop_size = KEY_PICTURE_EVERY * rate
        self._video.thread_count = ENCODER_THREADS
        self._video.codec_context.thread_type = ThreadType.FRAME  # `encode` need not wait: 12 % faster
        self._video.colorspace = MATRIX_BT709
        self._video.color_range = ColorRange.MPEG
        self._video.color_primaries = ColorPrimaries.BT709
        self._video.color_trc = ColorTrc.BT709
        if captions:
            self._add(captions)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._file.close()

    def _add(self, captions: Sequence[Caption]) -> None:
        """Hand all captions to the file at once; it interleaves them with the pictures by time."""
        track = self._file.add_stream("mov_text")
        track.codec_context.subtitle_header = TRACK_STYLE
        track.codec_context.time_base = track.time_base = MILLISECOND
        track.metadata["language"] = "eng"
        for caption in captions:
            start, end = caption.milliseconds
            packet = av.Packet(timed_text(caption))
            packet.stream, packet.time_base = track, MILLISECOND
            packet.pts = packet.dts = start
            packet.duration = end - start
            self._file.mux(packet)

    def encode(self, buffer: Buffer) -> None:
        """Convert and encode the next picture; the buffer is free again afterwards."""
        self._shown = self._reformatter.reformat(
            buffer.frame,
            format="yuv420p",
            dst_colorspace=Colorspace.ITU709,
            src_color_range=ColorRange.JPEG,
            dst_color_range=ColorRange.MPEG,
            interpolation=CONVERSION,
            threads=1,  # the second core is the drawing's
        )
        self.repeat()

    def repeat(self) -> None:
        """Encode the last picture once more."""
        if self._shown is not None:
            self._shown.pts, self._shown.time_base = self.count, Fraction(1, self.rate)
            self._file.mux(self._video.encode(self._shown))
            self.count += 1

    def finish(self, chapters: Sequence[Chapter]) -> None:
        """Encode what is still on the way and write the chapters: each lasts until the next."""
        self._file.mux(self._video.encode())
        bounds = [round(1000 * start) for start, _ in chapters] + [round(1000 * self.count / self.rate)]
        self._file.set_chapters(
            [
                {
                    "id": i,
                    "start": start,
                    "end": end,
                    "time_base": MILLISECOND,
                    "metadata": {"title": title},
                }
                for i, ((start, end), (_, title)) in enumerate(zip(pairwise(bounds), chapters, strict=True))
            ]
        )
