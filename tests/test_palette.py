"""Colours that a projector and a colour-blind pupil can do with."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from simlab.pictures.palette import BAND, FORCE_COLOURS, GREY, INK, PAPER, PENS, contrast, rgb

TEXT, MARKS = 4.5, 3.0  # WCAG 2.2, success criteria 1.4.3 and 1.4.11
APART = 25.0  # CIE 1976 distance: ten times what the eye just tells apart (2.3, Mahy et al. 1994)

# Linear RGB as protanopes, deuteranopes and tritanopes see it. Source: Machado, Oliveira, Fernandes,
# A Physiologically-based Model for Simulation of Color Vision Deficiency, 2009, severity 1.0.
SIGHTS = {
    "full": np.eye(3),
    "protan": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deutan": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    "tritan": [
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ],
}


def lab(colour: str, sight: str) -> np.ndarray:
    """CIE 1976 L*a*b* of a colour in one kind of sight. Source: IEC 61966-2-1 (sRGB), CIE 15."""
    value = np.array(rgb(colour))
    linear = np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)
    seen = np.clip(np.array(SIGHTS[sight]) @ linear, 0, 1)
    xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]) @ seen
    f = np.array([v ** (1 / 3) if v > 0.008856 else 7.787 * v + 16 / 116 for v in xyz / [0.9505, 1, 1.089]])
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def test_contrast_is_the_ratio_that_wcag_defines():
    """The grey that is known as the lightest to pass on white passes, the next one fails."""
    # Source: WebAIM contrast checker's example, #767676 on white 4.54 : 1
    assert round(contrast("#767676", "#FFFFFF"), 2) == 4.54
    assert contrast("#777777", "#FFFFFF") < TEXT


@pytest.mark.parametrize("colour", [INK, GREY, *FORCE_COLOURS.values()])
def test_every_text_colour_can_be_read_on_paper_and_on_the_band(colour):
    """Words are 4.5 : 1 on paper; ink and grey, which captions use, also on the band."""
    assert contrast(colour, PAPER) >= TEXT
    if colour in (INK, GREY):
        assert contrast(colour, BAND) >= TEXT


@pytest.mark.parametrize(
    "role", [r for r, p in PENS.items() if p.ink and r not in ("string twist", "stone joint", "centre")]
)
def test_every_line_can_be_seen_on_paper(role):
    """Lines are 3 : 1 on paper; decoration inside stone, strings and dots is not meant to carry meaning."""
    assert contrast(PENS[role].ink, PAPER) >= MARKS


@pytest.mark.parametrize("sight", SIGHTS)
def test_kinds_of_force_differ_in_every_sight(sight):
    """No two colours of forces come near one another for any of four kinds of sight."""
    nearest = min(
        float(np.linalg.norm(lab(a, sight) - lab(b, sight)))
        for a, b in combinations(FORCE_COLOURS.values(), 2)
    )

    assert nearest > APART


def test_kinds_of_force_differ_without_colour():
    """In one colour the kinds of force still differ, by head or dashes."""
    looks = [(PENS[kind].head, bool(PENS[kind].dash)) for kind in FORCE_COLOURS]

    assert len(set(looks)) == len(looks)
