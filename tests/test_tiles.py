"""Tiles: what changed is found, and converting only that gives what converting all would."""

from __future__ import annotations

from pathlib import Path

import av
import numpy as np
import pytest
from av.video.reformatter import ColorRange, Colorspace

from simlab.film.encoder import CONVERSION, Encoder
from simlab.film.formats import FORMATS
from simlab.film.tiles import Tiles


@pytest.mark.parametrize("size", [(480, 240), (1366, 768), (33, 21)])
def test_the_tiles_that_changed_are_found(size: tuple[int, int]) -> None:
    """All of the first picture; then those in which single pixels were changed; then none."""
    chance = np.random.default_rng(7)
    picture = chance.integers(0, 256, (size[1], size[0], 4), np.uint8)
    tiles = Tiles(size)
    first = tiles.changed(picture)
    before = picture.copy()
    for x, y in [(0, 0), (size[0] - 1, size[1] - 1), (size[0] // 2, 3)]:
        picture[y, x, 1] ^= 1
    second = tiles.changed(picture)

    assert first is not None
    assert second is not None
    assert len(first.tiles) == tiles.shape[0] * tiles.shape[1]
    for tile, row, column in zip(*second, strict=True):
        place = before[row * tiles.height :, column * tiles.width :][: tiles.height, : tiles.width]
        place[:] = tile.view(np.uint8).reshape(place.shape)
    np.testing.assert_array_equal(before, picture)
    assert len(second.tiles) <= 3
    assert tiles.changed(picture.copy()) is None


@pytest.mark.parametrize("size", [(480, 240), (122, 90), (962, 68), (3826, 346)])
def test_a_patched_picture_is_the_whole_picture_converted(tmp_path: Path, size: tuple[int, int]) -> None:
    """Brightness and colours are, bit for bit, those of FFmpeg's conversion of the whole picture."""
    chance = np.random.default_rng(7)
    picture = chance.integers(0, 256, (size[1], size[0], 4), np.uint8)
    tiles = Tiles(size)
    with Encoder(tmp_path / "ring.reel", FORMATS[".mp4"], tiles, 30) as encoder:
        for part in (np.s_[:, :], np.s_[10:30, 5:70], np.s_[61:67, 1:]):
            picture[part] = chance.integers(0, 256, picture[part].shape, np.uint8)
            patch = tiles.changed(picture)
            assert patch is not None
            encoder.encode(patch)
        encoder.finish()

    whole = av.VideoFrame.from_numpy_buffer(picture, "rgba").reformat(
        format="yuv420p",
        dst_colorspace=Colorspace.ITU709,
        src_color_range=ColorRange.JPEG,
        dst_color_range=ColorRange.MPEG,
        interpolation=CONVERSION,
    )
    np.testing.assert_array_equal(encoder.shown.to_ndarray(), whole.to_ndarray())
