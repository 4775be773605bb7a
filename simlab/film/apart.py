"""The frame comes apart: a part leaves it for the bench; the rest stays faint, then small in a corner."""

from __future__ import annotations

from dataclasses import replace

from simlab.film.bench import Bench
from simlab.film.halves import labels_room
from simlab.film.placing import at_spots, spots_of
from simlab.film.stage_set import StageSet
from simlab.pictures.camera import Camera, Rect
from simlab.pictures.marks import Mark, faded
from simlab.pictures.structure import point_names, structure
from simlab.pictures.supports import supports
from simlab.pictures.view import fitted, on_page

FAINT = 0.3  # opacity of what the part was taken from
THIN = 0.45  # how thick rods are in the corner, of their usual thickness
# Shares of the way out: at which the names of points are gone, the rest is faint, and from which it goes
NAMES, LEFT, GONE = 0.15, 0.3, 0.6


class Apart:
    """The frame, and one part of it on its way to the bench."""

    def __init__(self, stage: StageSet, bench: Bench, corner: Rect) -> None:
        self.stage, self.bench = stage, bench
        plan, camera = stage.plan, stage.camera
        self.of_part = {mark.name for mark in bench.body(camera.grain)}
        bare = [*supports(plan, camera.grain, stage.reach), *structure(plan, camera.grain, names=False)]
        names = list(point_names(plan))
        spots, _ = spots_of([*bare, *names], camera, stage.page, labels_room(stage.page))
        self.names = [replace(m, name=f"{m.name} in the frame") for m in at_spots(names, spots)]
        self.rest = on_page([mark for mark in bare if mark.name not in self.of_part], camera)
        self.map = self._map(corner)

    def _map(self, corner: Rect) -> list[Mark]:
        """The whole frame, small, in the corner: the part as it is, the rest faint."""
        plan = self.stage.plan

        def drawn(camera: Camera) -> list[Mark]:
            grain = camera.grain * THIN
            return [*supports(plan, grain), *structure(plan, grain, names=False)]

        camera = fitted(plan, corner, drawn)
        marks = [
            replace(mark, name=f"{mark.name} in the corner") for mark in on_page(drawn(camera), camera)
        ]
        of_part = {f"{name} in the corner" for name in self.of_part}
        rest = faded([mark for mark in marks if mark.name not in of_part], FAINT)
        return [*rest, *(mark for mark in marks if mark.name in of_part)]

    def draw(self, share: float) -> list[Mark]:
        """The marks with the part a `share` (0 to 1) of the way out."""
        faint = 1 - (1 - FAINT) * min(share / LEFT, 1.0)
        left = faded(self.rest, faint * min((1 - share) / (1 - GONE), 1.0))
        camera = self.stage.camera.towards(self.bench.camera, share)
        part = on_page(self.bench.body(camera.grain), camera)
        corner = faded(self.map, max(0.0, (share - GONE) / (1 - GONE)))
        names = faded(self.names, 1 - share / NAMES) if share < NAMES else []
        return [*left, *names, *corner, *part]
