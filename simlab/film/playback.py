"""A finished film, played from end to end: what a player would find in it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from html import unescape
from pathlib import Path

import av

from simlab.errors import BadInput
from simlab.film.captions import Caption
from simlab.film.words import Chapter


@dataclass(frozen=True)
class Film:
    """What a film contains: `times` [s] of all its pictures, as shown; the rest as the file says.

    size (width, height) [px]; rate [pictures/s], on average; duration [s] of the whole file; keys: the
    numbers of the pictures that a player can jump to; colour: the codes of matrix, range, primaries
    and transfer (ITU-T H.273); chapters and captions with times in s.
    """

    size: tuple[int, int]
    rate: Fraction
    duration: Fraction
    times: tuple[Fraction, ...]
    keys: tuple[int, ...]
    colour: tuple[int, int, int, int]
    chapters: tuple[Chapter, ...]
    captions: tuple[Caption, ...]
    metadata: dict[str, str]


def probe(path: str | Path) -> Film:
    """Decode every picture of a film and read its chapters and captions.

    It takes about as long as encoding did: for tests and doubts, not for every film.
    Raises BadInput where the file is not a film or is damaged.

    >>> probe("ring.mp4").rate  # doctest: +SKIP
    Fraction(60, 1)
    """
    try:
        return _played(Path(path))
    except (av.FFmpegError, IndexError) as error:
        raise BadInput(f"{path} cannot be played as a film ({error})") from error


def _played(path: Path) -> Film:
    times: list[Fraction] = []
    keys: list[int] = []
    with av.open(str(path)) as file:
        video = file.streams.video[0]
        # a damaged picture is an error, not a grey patch
        video.codec_context.options = {"err_detect": "explode"}
        for frame in file.decode(video):
            if frame.pts is None or frame.time_base is None:
                raise BadInput(f"{path}: picture {len(times)} has no time")
            if frame.key_frame:
                keys.append(len(times))
            times.append(frame.pts * frame.time_base)
        context = video.codec_context
        duration = Fraction(file.duration or 0, av.time_base)
        steady = file.format.name != "gif"  # whose clock of 1/100 s fits few rates
        return Film(
            size=(context.width, context.height),
            rate=Fraction((steady and video.average_rate) or len(times) / duration),
            duration=duration,
            times=tuple(times),
            keys=tuple(keys),
            colour=(context.colorspace, context.color_range, context.color_primaries, context.color_trc),
            chapters=tuple(
                (float(c["start"] * (c["time_base"] or 0)), c["metadata"]["title"]) for c in file.chapters()
            ),
            captions=_captions(path),
            metadata=dict(file.metadata),
        )


def _captions(path: Path) -> tuple[Caption, ...]:
    """The captions of the text track: WebVTT, or samples of two bytes of length and UTF-8."""
    found = []
    with av.open(str(path)) as file:
        tracks = file.streams.subtitles
        webm = "webm" in file.format.name
        for packet in file.demux(tracks[0]) if tracks else ():
            text = unescape(bytes(packet).decode()) if webm else bytes(packet)[2:].decode()
            if packet.pts is not None and text:  # an empty sample is a gap between captions
                start, duration = packet.pts * packet.time_base, (packet.duration or 0) * packet.time_base
                found.append(Caption(float(start), float(start + duration), text))
    return tuple(found)
