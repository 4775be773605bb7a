"""Schemes: how every role looks on a light board, on a dark one, and in high contrast.

Roles, layers, dashes and heads are the palette's on every board; a scheme has its own colours, and its
lines may be heavier. What carries a meaning by its outline on the light board may do so by its fill on
the dark one, where canes and lanterns shine by themselves.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from simlab.pictures.palette import (
    BAND,
    BOARD,
    FORCE_COLOURS,
    GLOW,
    GREY,
    INK,
    PAPER,
    PENS,
    SLATE,
    STAVE,
    STONE,
    STRAW,
    Colour,
    Pen,
)


@dataclass(frozen=True)
class Scheme:
    """The look of every role on one board.

    paper : the colour of the bare board, also of halos; pens : by role, as `palette.PENS`
    """

    name: str
    paper: Colour
    pens: Mapping[str, Pen]

    def force_colour(self, kind: str) -> Colour:
        """The colour of a kind of force (`palette.FORCE_COLOURS`)."""
        return self.pens[kind].ink or self.paper


def _scheme(
    name: str,
    colours: Mapping[Colour, Colour],
    roles: Mapping[str, tuple[Colour | None, Colour | None]] | None = None,
    halos: Collection[str] = (),
    heavier: float = 1.0,
) -> Scheme:
    """A scheme by the colours that stand for the light board's; `roles` have (ink, fill) of their own.

    `halos`: roles that need bare board around them on a cane; `heavier`: how much wider lines are.
    """
    pens = {}
    for role, pen in PENS.items():
        ink, fill = (colours[colour] if colour else None for colour in (pen.ink, pen.fill))
        ink, fill = (roles or {}).get(role, (ink, fill))
        halo = HALO if role in halos else pen.halo
        pens[role] = replace(pen, ink=ink, fill=fill, width=pen.width * heavier, halo=halo)
    return Scheme(name, colours[PAPER], pens)


HALO = 2.5  # [page units]
WHITE: Colour = "#FFFFFF"
JOINT: Colour = "#A69B86"  # between stones
PATH: Colour = "#B4690E"  # of joints on their way down
WAY: Colour = "#7A3E00"  # of lengths, that are no forces

# A hall at dusk. Forces found by the same search as those of the light board: each 5 : 1 on the board, the
# nearest pair 36 apart in the worst of full, protan, deutan and tritan sight.
DUSK: Colour = "#16182A"
CHALK: Colour = "#F5EEDF"
NIGHT: Colour = "#0A0B14"  # edges of what shines
_DARK: Mapping[Colour, Colour] = {
    PAPER: DUSK,
    INK: CHALK,
    GREY: "#A9A4BC",
    STRAW: "#E8C27E",
    STONE: "#3A3D57",
    GLOW: "#F2A63B",
    BOARD: "#3D2F20",  # dim: canes lie over it, and words stand on it
    SLATE: "#8B87A3",
    STAVE: "#A98652",
    BAND: "#24273F",
    WHITE: "#F4F3FF",
    JOINT: "#5F6280",
    PATH: "#E08B2E",
    WAY: "#FFC27A",
    FORCE_COLOURS["thrust"]: "#E66666",
    FORCE_COLOURS["tension"]: "#66F24D",
    FORCE_COLOURS["hinge force"]: "#6680FF",
    FORCE_COLOURS["support force"]: "#D98CCC",
}
_SHINING = ("rod", "strut", "wheel", "block", "light rod", "lantern")
_OVER_CANES = (
    *("given", "line of action", "arm", "arm end", "moment", "couple", "spread", "moment point"),
    *("cord", "touch"),
)
_DARK_ROLES: Mapping[str, tuple[Colour | None, Colour | None]] = {
    **{role: (NIGHT, _DARK[PENS[role].fill or PAPER]) for role in _SHINING},
    **{role: (_DARK[STRAW], _DARK[PENS[role].fill or PAPER]) for role in ("plate", "disc", "hole")},
    "string twist": ("#8A6A34", None),
    "lantern rib": (NIGHT, None),
    "lantern cap": (NIGHT, "#C39A4E"),
    "knot": (NIGHT, None),
    "small hinge": (NIGHT, NIGHT),
    "centre": (CHALK, NIGHT),
    "glow": (None, "#C97F1E"),  # words stand on it
    "lit bead": (NIGHT, GLOW),
    "box": (CHALK, "#2E3252"),
}

# High contrast: 7 : 1 for words and for what carries meaning. White, since the light of a room falls on
# every screen: it turns black to grey, and leaves white as it is. The nearest pair of forces is 28 apart.
_STARK: Mapping[Colour, Colour] = {
    PAPER: WHITE,
    INK: "#000000",
    GREY: "#474747",
    STRAW: "#FFE08A",
    STONE: "#E2E2E2",
    GLOW: "#FFB000",
    BOARD: "#FFF2CC",
    SLATE: "#C4C4C4",
    STAVE: "#5A4512",
    BAND: "#F0F0F0",
    WHITE: WHITE,
    JOINT: "#6E6E6E",
    PATH: "#7A4300",
    WAY: "#5A2E00",
    FORCE_COLOURS["thrust"]: "#9A0000",
    FORCE_COLOURS["tension"]: "#00614F",
    FORCE_COLOURS["hinge force"]: "#0B00FF",
    FORCE_COLOURS["support force"]: "#9000BC",
}

SCHEMES: Mapping[str, Scheme] = {
    "light": Scheme("light", PAPER, PENS),
    "dark": _scheme("dark", _DARK, _DARK_ROLES, _OVER_CANES),
    "stark": _scheme("stark", _STARK, heavier=1.3),
}
LIGHT = SCHEMES["light"]
