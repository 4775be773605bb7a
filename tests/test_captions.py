"""Captions: in order, as WebVTT, as timed text."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simlab.errors import BadInput
from simlab.film.captions import MAX_BYTES, Caption, in_order, timed_text, webvtt


def test_a_webvtt_file_is_as_the_standard_writes_it() -> None:
    """Header, blank line, times with thousandths, text, a blank line between captions.

    Source: W3C, WebVTT, section 4.1: the layout of a file; section 4.2.2: the escapes.
    """
    written = webvtt([Caption(0.5, 2.25, "Is R > W & S < T?"), Caption(3661.0, 3662.0, "θ = 30°\n√3 W/2")])

    assert written == (
        "WEBVTT\n\n"
        "00:00:00.500 --> 00:00:02.250\nIs R &gt; W &amp; S &lt; T?\n\n"
        "01:01:01.000 --> 01:01:02.000\nθ = 30°\n√3 W/2\n"
    )


def test_no_captions_make_an_empty_webvtt_file() -> None:
    """The header alone is a complete file (W3C, WebVTT, section 4.1)."""
    assert webvtt([]) == "WEBVTT\n"


@given(st.text(max_size=60))
def test_no_text_can_break_a_webvtt_file(text: str) -> None:
    """Whatever a caption says, its file has one caption: no blank line, no arrow, no control character."""
    block = webvtt([Caption(0, 1, text)]).split("\n\n", 1)[1]

    assert block.count("-->") == 1
    assert "\n\n" not in block.rstrip("\n")
    assert all(c == "\n" or ord(c) >= 32 for c in block)
    block.encode()


def test_timed_text_counts_bytes_not_letters() -> None:
    """A sample is a 16-bit length and that many bytes of UTF-8 (3GPP TS 26.245, section 5.17)."""
    sample = timed_text(Caption(0, 1, "√3·W\r\n\r\n  tan  θ"))

    assert sample[2:].decode() == "√3·W\ntan θ"
    assert int.from_bytes(sample[:2], "big") == len(sample) - 2 == 14


def test_captions_that_touch_are_in_order() -> None:
    """A caption may begin in the millisecond in which the last one ends."""
    captions = (Caption(0, 1.0004, "one"), Caption(1.0, 2, "two"))

    assert in_order(captions) == captions


@pytest.mark.parametrize(
    ("captions", "says"),
    [
        (
            [Caption(0, 2, "one"), Caption(1, 3, "two")],
            '"two" is shown from 1 s to 3 s; it must begin at 2 s',
        ),
        ([Caption(2, 2, "one")], "end after it begins"),
        ([Caption(-1, 2, "one")], "must begin at 0 s"),
        ([Caption(0, 2, " \n\x00")], "the caption at 0 s has no text"),
        ([Caption(0, 2, "θ" * MAX_BYTES)], "longer than 65535 bytes"),
    ],
)
def test_captions_that_cannot_be_shown_are_refused(captions: list[Caption], says: str) -> None:
    """Overlap, no duration, before the start, no text, too long: each in a sentence."""
    with pytest.raises(BadInput, match=says):
        in_order(captions)
