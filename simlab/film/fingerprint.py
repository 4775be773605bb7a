"""A fingerprint of all pictures of a film: films that show the same have the same one."""

from __future__ import annotations

import hashlib

import numpy as np

from simlab.film.tiles import Patch, Picture, Tiles

NEXT = b"next picture"


class Fingerprint:
    """SHA-256 over every tile that changes from picture to picture, and over where it is.

    It tells all pictures of one size: what has not changed was told before.
    """

    def __init__(self) -> None:
        self._total = hashlib.sha256()
        self.count = 0

    def take(self, patch: Patch | None) -> None:
        """Take the next picture, by the tiles in which it differs from the last one; None if in none."""
        if patch is not None:
            for part in (patch.rows, patch.columns):
                self._total.update(part.astype(np.int32).data)
            self._total.update(np.ascontiguousarray(patch.tiles).data)
        self._total.update(NEXT)
        self.count += 1

    def add(self, picture: Picture) -> None:
        """Take the next picture, the whole of it: for pictures that are no film."""
        height, width, _ = picture.shape
        self.take(Tiles((width, height)).changed(picture))

    @property
    def hex(self) -> str:
        """The fingerprint of all pictures so far."""
        return self._total.hexdigest()
