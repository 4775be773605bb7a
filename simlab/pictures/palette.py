"""Palette: how each role is drawn. Ink on warm paper, canes of straw, one lantern glow.

Widths, dashes and type sizes are in page units (1/1080 of the page's height), so that the back row
reads them. No meaning hangs on colour alone: each kind of force has its own arrowhead as well.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache, cached_property
from typing import Literal

Head = Literal["solid", "barbed", "open", "double", "blunt", "plain"]
Colour = str  # "#rrggbb"

PAPER: Colour = "#FBF6EA"  # warm white: prints as white, glares less than white from a projector
INK: Colour = "#241A2E"
GREY: Colour = "#6B6272"  # for what is not the subject; still 4.5 : 1 on paper
STRAW: Colour = "#EBCF97"
STONE: Colour = "#E6DECB"
GLOW: Colour = "#F2A63B"
BOARD: Colour = "#F3DFB6"  # of plates and discs: paler than canes, which lie over them
SLATE: Colour = "#B9B3C2"  # of weights
STAVE: Colour = "#97794A"  # joints of the staves of a disc
BAND: Colour = "#F1E7D0"

# Five kinds of force. Chosen by search: each 4.5 : 1 on paper, and the nearest pair 29 apart (CIE 1976)
# in the worst of full, protan, deutan and tritan sight; tests/test_palette.py measures both.
FORCE_COLOURS: Mapping[str, Colour] = {
    "weight": INK,
    "thrust": "#A8200D",
    "tension": "#00805F",
    "hinge force": "#1533B8",
    "support force": "#8E5BA6",
}

# Type sizes [page units]. 34 is about 1/32 of the height: read at eight picture heights.
TITLE, QUESTION, CAPTION, NAME, FORCE, TABLE, SMALL = 76.0, 42.0, 44.0, 44.0, 40.0, 38.0, 34.0
LEAST = 24.0  # only for texts and tables longer than a class should get: better small than cut off


@dataclass(frozen=True)
class Pen:
    """How a role is drawn. Layers are drawn from low to high.

    ink, width: the line; fill: inside closed or wide strokes; dash: lengths on, off; head: of arrows;
    halo: width of bare paper kept around it; `clear`: labels keep off it.
    """

    layer: int
    ink: Colour | None = INK
    width: float = 3.0
    fill: Colour | None = None
    dash: tuple[float, ...] = ()
    head: Head = "solid"
    halo: float = 0.0
    clear: bool = False
    round_ends: bool = True

    @cached_property
    def whole(self) -> Pen:
        """The same pen without dashes."""
        return replace(self, dash=())


def _force(kind: str, head: Head, dash: tuple[float, ...] = (), width: float = 6.0, layer: int = 60) -> Pen:
    return Pen(
        layer=layer, ink=FORCE_COLOURS[kind], width=width, dash=dash, head=head, halo=3.0, clear=True
    )


def _curve(colour_of: str, dash: tuple[float, ...]) -> Pen:
    return Pen(layer=30, ink=FORCE_COLOURS[colour_of], width=5.5, dash=dash, clear=True, round_ends=False)


PENS: Mapping[str, Pen] = {
    # furniture below everything
    "band": Pen(layer=0, ink=None, fill=BAND, clear=True),
    "caption band": Pen(layer=64, ink=None, fill=BAND, clear=True),  # over whatever hangs down that far
    "rule": Pen(layer=5, ink=GREY, width=2.0),
    # ground
    "stone": Pen(layer=10, ink=None, fill=STONE, clear=True),
    "stone joint": Pen(layer=11, ink="#A69B86", width=2.0, round_ends=False),
    "ground line": Pen(layer=12, width=5.0, clear=True),
    "rough line": Pen(layer=12, width=4.0, clear=True),
    "peg": Pen(layer=34, fill=STONE, width=4.0, clear=True),
    "wire": Pen(layer=13, width=6.0, clear=True),
    "ring": Pen(layer=37, width=6.0, clear=True),
    # motion
    "path": Pen(layer=15, ink="#B4690E", width=4.0, round_ends=False),
    "way": Pen(layer=62, ink="#7A3E00", width=6.0, head="plain", halo=4.0, clear=True, round_ends=False),
    "level": Pen(layer=61, ink="#7A3E00", width=2.6, dash=(4.0, 7.0), round_ends=False),
    # the frame
    "glow": Pen(layer=20, ink=None, fill=GLOW),
    "strut": Pen(layer=25, fill="#FFFFFF", width=3.0, clear=True),
    "string": Pen(layer=27, width=7.0, clear=True),
    "string twist": Pen(layer=28, ink=STRAW, width=3.0, dash=(8.0, 6.0), round_ends=False),
    "rod": Pen(layer=30, fill=STRAW, width=3.5, clear=True),
    "rod core": Pen(layer=30, ink=None, fill=STRAW),  # of a bent rod: over the joints of its parts
    "plate": Pen(layer=29, fill=BOARD, width=4.5, clear=True),
    "hole": Pen(layer=29, fill=PAPER, width=4.5, clear=True),
    "disc": Pen(layer=29, fill=BOARD, width=4.5, clear=True),
    "stave": Pen(layer=29, ink=STAVE, width=2.2, round_ends=False),
    "spring": Pen(layer=27, width=4.0, clear=True),
    "elastic string": Pen(layer=27, width=4.0, clear=True),
    "wheel": Pen(layer=35, fill="#FFFFFF", width=4.0, clear=True),
    "block": Pen(layer=40, fill=SLATE, width=3.5, clear=True),
    "touch": Pen(layer=37, width=4.5, clear=True),
    "knot": Pen(layer=31, width=2.2, round_ends=False),
    "light rod": Pen(layer=33, fill="#FFFFFF", width=3.0, clear=True),
    "light rod core": Pen(layer=33, ink=None, fill="#FFFFFF"),
    "lug": Pen(layer=34, fill=STONE, width=3.5, clear=True),
    "hook": Pen(layer=36, width=6.5, clear=True),
    "hinge": Pen(layer=38, fill=PAPER, width=4.0, clear=True),
    "small hinge": Pen(layer=38, fill=INK, width=2.0, clear=True),
    "centre": Pen(layer=64, fill=INK, ink=PAPER, width=2.5),
    "cord": Pen(layer=39, width=3.0, clear=True),
    "lantern": Pen(layer=40, fill=GLOW, width=3.0, clear=True),
    "lantern rib": Pen(layer=41, width=2.0),
    "lantern cap": Pen(layer=42, fill=INK, width=2.0),
    # given data
    "reference": Pen(layer=21, ink=GREY, width=2.6, dash=(10.0, 8.0), clear=True, round_ends=False),
    "given": Pen(layer=50, ink=GREY, width=3.0, clear=True, head="plain"),
    # forces
    "weight": _force("weight", "solid", layer=63),  # short beside other forces: over them
    "load": _force("weight", "barbed", layer=63),
    "thrust": _force("thrust", "blunt", width=8.0),
    "tension": _force("tension", "open", (18.0, 7.0)),
    "hinge force": _force("hinge force", "barbed"),
    "contact force": _force("hinge force", "barbed"),
    "support force": _force("support force", "double"),
    "moment": Pen(layer=60, ink=FORCE_COLOURS["support force"], width=6.0, clear=True),
    "couple": Pen(layer=60, width=6.0, head="barbed", clear=True),
    "spread": Pen(layer=62, width=3.0, head="solid", clear=True),
    "component": Pen(layer=59, ink=GREY, width=4.0, dash=(12.0, 8.0), head="barbed", halo=2.0, clear=True),
    "hinge component": Pen(
        layer=59, ink=GREY, width=4.0, dash=(12.0, 8.0), head="barbed", halo=2.0, clear=True
    ),
    # of moment equations
    "line of action": Pen(layer=48, ink=GREY, width=2.6, dash=(3.0, 8.0), clear=True),
    "arm": Pen(layer=51, width=3.4, dash=(16.0, 8.0), clear=True, round_ends=False),
    "arm end": Pen(layer=51, width=2.6, clear=True, round_ends=False),
    "arm name": Pen(layer=70, halo=5.0),
    "moment point": Pen(layer=65, width=5.0, clear=True),
    "tie": Pen(layer=8, ink=GREY, width=2.0, dash=(2.0, 9.0)),
    "blank": Pen(layer=64, ink=GREY, width=2.6, dash=(3.0, 8.0), clear=True),
    "scale": Pen(layer=60, width=4.0, head="plain", clear=True),
    # of a working in a film
    "strike": Pen(layer=71, ink=FORCE_COLOURS["thrust"], width=4.5),
    "answer box": Pen(layer=66, width=5.0, clear=True),
    "axis of symmetry": Pen(layer=22, ink=GREY, width=3.0, dash=(24.0, 8.0, 4.0, 8.0), round_ends=False),
    "force before": Pen(
        layer=58, ink=GREY, width=4.5, dash=(12.0, 8.0), head="barbed", halo=2.0, clear=True
    ),
    "break gap": Pen(layer=61, ink=None, fill=PAPER),
    "break": Pen(layer=62, width=3.5, clear=True),
    # energy, over what stands still: that is painted once
    "energy of height": Pen(layer=17, ink=INK, fill=SLATE, width=3.0, clear=True),
    "energy of motion": Pen(layer=17, ink=INK, fill=GLOW, width=3.0, clear=True),
    "energy lost": Pen(layer=17, ink=INK, fill=PAPER, width=3.0, clear=True),
    "energy outline": Pen(layer=19, width=4.0, clear=True),
    "hatching": Pen(layer=18, width=2.6, round_ends=False),
    # charts
    "zero": Pen(layer=5, ink=GREY, width=2.0, clear=True),
    "axis": Pen(layer=6, width=3.0, clear=True, round_ends=False),
    "limit": Pen(layer=7, width=3.0, dash=(14.0, 9.0), clear=True, round_ends=False),
    "callout line": Pen(layer=8, ink=GREY, width=2.0, clear=True),
    "curve": Pen(layer=30, ink=FORCE_COLOURS["hinge force"], width=5.5, clear=True),
    "second curve": _curve("thrust", (20.0, 9.0)),
    "third curve": _curve("tension", (5.0, 7.0)),
    "course of thrust": _curve("thrust", (20.0, 9.0)),
    "course of tension": _curve("tension", (20.0, 9.0)),
    "course of hinge force": _curve("hinge force", ()),
    "course of support force": _curve("support force", ()),
    "jump": Pen(layer=29, ink=GREY, width=3.0, dash=(4.0, 6.0), clear=True, round_ends=False),
    "dot": Pen(layer=32, fill=PAPER, width=2.6, clear=True),
    "end": Pen(layer=33, fill=INK, width=2.6, clear=True),
    # words
    "name": Pen(layer=70, halo=5.0),
    "given name": Pen(layer=70, halo=5.0),
    "text": Pen(layer=70),
    "quiet text": Pen(layer=70, ink=GREY),
    "words of curve": Pen(layer=70, ink=FORCE_COLOURS["hinge force"]),
    "words of second curve": Pen(layer=70, ink=FORCE_COLOURS["thrust"]),
    "words of third curve": Pen(layer=70, ink=FORCE_COLOURS["tension"]),
    "words of course of thrust": Pen(layer=70, ink=FORCE_COLOURS["thrust"]),
    "words of course of tension": Pen(layer=70, ink=FORCE_COLOURS["tension"]),
    "words of course of hinge force": Pen(layer=70, ink=FORCE_COLOURS["hinge force"]),
    "words of course of support force": Pen(layer=70, ink=FORCE_COLOURS["support force"]),
    "box": Pen(layer=65, fill="#FFFFFF", width=4.0, clear=True),
    "bead": Pen(layer=66, ink=INK, fill=PAPER, width=2.6),
    "lit bead": Pen(layer=67, ink=INK, fill=GLOW, width=2.6),
}


@cache
def rgb(colour: Colour) -> tuple[float, float, float]:
    """A colour as red, green, blue, each 0 to 1.

    >>> rgb("#FF0080")
    (1.0, 0.0, 0.5019607843137255)
    """
    red, green, blue = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return (red, green, blue)


def luminance(colour: Colour) -> float:
    """Relative luminance, 0 (black) to 1 (white). Source: WCAG 2.2, definition of the same name."""

    def linear(value: float) -> float:
        return value / 12.92 if value <= 0.04045 else float(((value + 0.055) / 1.055) ** 2.4)

    red, green, blue = (linear(v) for v in rgb(colour))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(a: Colour, b: Colour) -> float:
    """Contrast ratio (L1 + 0.05) / (L2 + 0.05), 1 to 21. Source: WCAG 2.2, definition of the same name.

    >>> round(contrast("#FFFFFF", "#000000"), 6)
    21.0
    """
    low, high = sorted((luminance(a), luminance(b)))
    return (high + 0.05) / (low + 0.05)
