"""What a film says besides its pictures: chapters, captions, title and the like."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from simlab.errors import BadInput
from simlab.film.captions import Caption, in_order

Chapter = tuple[float, str]  # start [s], title
METADATA = ("title", "comment", "description", "copyright", "date")  # what we use of what films keep
MILLISECOND = Fraction(1, 1000)  # [s] the clock of chapters and captions


@dataclass(frozen=True)
class Words:
    """The words of a film, checked: chapters (start [s], title), the first at 0; captions in order.

    Raises BadInput where a chapter has no title or comes too early, captions overlap, or `metadata`
    has other names than METADATA.
    """

    chapters: Sequence[Chapter] = ()
    captions: Sequence[Caption] = ()
    metadata: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        in_order(self.captions)
        last = -1.0
        for start, title in self.chapters:
            if not title.strip():
                raise BadInput(f"the chapter at {start} s has no title. Give it one")
            if (last < 0 and start != 0) or start <= last:
                raise BadInput(
                    f'chapter "{title}" begins at {start} s; the first chapter begins at 0 and each '
                    "later than the one before"
                )
            last = start
        for key in self.metadata:
            if key not in METADATA:
                raise BadInput(f'metadata "{key}" is not kept in a film; use {", ".join(METADATA)}')

    def check_end(self, seconds: Fraction) -> None:
        """BadInput where a chapter begins or a caption ends after the film does."""
        begun = [(f'chapter "{title}" begins', start) for start, title in self.chapters]
        ended = [(f'caption "{caption.lines[0]}" ends', caption.end) for caption in self.captions]
        for what, time in begun + ended:
            if time > seconds + MILLISECOND:
                raise BadInput(f"{what} at {time:g} s, after the film's end at {float(seconds):g} s")

    def until(self, seconds: Fraction) -> Words:
        """The words of a film that ends earlier than planned."""
        end = float(seconds)
        return Words(
            [chapter for chapter in self.chapters if chapter[0] < end],
            [Caption(c.start, min(c.end, end), c.text) for c in self.captions if c.start + 0.001 < end],
            self.metadata,
        )
