"""Captions: what a film says in words, as a track inside it and as a WebVTT file beside it."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass

from simlab.errors import BadInput

# Style of the track inside the film, in the ASS notation that the encoder asks for: white on a thin
# black rim, centred at the bottom, type 1/16 of the height. Players may use their own.
TRACK_STYLE = b"""[Script Info]
PlayResY: 288
[V4+ Styles]
Format: Name, Fontname, Fontsize, PrimaryColour, OutlineColour, BorderStyle, Outline, Alignment
Style: Default,Arial,18,&H00FFFFFF,&H00000000,1,1,2
"""
MAX_BYTES = 2**16 - 1  # a sample of timed text counts its bytes in 16 bits


@dataclass(frozen=True)
class Caption:
    """One caption: `text`, of one or more lines, shown from `start` to `end` [s].

    >>> Caption(0.0, 2.5, "The spreader is taken away").milliseconds
    (0, 2500)
    """

    start: float
    end: float
    text: str

    @property
    def milliseconds(self) -> tuple[int, int]:
        """Start and end to the nearest millisecond, the clock of both kinds of caption."""
        return round(1000 * self.start), round(1000 * self.end)

    @property
    def lines(self) -> tuple[str, ...]:
        """The text without control characters, needless spaces and empty lines.

        An empty line would end a WebVTT caption, and lone surrogates cannot be written as UTF-8.
        """
        cleaned = (
            " ".join("".join(c for c in line if unicodedata.category(c) not in ("Cc", "Cs")).split())
            for line in self.text.expandtabs().splitlines()
        )
        return tuple(line for line in cleaned if line)

    @property
    def written(self) -> bytes:
        """The lines in UTF-8."""
        return "\n".join(self.lines).encode()

    @property
    def cue(self) -> str:
        """The lines as WebVTT writes them."""
        return "\n".join(self.lines).translate(_ESCAPES)


def in_order(captions: Iterable[Caption]) -> tuple[Caption, ...]:
    """Check that captions follow one another without overlap, and return them.

    Raises BadInput where one has no text or no duration, or begins before the last has ended.

    >>> in_order([Caption(0, 2, "Hung up"), Caption(1, 3, "Let go")])
    Traceback (most recent call last):
    simlab.errors.BadInput: caption "Let go" is shown from 1 s to 3 s; it must begin at 2 s or later ...
    """
    checked = tuple(captions)
    last = 0
    for caption in checked:
        start, end = caption.milliseconds
        if not caption.lines:
            raise BadInput(f"the caption at {caption.start} s has no text. Give it some or leave it out")
        if len(caption.written) > MAX_BYTES:
            raise BadInput(f"the caption at {caption.start} s is longer than {MAX_BYTES} bytes. Shorten it")
        if start < last or end <= start:
            raise BadInput(
                f'caption "{caption.lines[0]}" is shown from {caption.start} s to {caption.end} s; it must '
                f"begin at {last / 1000:g} s or later (captions do not overlap) and end after it begins"
            )
        last = end
    return checked


def timed_text(caption: Caption) -> bytes:
    """The caption as one sample of a film's text track: length in two bytes, then UTF-8.

    Source: 3GPP TS 26.245, Timed text format, section 5.17 (text samples).

    >>> timed_text(Caption(0, 1, "W tan θ"))
    b'\\x00\\x08W tan \\xce\\xb8'
    """
    return len(caption.written).to_bytes(2, "big") + caption.written


def webvtt(captions: Iterable[Caption]) -> str:
    """The captions as the text of a WebVTT file.

    Source: W3C, WebVTT: The Web Video Text Tracks Format, section 4 (syntax).

    >>> print(webvtt([Caption(0, 2.5, "Is W < T?")]), end="")
    WEBVTT
    <BLANKLINE>
    00:00:00.000 --> 00:00:02.500
    Is W &lt; T?
    """
    cues = [
        f"{_clock(caption.milliseconds[0])} --> {_clock(caption.milliseconds[1])}\n" + caption.cue
        for caption in captions
    ]
    return "\n\n".join(["WEBVTT", *cues]) + "\n"


_ESCAPES = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;"})


def _clock(milliseconds: int) -> str:
    """A WebVTT time: hours, minutes, seconds, thousandths."""
    seconds, thousandths = divmod(milliseconds, 1000)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02}:{minutes:02}:{seconds:02}.{thousandths:03}"
