"""Paper: marks to SVG, PDF and PNG. Text becomes outlines, so every reader shows the same."""

from __future__ import annotations

import io
import os
import re
import tempfile
from collections.abc import Callable, Sequence
from html import escape
from pathlib import Path

import numpy as np
from matplotlib.backends.backend_pdf import PdfFile, RendererPdf
from matplotlib.backends.backend_svg import RendererSVG
from numpy.typing import NDArray
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from simlab.errors import BadInput
from simlab.pictures.brush import Brush
from simlab.pictures.camera import Camera, Page
from simlab.pictures.canvas import Canvas
from simlab.pictures.engraving import Ink, engrave
from simlab.pictures.marks import Mark
from simlab.pictures.palette import PAPER
from simlab.pictures.placement import Placement

HEIGHT = 210 / 25.4 * 72  # [points] of a page on paper: A4 across
MAKER = "simlab"


def svg(
    marks: Sequence[Mark],
    camera: Camera,
    placement: Placement,
    page: Page,
    title: str = "",
    description: str = "",
) -> str:
    """The marks as an SVG document; title and description are what a screen reader says of it."""
    out = io.StringIO()
    ratio = HEIGHT / page.height
    renderer = RendererSVG(
        page.width * ratio,
        HEIGHT,
        out,
        metadata={"Date": None, "Creator": MAKER, "Title": title or None},  # no date: same marks, same file
    )
    _draw(renderer, marks, camera, placement, page, ratio)
    renderer.finalize()
    document = out.getvalue()
    if not description:
        return document
    document = document.replace("<svg ", '<svg role="img" ', 1)
    return document.replace(" <metadata>", f" <desc>{escape(description)}</desc>\n <metadata>", 1)


def pdf(
    marks: Sequence[Mark],
    camera: Camera,
    placement: Placement,
    page: Page,
    title: str = "",
    description: str = "",
) -> bytes:
    """The marks as a PDF document of one page; its subject is the description."""
    out = io.BytesIO()
    ratio = HEIGHT / page.height
    about = {
        "CreationDate": None,
        "Creator": MAKER,
        "Producer": MAKER,
        "Title": title or None,
        "Subject": description or None,
    }
    file = PdfFile(out, metadata=about)
    file.newPage(page.width * ratio / POINTS_PER_INCH, HEIGHT / POINTS_PER_INCH)
    renderer = RendererPdf(
        file, POINTS_PER_INCH, HEIGHT / POINTS_PER_INCH, page.width * ratio / POINTS_PER_INCH
    )
    _draw(renderer, marks, camera, placement, page, ratio)
    renderer.finalize()
    file.finalize()
    return out.getvalue()


def png(pixels: NDArray[np.uint8], title: str = "", description: str = "") -> bytes:
    """RGBA pixels, shape (height, width, 4), as a PNG file, with what it shows in its text chunks."""
    out = io.BytesIO()
    about = PngInfo()
    for key, text in (("Title", title), ("Description", description)):
        if text and description:
            about.add_itxt(key, text)
    Image.fromarray(pixels[..., :3]).save(out, format="PNG", optimize=True, pnginfo=about)
    return out.getvalue()


def pixels(
    marks: Sequence[Mark], camera: Camera, placement: Placement, page: Page, height: int
) -> NDArray[np.uint8]:
    """The marks as RGBA pixels, `height` pixels high."""
    canvas = Canvas(round(height * page.width / page.height), height, page)
    return canvas.draw(marks, camera, placement)


def write(path: str | Path, content: bytes) -> None:
    """Write a file whole or not at all: beside the target first, then in its place.

    Raises BadInput where the file cannot be written.
    """
    target = Path(path)
    temporary: str | None = None
    try:
        descriptor, temporary = tempfile.mkstemp(
            prefix=f".{target.name}.", suffix=".part", dir=target.parent
        )
        with os.fdopen(descriptor, "wb") as file:
            file.write(content)
        os.chmod(temporary, 0o666 & ~_umask())  # mkstemp makes files for the owner only
        os.replace(temporary, target)
    except OSError as error:
        raise BadInput(f"{target} cannot be written: {error.strerror}. Choose another place") from error
    finally:
        if temporary is not None and os.path.exists(temporary):
            os.unlink(temporary)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


POINTS_PER_INCH = 72.0
_UNFIT = re.compile(r"[^A-Za-z0-9_-]+")


def _draw(
    renderer: RendererSVG | RendererPdf,
    marks: Sequence[Mark],
    camera: Camera,
    placement: Placement,
    page: Page,
    ratio: float,
) -> None:
    corners = np.array(
        [[0, 0], [page.width, 0], [page.width, page.height], [0, page.height], [0, 0]], dtype=float
    )
    codes = np.array([1, 2, 2, 2, 79], np.uint8)
    draw: Callable[[Ink], None] = Brush(renderer, page, ratio).draw
    draw(Ink("paper", corners, codes, fill=PAPER))
    taken: dict[str, int] = {}
    for ink in engrave(marks, camera, placement):
        name = _UNFIT.sub("-", ink.name)
        taken[name] = taken.get(name, 0) + 1
        renderer.open_group("mark", gid=name if taken[name] == 1 else f"{name}.{taken[name]}")
        draw(ink)
        renderer.close_group("mark")
