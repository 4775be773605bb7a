"""A class's conventions: which words, which figures, which angles its pupils are used to."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Literal

from simlab.frame.model import Frame
from simlab.frame.quantity import Quantity

Loads = Literal["weights", "masses"]
RodWord = Literal["rod", "bar", "member"]
HingeWord = Literal["hinge", "pin", "joint"]
ThrustWord = Literal["thrust", "compression"]
Exactness = Literal["surds", "figures"]
AngleTo = Literal["horizontal", "vertical"]
ForcesAs = Literal["both", "components", "magnitude and angle"]

PAST: dict[str, str] = {"pin": "pinned", "joint": "jointed"}  # of rods that are hinged together


@dataclass(frozen=True)
class Conventions:
    """How a class writes and speaks; `Conventions()` is simlab's own way.

    gravity : the class's g [m/s^2], instead of the scene's own; None leaves that
    loads : whether bodies are given by weights or by masses; None leaves them as the scene has them
    rod, hinge, thrust : the class's words
    exact : "surds": the exact form and its value; "figures": the value alone
    angle_to : from which line the direction of a force is measured; None takes the shorter to write
    forces : by their parts, by size and direction, or both
    figures : of a force in a frame with masses; None: as many as the class's g is known to
    """

    gravity: Quantity | None = None
    loads: Loads | None = None
    rod: RodWord = "rod"
    hinge: HingeWord = "hinge"
    thrust: ThrustWord = "thrust"
    exact: Exactness = "surds"
    angle_to: AngleTo | None = None
    forces: ForcesAs = "both"
    figures: int | None = None

    def spoken(self, text: str, names: Collection[str] = ()) -> str:
        """A sentence in the class's words, with none of a scene's own `names` changed, nor mathematics.

        >>> Conventions(rod="bar", thrust="compression").spoken("Thrust in the spreader, on both rods")
        'Compression in the spreader, on both bars'
        >>> Conventions(rod="bar").spoken("Tension in tie rod, on a rod", ("tie_rod",))
        'Tension in tie rod, on a bar'
        """
        words = dict(self._words())
        if not words:
            return text
        kept = sorted({form for name in names for form in (name, name.replace("_", " "))}, key=len)
        own = "|".join(
            [r"\$[^$]*\$", *(rf"(?<!\w){re.escape(name)}(?!\w)" for name in reversed(kept) if name)]
        )
        house = rf"(?<![\w-])(?P<house>{'|'.join(words)})(?![\w-])"

        def chosen(match: re.Match[str]) -> str:
            word = match["house"]
            return match[0] if word is None else _cased(words[word.lower()], word)

        return re.sub(rf"{own}|{house}", chosen, text, flags=re.IGNORECASE)

    def _words(self) -> Iterator[tuple[str, str]]:
        """Each of simlab's words that the class has another one for, in every form."""
        for house, word in (("rod", self.rod), ("hinge", self.hinge), ("thrust", self.thrust)):
            if word != house:
                yield house, word
                yield f"{house}s", f"{word}s"
        if self.hinge in PAST:
            yield "hinged", PAST[self.hinge]


def names_of(frame: Frame) -> tuple[str, ...]:
    """What a scene has given names to: words in them are its author's, and stay as they are."""
    parts = (
        frame.symbols,
        frame.points,
        frame.bodies,
        frame.joints,
        frame.links,
        frame.contacts,
        frame.supports,
        frame.loads,
    )
    return (frame.title, *dict.fromkeys(name for part in parts for name in part))


def _cased(word: str, like: str) -> str:
    """A word with capitals where another has them: rod, Rod, ROD."""
    if like.isupper():
        return word.upper()
    return word.capitalize() if like[:1].isupper() else word
