"""A class's conventions: which words, which figures, which angles its pupils are used to."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, fields, replace
from fractions import Fraction
from pathlib import Path
from typing import Any

from simlab.frame.class_file import (
    FIGURES_OF_G,
    AngleTo,
    Exactness,
    ForcesAs,
    HingeWord,
    LoadsAs,
    RodWord,
    ThrustWord,
    read_class,
)
from simlab.frame.model import Frame
from simlab.frame.prose import reworded, with_gravity
from simlab.frame.quantity import Dim, Quantity
from simlab.frame.scene import read_scene
from simlab.frame.weighing import in_masses, in_weights
from simlab.results.wording import FIGURES

PAST: dict[str, str] = {"pin": "pinned", "joint": "jointed"}  # of rods that are hinged together


@dataclass(frozen=True)
class Conventions:
    """How a class writes and speaks; `Conventions()` is simlab's own way.

    gravity : the class's g [m/s^2], instead of the scene's own; None leaves that
    loads : whether bodies are given by weights or by masses; None leaves them as the scene has them
    rod, hinge, thrust : the class's words
    exact : "surds": the exact form and its value; "figures": the value alone
    angle_to : from which line the direction of a force is measured; None takes the shorter to write
    forces : by their parts, by size and direction, or both
    figures : of a force that depends on g; None: as many as the class's g is known to
    names : of one scene: its own names, which are never changed (`of` a frame gives them)
    """

    gravity: Quantity | None = None
    loads: LoadsAs | None = None
    rod: RodWord = "rod"
    hinge: HingeWord = "hinge"
    thrust: ThrustWord = "thrust"
    exact: Exactness = "surds"
    angle_to: AngleTo | None = None
    forces: ForcesAs = "both"
    figures: int | None = None
    names: tuple[str, ...] = ()

    @classmethod
    def read(cls, path: str | Path) -> Conventions:
        """Read a class file; raises SceneError naming the file, the key, what came and what is allowed."""
        entry, gravity = read_class(path)
        return cls(
            gravity,
            entry.loads,
            entry.rod,
            entry.hinge,
            entry.thrust,
            entry.exact,
            entry.angle_to,
            entry.forces,
            entry.figures,
        )

    @property
    def told(self) -> dict[str, str]:
        """What differs from simlab's own way, as plain data."""
        said = {n: getattr(v, "decimal", None) or str(v) for n, v in self._ways.items()}
        return {name: text for name, text in said.items() if getattr(self, name) != getattr(HOUSE, name)}

    @property
    def written(self) -> dict[str, str | int]:
        """All of it by the keys of a class file; what is left to the scene is left out."""
        mine = {"g": None if self.gravity is None else self.gravity.decimal, **self._ways}
        return {name: value for name, value in mine.items() if isinstance(value, str | int)}

    @property
    def _ways(self) -> dict[str, Any]:
        """All of it by its names here, but for the names of one frame."""
        return {field.name: getattr(self, field.name) for field in fields(self) if field.name != "names"}

    @property
    def keeps_scenes(self) -> bool:
        """Whether a scene stays as its file has it."""
        return self.gravity is None and self.loads is None

    def scene(self, path: str | Path) -> Frame:
        """Read a scene as this class has it: with its g, by weights or by masses."""
        frame = read_scene(path, self.gravity, letter=self.loads == "masses")
        if self.gravity is not None:
            frame = replace(frame, question=with_gravity(frame.question, str(self.gravity.decimal)))
        if self.loads is None:
            return frame
        return in_masses(frame) if self.loads == "masses" else in_weights(frame)

    def of(self, frame: Frame) -> Conventions:
        """The same for one frame: its names stay, and figures follow g where its forces depend on g."""
        g = None if self.gravity is None else Fraction(str(self.gravity))
        figures = self.figures or (None if g is None else FIGURES_OF_G.get(g))
        return replace(self, names=names_of(frame), figures=figures if frame.has_masses else None)

    def figures_of(self, dim: Dim) -> int:
        """To how many figures a quantity is written: a force that depends on g to as many as g."""
        return self.figures if self.figures is not None and dim[0] else FIGURES

    def spoken(self, text: str, names: Collection[str] = ()) -> str:
        """A sentence in the class's words, with no name of the scene changed, nor $mathematics$.

        >>> Conventions(rod="bar", thrust="compression").spoken("Thrust in the spreader, on both rods")
        'Compression in the spreader, on both bars'
        >>> Conventions(rod="bar").spoken("Tension in tie rod, on a rod", ("tie_rod",))
        'Tension in tie rod, on a bar'
        """
        return reworded(text, dict(self._words()), (*self.names, *names))

    def _words(self) -> Iterator[tuple[str, str]]:
        """Each of simlab's words that the class has another one for, in every form."""
        for house, word in (("rod", self.rod), ("hinge", self.hinge), ("thrust", self.thrust)):
            if word != house:
                yield house, word
                yield f"{house}s", f"{word}s"
        if self.hinge in PAST:
            yield "hinged", PAST[self.hinge]


HOUSE = Conventions()


def names_of(frame: Frame) -> tuple[str, ...]:
    """What a scene has given names to: words in them are its author's, and stay as they are."""
    parts = (
        frame.symbols,
        frame.points,
        frame.bodies,
        frame.joints,
        frame.links,
        frame.contacts,
        frame.supports,
        frame.loads,
    )
    return (frame.title, *dict.fromkeys(name for part in parts for name in part))
