"""The diagrams of a sheet: the question's picture, and each part before it is solved, blank, and after."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from simlab.frame.model import Frame, Values
from simlab.notation.page import Figure
from simlab.pictures.isolated import after, before, blank, scale_of
from simlab.pictures.picture import Picture, picture
from simlab.pictures.separated import separated
from simlab.results.conventions import Conventions
from simlab.results.statics import Findings
from simlab.results.wording import spaced
from simlab.results.working import Part, Working
from simlab.sheet.plate import PER_UNIT, PER_UNIT_OF_PART, Plate
from simlab.working.solution import Workings

QUESTION = "question"
MOST_APART = 8  # parts that are drawn beside one another


class Diagrams:
    """The pictures of one sheet by name, drawn as they are asked for."""

    def __init__(self, findings: Findings, conventions: Conventions) -> None:
        self.findings = findings
        self.conventions = conventions
        self.plates: dict[str, Plate] = {}
        self.shown: list[Part] = []

    def question(self, frame: Frame) -> Figure:
        """The frame as the question has it, with what is given."""
        self.plates[QUESTION] = Plate.of(picture(frame), PER_UNIT)
        return self.plates[QUESTION].figure(QUESTION, f"{frame.title}: {'; '.join(_seen(frame))}.")

    def blanks(self, workings: Sequence[Working]) -> Iterator[Figure]:
        """Every part of the workings once, for pupils to draw the forces on."""
        for k, (part, working) in enumerate(_parts(workings), 1):
            drawn = blank(working.statics.frame, self._values(working), part, conventions=self.conventions)
            yield self._placed(f"blank-{k}", drawn)

    def before(self, working: Working) -> Iterator[Figure]:
        """The parts of a working before it is solved, but for those that were shown for another one."""
        frame, values = working.statics.frame, self._values(working)
        for part in working.parts:
            if any(_same(part, other) for other in self.shown):
                continue
            self.shown.append(part)
            equations = [equation for equation in working.equations if _same(equation.part, part)]
            drawn = before(frame, values, part, equations, conventions=self.conventions)
            yield self._placed(f"before-{len(self.shown)}", drawn)

    def after(self, workings: Sequence[Working]) -> Iterator[Figure]:
        """Each part once, with the forces that were found, all of one scale."""
        parts = _parts(workings, solved=True)
        scales = [scale_of(self._values(w), [part], w.letters) for part, w in parts]
        for k, (part, working) in enumerate(parts, 1):
            frame, values = working.statics.frame, self._values(working)
            drawn = after(frame, values, part, working.letters, min(scales), conventions=self.conventions)
            yield self._placed(f"after-{k}", drawn)

    def apart(self, working: Working) -> Iterator[Figure]:
        """The frame taken apart, the equal and opposite forces of each hinge on separate rods."""
        workings = Workings(working.statics)
        parts, letters = workings.apart()
        if 1 < len(parts) <= MOST_APART:
            frame, values = working.statics.frame, self._values(working)
            drawn = separated(frame, values, parts, letters, conventions=self.conventions)
            self.plates["apart"] = Plate.of(drawn, PER_UNIT)
            yield self.plates["apart"].figure("apart", drawn.description, "The frame taken apart")

    def _values(self, working: Working) -> Values:
        """The values at which a working's parts are drawn, letters that were to be found among them."""
        statics = working.statics
        found = {name: root.near(self.findings.frame) for name, root in statics.found.items()}
        return {**self.findings.frame.shown, **statics.values, **found}

    def _placed(self, name: str, drawn: Picture) -> Figure:
        """A picture of a part, its title below it."""
        self.plates[name] = Plate.of(drawn, PER_UNIT_OF_PART)
        return self.plates[name].figure(name, drawn.description, drawn.title)


def _seen(frame: Frame) -> Iterator[str]:
    """What a picture of a frame shows: bodies, light members, supports, loads, each with its points."""
    for body in frame.bodies.values():
        what = "rod" if body.kind == "rod" else spaced(body.name)
        yield f"{what} {body.name}" if what == "rod" else f"{what} with the points {', '.join(body.points)}"
    for link in frame.links.values():
        yield f"{spaced(link.name)} between {link.ends[0].point} and {link.ends[1].point}"
    for support in frame.supports.values():
        yield f"{spaced(support.name)} at {' and '.join(support.points)}"
    for load in frame.loads.values():
        yield f"{spaced(load.name)} at {load.place.point}"


def _parts(workings: Sequence[Working], *, solved: bool = False) -> list[tuple[Part, Working]]:
    """The parts of all workings, each once, with the first working that it is in, or is `solved` in."""
    found: list[tuple[Part, Working]] = []
    for working in workings:
        for part in working.parts:
            if (_is_solved(part, working) or not solved) and not any(
                _same(part, other) for other, _ in found
            ):
                found.append((part, working))
    return found


def _is_solved(part: Part, working: Working) -> bool:
    """Whether every force on a part was worked out."""
    return all(action.letter is None or action.letter in working.letters for action in part.actions)


def _same(one: Part, other: Part) -> bool:
    return (one.bodies, one.pins) == (other.bodies, other.pins)
