"""What an eye would find wrong with a film's labels, measured over all its pictures; nothing is encoded.

    python tests/film_measure.py SCENE [--every N] [--only WORDS] [--size 1280x720] [--pixels]

For each chapter: labels on one another or on a mark, left out, or outside their room, or in type that the
back row cannot read; the largest move of a label from picture to picture; changes of seats, and those that
are taken back within a second; and pops: marks that are there, or gone, or of other strength, all at once.
With --pixels the film is drawn small instead, and what changes much more than in the pictures around it is
told (words under the picture change at once, and do not count).
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from seen import box_of, distance, lines_of, reach

from simlab.film.chapter import Chapter
from simlab.film.storyboard import Storyboard
from simlab.pictures.camera import Camera, Page
from simlab.pictures.marks import Arrow, Label, Mark, Ring
from simlab.pictures.obstacles import arrows_on_page
from simlab.pictures.palette import PENS, SMALL
from simlab.pictures.placement import FAINT, Placement
from simlab.pictures.succession import Succession
from simlab.pictures.typeset import text_of

RATE = 60
HALO = (
    5.0  # [page units] of bare paper around a label among marks: so far a line may come under its letters
)
SEEN = 0.25  # of full strength: what changes by less in a sixtieth of a second does not pop
ALL = 0.95  # of full strength: what changes by more pops at any rate
TINY = 6.0  # [page units] an arrow that short may come and go
FAULTS = ("small", "overlaps", "outside", "left_out", "pops", "seats", "flicker")
TIMES, LITTLE = 3.0, 20.0  # the change around it; black pixels, where there is hardly any
DRAWN, ABOVE = (480, 270), 0.77  # [px] of the small film; its share above the words
AGAIN = 1.0  # [s]: a seat left and taken again within this time is flicker


@dataclass
class Findings:
    """What was found in one chapter of a film."""

    title: str
    pictures: int = 0
    overlaps: Counter[str] = field(default_factory=Counter)
    outside: Counter[str] = field(default_factory=Counter)
    left_out: Counter[str] = field(default_factory=Counter)
    pops: Counter[str] = field(default_factory=Counter)
    seats: Counter[str] = field(default_factory=Counter)
    flicker: Counter[str] = field(default_factory=Counter)
    small: Counter[str] = field(default_factory=Counter)
    jump: float = 0.0
    jumper: str = ""

    def __str__(self) -> str:
        lines = [f"{self.title}: {self.pictures} pictures, largest move {self.jump:.1f} ({self.jumper})"]
        for what in FAULTS:
            counts: Counter[str] = getattr(self, what)
            if counts:
                most = ", ".join(f"{name} ({n})" for name, n in counts.most_common(6))
                lines.append(f"    {what.replace('_', ' ')} {counts.total()}: {most}")
        return "\n".join(lines)


class Watcher:
    """Looks at picture after picture of one chapter."""

    def __init__(self, part: Chapter, rate: float, page: tuple[float, float]) -> None:
        self.findings = Findings(part.title)
        self.part, self.rate, self.page = part, rate, page
        self.before: tuple[Mapping[str, Mark], Placement, Camera] | None = None
        self.left: dict[tuple[str, int], int] = {}

    def look(self, marks: list[Mark], camera: Camera, placement: Placement) -> None:
        """Measure one picture, and what has changed since the one before."""
        seen = [mark for mark in marks if mark.opacity > 0]
        found = self.findings
        found.pictures += 1
        labels = [m for m in seen if isinstance(m, Label) and len(text_of(m).vertices)]
        found.left_out.update(m.name for m in labels if m.name not in placement)
        labels = [m for m in labels if m.name in placement]
        found.small.update(f"{m.size:.0f} {m.name}" for m in labels if m.size < SMALL)
        self._overlaps(seen, labels, camera, placement)
        self._outside(labels, placement)
        now = {mark.name: mark for mark in seen}
        if self.before is not None:
            self._pops(now, camera)
            self._moves(now, placement)
        self.before = (now, placement, camera)

    def _overlaps(
        self, marks: list[Mark], labels: list[Label], camera: Camera, placement: Placement
    ) -> None:
        settled = [
            m for m in labels if m.sides and m.opacity > 0.9 and placement[m.name].still == (0.0, 0.0)
        ]
        boxes = {m.name: box_of(m, placement) for m in labels if m.opacity > 0.9}
        for one, other in combinations(boxes, 2):
            a, b = boxes[one], boxes[other]
            on = a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
            if on and any(m.name in (one, other) for m in settled):
                self.findings.overlaps[f"{one} on {other}"] += 1
        for mark in marks:
            if isinstance(mark, Label) or not PENS[mark.role].clear or mark.opacity < FAINT:
                continue
            for points in lines_of(mark, camera):
                for m in settled:
                    if distance(points, boxes[m.name]) < reach(mark, camera):
                        self.findings.overlaps[f"{m.name} on {mark.name}"] += 1

    def _outside(self, labels: list[Label], placement: Placement) -> None:
        room = self.part.room
        for m in labels:
            left, top, right, bottom = box_of(m, placement)
            x0, y0, x1, y1 = room if room is not None and m.sides else (0.0, 0.0, *self.page)
            if left < x0 or top < y0 or right > x1 or bottom > y1:
                self.findings.outside[m.name] += 1

    def _pops(self, now: Mapping[str, Mark], camera: Camera) -> None:
        assert self.before is not None
        then, _, old_camera = self.before
        for name in {*now, *then}:
            a, b = then.get(name), now.get(name)
            one = b if b is not None else a
            change = abs((0.0 if a is None else a.opacity) - (0.0 if b is None else b.opacity))
            if (
                change > min(SEEN * RATE / self.rate, ALL)
                and one is not None
                and one.role != "path"
                and _extent(one, camera) > TINY
            ):
                self.findings.pops[name] += 1
            elif isinstance(a, Arrow) and isinstance(b, Arrow):
                if abs(_long(a, old_camera) - _long(b, camera)) > 30 * 60 / self.rate:
                    self.findings.pops[f"length of {name}"] += 1
            elif isinstance(a, Label) and isinstance(b, Label) and a.text != b.text and b.text.isalpha():
                self.findings.pops[f"text of {name}"] += 1

    def _moves(self, now: Mapping[str, Mark], placement: Placement) -> None:
        assert self.before is not None
        then, old, _ = self.before
        for name, mark in now.items():
            was = then.get(name)
            if not isinstance(mark, Label) or not isinstance(was, Label) or was.text != mark.text:
                continue
            if name not in old or name not in placement:
                continue
            a, b = old[name], placement[name]
            move = float(np.hypot(a.x - b.x, a.y - b.y))
            if move > self.findings.jump:
                self.findings.jump, self.findings.jumper = move, name
            if a.seat != b.seat:
                self.findings.seats[name] += 1
                if self.findings.pictures - self.left.get((name, b.seat), -(10**9)) < AGAIN * self.rate:
                    self.findings.flicker[name] += 1
                self.left[name, a.seat] = self.findings.pictures


def _extent(mark: Mark, camera: Camera) -> float:
    """How far a mark reaches across the page [page units]; what is laid out small may come all at once."""
    if isinstance(mark, Label):
        return np.inf
    points = np.concatenate(list(lines_of(mark, camera)))
    return float(np.ptp(points, axis=0).max()) + (
        2 * mark.radius * camera.scale if isinstance(mark, Ring) else 0
    )


def _long(arrow: Arrow, camera: Camera) -> float:
    tails, tips = arrows_on_page([arrow], camera)
    return float(np.hypot(*(tips - tails)[0]))


def measured(parts: Sequence[Chapter], page: Page, rate: float, only: str = "") -> Iterator[Findings]:
    """The findings of each chapter whose title has the words `only` in it."""
    succession = Succession(page, rate)
    for part in parts:
        if only not in part.title:
            continue
        succession.cut()
        watcher = Watcher(part, rate, (page.width, page.height))
        still = 0
        for i in range(max(1, round(part.seconds * rate))):
            still = still + 1 if part.is_still(i / rate) else 0
            if still > 1 and not succession.moves:
                continue
            marks, camera = part.draw(i / rate)
            drawn, placement = succession.follow(marks, camera, part.room)
            watcher.look(drawn, camera, placement)
        yield watcher.findings


def jumps(changes: Sequence[float]) -> list[int]:
    """Which pictures differ from the one before much more than their neighbours do."""
    near = [
        max(changes[max(i - 2, 0) : i] + changes[i + 1 : i + 3], default=0.0) for i in range(len(changes))
    ]
    return [i for i, change in enumerate(changes) if change > TIMES * max(near[i], LITTLE)]


def drawn_jumps(board: Storyboard) -> list[float]:
    """The times [s] of pictures of a film that jump, drawn as it will be shown, above its words."""
    before: NDArray[np.int16] | None = None
    changes: list[float] = []
    for picture in board.pictures():
        now = picture[: round(ABOVE * len(picture)), :, :3].astype(np.int16)
        changes.append(0.0 if before is None else float(np.abs(now - before).sum()) / (3 * 255))
        before = now
    return [i / board.rate for i in jumps(changes)]


def main() -> None:
    """Measure the film of a scene file, and print what was found in each chapter."""
    from rich.progress import Progress

    from simlab.commands.edge import scene_at
    from simlab.commands.shapes import first
    from simlab.commands.telling import tell

    reader = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    reader.add_argument("scene", type=Path)
    reader.add_argument("--every", type=int, default=1, help="look at every Nth picture of 60 a second")
    reader.add_argument("--only", default="", help="chapters whose titles have these words in them")
    reader.add_argument("--size", default="1920x1080")
    reader.add_argument("--pixels", action="store_true", help="draw the film small, and tell what jumps")
    wishes = reader.parse_args()
    width, height = (int(side) for side in wishes.size.split("x"))
    with Progress(disable=True) as progress:
        story, _, _ = tell(first(scene_at(wishes.scene, None, None)), progress, None, 1)
    rate = RATE // wishes.every
    if wishes.pixels:
        times = drawn_jumps(Storyboard(story, DRAWN, rate))
        sys.stdout.write(f"jumps at {', '.join(f'{time:.2f} s' for time in times) or 'no time'}\n")
        return
    board = Storyboard(story, (width, height), rate)
    total = Counter[str]()
    for findings in measured(board.parts, board.page, rate, wishes.only):
        sys.stdout.write(f"{findings}\n")
        for what in FAULTS:
            total[what] += getattr(findings, what).total()
    told = ", ".join(f"{what.replace('_', ' ')} {total[what]}" for what in FAULTS)
    sys.stdout.write(f"together: {told}\n")


if __name__ == "__main__":
    main()
