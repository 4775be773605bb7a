"""Sizes of films by name, and the page that each shows."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from simlab.errors import BadInput, nearest

Size = tuple[int, int]  # width, height [px]
SIZES: Mapping[str, Size] = MappingProxyType(
    {
        "720p": (1280, 720),
        "1080p": (1920, 1080),
        "1440p": (2560, 1440),
        "4k": (3840, 2160),
        "tall": (1080, 1920),  # for a telephone held upright
    }
)


def size_of(wanted: str | Sequence[int]) -> Size:
    """The size of a name, of WIDTHxHEIGHT or of (width, height); raises BadInput for anything else.

    >>> size_of("720p"), size_of("800x600")
    ((1280, 720), (800, 600))
    """
    text = " x ".join(map(str, wanted)) if isinstance(wanted, tuple | list) else str(wanted)
    name = text.strip().lower()
    found = re.fullmatch(r"(\d{2,5})\s*[x×]\s*(\d{2,5})", name)
    if name in SIZES:
        return SIZES[name]
    if found is None:
        known = ", ".join(SIZES)
        raise BadInput(f'"{text}" is no size. Sizes: {known}, or WIDTHxHEIGHT.{nearest(name, SIZES)}')
    return int(found[1]), int(found[2])
