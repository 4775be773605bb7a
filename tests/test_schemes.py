"""Boards: light, dark and in high contrast. What is laid on what can be told from it on each of them."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from test_palette import APART, MARKS, SIGHTS, TEXT, lab

from simlab.film.board import GLOW
from simlab.pictures.camera import Camera
from simlab.pictures.canvas import Canvas
from simlab.pictures.marks import Arrow, Label, Ring, Stroke
from simlab.pictures.palette import FORCE_COLOURS, PENS, contrast, rgb
from simlab.pictures.schemes import SCHEMES
from simlab.pictures.seating import AIR

ENHANCED = 7.0  # WCAG 2.2, success criterion 1.4.6
WORDS = [role for role, pen in PENS.items() if pen.layer == 70 or role in FORCE_COLOURS]
FURNITURE = ("text", "quiet text")  # words that stand on bands and tags
INSIDE = ("text", "name", "given name", "arm name", "weight")  # words that stand on plates and discs
SOLID = [role for role, pen in PENS.items() if pen.fill and pen.layer >= 24 and pen.layer < 64]
DECORATION = ("string twist", "stone joint", "stave")
OVER_CANES = [  # what is drawn across canes, after them
    *("given", "line of action", "arm", "arm end", "moment", "couple", "spread", "moment point", "cord"),
    *("knot", "hinge", "small hinge", "lug", "peg", "wheel", "block", "touch", "component", "light rod"),
    *FORCE_COLOURS,
]
ON = {"lantern rib": "lantern", "knot": "rod", "centre": "plate", "wheel": "rod", "given": "plate"}


def least_of(scheme: str, usual: float) -> float:
    """What a scheme promises where the others promise the usual ratio."""
    return ENHANCED if scheme == "stark" else usual


def blended(over: str, under: str, opacity: float) -> str:
    """The colour that shows where one lies half transparent on another."""
    mixed = opacity * np.array(rgb(over)) + (1 - opacity) * np.array(rgb(under))
    return "#" + "".join(f"{round(255 * c):02X}" for c in mixed)


@pytest.mark.parametrize("scheme", SCHEMES.values(), ids=SCHEMES)
class TestOneBoard:
    """Each board by itself."""

    def test_words_can_be_read_on_the_board(self, scheme):
        """Every role that words have: 4.5 : 1 on the bare board, 7 : 1 in high contrast."""
        poor = [
            r for r in WORDS if contrast(scheme.pens[r].ink, scheme.paper) < least_of(scheme.name, TEXT)
        ]
        assert poor == []

    def test_words_can_be_read_on_bands_tags_plates_and_glows(self, scheme):
        """Captions and tags of the window on their ground, names and weights on plates, terms that glow."""
        pens = scheme.pens
        grounds = [(role, pens[on].fill) for role in FURNITURE for on in ("band", "caption band", "box")]
        grounds += [(role, pens[on].fill) for role in INSIDE for on in ("plate", "disc")]
        glow = blended(pens["glow"].fill, scheme.paper, GLOW)
        grounds += [(role, glow) for role in ("text", "name", "weight")]
        poor = [(r, g) for r, g in grounds if contrast(pens[r].ink, g) < TEXT]
        assert poor == []

    def test_lines_can_be_seen_on_the_board(self, scheme):
        """Lines, or the fills that they surround, are 3 : 1 on the bare board; 7 : 1 in high contrast."""
        seen = [
            r for r, pen in scheme.pens.items() if pen.ink and r not in (*DECORATION, "centre", "strike")
        ]

        def best(role: str) -> float:
            colours = (scheme.pens[role].ink, scheme.pens[role].fill)
            return max(contrast(colour, scheme.paper) for colour in colours if colour)

        inside = (
            "knot",
            "lantern rib",
            "small hinge",
            "lit bead",
        )  # these are never on the bare board alone
        assert [r for r in seen if r not in inside and best(r) < least_of(scheme.name, MARKS)] == []

    def test_solids_differ_from_their_own_outlines_or_from_the_board(self, scheme):
        """A rod, a wheel, a weight: fill against outline is 3 : 1, so that crossing ones are told apart."""
        dots = ("small hinge", "centre", "end", "lantern cap", "touch")  # full to the rim
        poor = [
            role
            for role in SOLID
            if scheme.pens[role].ink
            and role not in dots
            and contrast(scheme.pens[role].ink, scheme.pens[role].fill) < MARKS
        ]
        assert poor == []

    def test_what_lies_across_canes_can_be_told_from_them(self, scheme):
        """By its line, its fill, or the bare board that is kept around it."""
        cane = scheme.pens["rod"].fill

        def told(role: str) -> bool:
            pen = scheme.pens[role]
            return pen.halo > 0 or any(contrast(c, cane) >= MARKS for c in (pen.ink, pen.fill) if c)

        assert [role for role in OVER_CANES if not told(role)] == []

    def test_what_lies_on_one_thing_only_can_be_told_from_that(self, scheme):
        """Ribs of lanterns, knots of canes, centres and dimensions on plates."""
        pens = scheme.pens
        poor = [
            role
            for role, on in ON.items()
            if max(contrast(c, pens[on].fill) for c in (pens[role].ink, pens[role].fill) if c) < MARKS
        ]
        assert poor == []

    def test_tags_of_the_window_stand_out(self, scheme):
        """The frame of a tag, the ring of the focus, the dashes of a refused tag, on the bench."""
        band = scheme.pens["band"].fill
        assert all(contrast(scheme.pens[r].ink, band) >= MARKS for r in ("box", "ground line", "reference"))
        assert contrast(scheme.pens["bead"].ink, scheme.pens["bead"].fill) >= MARKS

    @pytest.mark.parametrize("sight", SIGHTS)
    def test_kinds_of_force_differ_in_every_sight(self, scheme, sight):
        """No two colours of forces come near one another for any of four kinds of sight."""
        colours = [scheme.force_colour(kind) for kind in FORCE_COLOURS]
        nearest = min(
            float(np.linalg.norm(lab(a, sight) - lab(b, sight))) for a, b in combinations(colours, 2)
        )
        assert nearest > APART

    def test_roles_differ_from_those_of_the_light_board_in_colours_only(self, scheme):
        """Heads, dashes and layers are the same; no line grows into the air around labels."""
        for role, pen in scheme.pens.items():
            light = PENS[role]
            assert (pen.layer, pen.head, pen.dash, pen.clear) == (
                light.layer,
                light.head,
                light.dash,
                light.clear,
            )
            assert pen.width - light.width < AIR / 2

    def test_everything_drawn_is_of_the_scheme(self, scheme):
        """Board, fills, halos, labels fresh and kept: no pixel is of another board."""
        canvas = Canvas(640, 360, scheme=scheme)
        word = {"space": "page", "text": "H", "size": 400.0, "role": "name"}
        page = {"space": "page"}
        marks = [
            Stroke(name="band", role="band", points=BLOCK, closed=True, filled=True, **page),
            Arrow(name="f", role="thrust", measure="length", tail=(700, 150), vector=(1000, 0), **page),
            Stroke(
                name="rod", role="rod", points=np.array([[300.0, 500], [1700, 500]]), width=90.0, **page
            ),
            Ring(name="hinge", role="hinge", centre=(1500.0, 800.0), radius=120.0, **page),
            Label(name="fixed", anchor=(100.0, 1000.0), **word),
            Label(name="free", anchor=(800.0, 500.0), sides=("s",), **word),
        ]
        for _ in range(6):  # labels are kept from the fourth time on
            pixels = canvas.draw(marks, Camera((0, 0), (0, 0), 1.0))[..., :3]
        shades, counts = np.unique(pixels.reshape(-1, 3), axis=0, return_counts=True)
        pens = scheme.pens
        inks = [scheme.paper, pens["band"].fill, pens["thrust"].ink, pens["rod"].fill, pens["name"].ink]
        expected = {tuple(round(255 * c) for c in rgb(colour)) for colour in inks}
        common = {tuple(int(c) for c in shade) for shade in shades[np.argsort(counts)[-len(expected) :]]}
        assert common == expected


BLOCK = np.array([[0.0, 0], [600, 0], [600, 500], [0, 500]])


def test_the_light_board_is_the_palette():
    """The scheme of the light board is the palette itself."""
    assert SCHEMES["light"].pens is PENS


def test_the_dark_board_is_dark_and_the_others_are_not():
    """A hall at dusk: light words on a board that hardly shines."""
    assert contrast(SCHEMES["dark"].paper, "#000000") < 1.3
    assert contrast(SCHEMES["light"].paper, "#FFFFFF") < 1.1
    assert SCHEMES["stark"].paper == "#FFFFFF"
