"""A picture: marks, camera and page together, ready for the window, a film, a file or a notebook."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from simlab.errors import BadInput
from simlab.frame.model import Frame, Name, Values
from simlab.pictures.arrows import (
    KINDS,
    Kind,
    Words,
    force_arrows,
    in_newtons,
    largest,
    scale_for,
)
from simlab.pictures.camera import PAPER, Camera, Page
from simlab.pictures.canvas import Pixels
from simlab.pictures.dimensions import dimensions
from simlab.pictures.given_loads import given_weights
from simlab.pictures.legend import legend
from simlab.pictures.marks import Mark
from simlab.pictures.paper import pdf, pixels, png, svg, write
from simlab.pictures.placement import Placement, place
from simlab.pictures.plan import Plan
from simlab.pictures.structure import structure
from simlab.pictures.supports import supports
from simlab.pictures.view import fitted
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.forces import Forces
from simlab.results.trace import Instant

EDGE = 84.0  # [page units] of the page kept free of all but words
LEGEND = 190.0  # [page units] kept free at the bottom, where the legend is
MARGIN = 56.0  # [page units] from the edge of the page to the legend
KINDS_OF_FILE = (".svg", ".pdf", ".png")
PNG_HEIGHT = 1080  # [px]


@dataclass(frozen=True)
class Picture:
    """Marks on a page, seen by a camera, with every label in its place."""

    marks: Sequence[Mark]
    camera: Camera
    page: Page = PAPER
    title: str = ""
    placement: Placement = field(default_factory=dict)
    description: str = ""

    @classmethod
    def of(
        cls,
        marks: Sequence[Mark],
        camera: Camera,
        page: Page = PAPER,
        title: str = "",
        description: str = "",
    ) -> Picture:
        """A picture whose labels are placed now; the description says in words what it shows."""
        return cls(marks, camera, page, title, place(marks, camera, page=page), description)

    def pixels(self, height: int = PNG_HEIGHT) -> Pixels:
        """Red, green, blue, opacity, shape (height, width, 4)."""
        return pixels(self.marks, self.camera, self.placement, self.page, height)

    def svg(self) -> str:
        """The picture as an SVG document; text as outlines."""
        return svg(self.marks, self.camera, self.placement, self.page, self.title, self.description)

    def pdf(self) -> bytes:
        """The picture as a PDF document of one page, A4 where the page is `PAPER`."""
        return pdf(self.marks, self.camera, self.placement, self.page, self.title, self.description)

    def png(self, height: int = PNG_HEIGHT) -> bytes:
        """The picture as a PNG file, `height` pixels high."""
        return png(self.pixels(height), self.title, self.description)

    def write(self, path: str | Path) -> None:
        """Write the picture as its file's name says: .svg, .pdf or .png. Whole, or not at all.

        Raises BadInput for other names and where the file cannot be written.
        """
        kind = check_place(path)
        if kind == ".svg":
            write(path, self.svg().encode())
        elif kind == ".pdf":
            write(path, self.pdf())
        else:
            write(path, self.png())

    def _repr_svg_(self) -> str:
        return self.svg()


def check_place(path: str | Path) -> str:
    """The kind of file that a picture's name says, before anything is drawn.

    Raises BadInput for other names, and where there is no folder to write it in.
    """
    kind = Path(path).suffix.lower()
    if kind not in KINDS_OF_FILE:
        raise BadInput(f'{path}: pictures are written as {", ".join(KINDS_OF_FILE)}, not "{kind}"')
    if not Path(path).parent.is_dir():
        raise BadInput(f"{path} cannot be written: there is no folder {Path(path).parent}. Create it first")
    if Path(path).is_dir():
        raise BadInput(f"{path} is a folder. Choose another name")
    return kind


def picture(
    frame: Frame,
    values: Values | None = None,
    forces: Forces[float] | None = None,
    *,
    kinds: Collection[Kind] = KINDS,
    words: Words | None = None,
    instant: Instant | None = None,
    names: bool = True,
    given: bool = True,
    marked: Collection[Name] = (),
    removed: Collection[Name] = (),
    page: Page = PAPER,
    conventions: Conventions = HOUSE,
) -> Picture:
    """The picture of a frame: its given data, or its forces as arrows to one scale.

    Without `forces` and `instant` it shows what the question gives: weights at their centres, angles,
    lengths (`given=False` leaves them out). With forces it shows the `kinds` asked for, with `words`
    beside them (their sizes in newtons, if none are given) and the scale bar. `marked` members glow,
    `removed` ones are gone. `conventions`: the class's words and figures.

    >>> from simlab.frame.scene import read_scene
    >>> picture(read_scene("scenes/kite_lantern.toml")).title
    'The kite lantern'
    """
    plan, own = Plan.of(frame, values), conventions.of(frame)
    shown = forces if forces is not None or instant is None else instant.forces
    per_newton = 0.0 if shown is None else scale_for(largest(plan, shown, kinds))

    def marks(camera: Camera) -> list[Mark]:
        grain = camera.grain
        drawn = supports(plan, grain)
        drawn += structure(plan, grain, instant, names=names, centres=True, removed=removed, marked=marked)
        if shown is not None:
            texts = in_newtons(plan, shown, kinds, own) if words is None else words
            drawn += force_arrows(plan, shown, camera, kinds=kinds, instant=instant, words=texts)
        elif given:
            drawn += dimensions(plan, grain)  # before the weights: their words have less choice
            drawn += given_weights(plan, grain)
        return drawn

    room = (EDGE, EDGE, page.width - EDGE, page.height - (EDGE if shown is None else LEGEND))
    camera = fitted(plan, room, marks, per_newton)
    drawn = marks(camera)
    if shown is not None:
        place_of = (MARGIN, 0.0, page.width - MARGIN, page.height - MARGIN)
        drawn += legend(drawn, camera, place_of, own.spoken)
    return Picture.of(drawn, camera, page, frame.title)
