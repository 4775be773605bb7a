"""A class file decoded: the conventions of a class, a few lines of TOML, with messages like a scene's."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Literal

import msgspec

from simlab.errors import BadInput
from simlab.frame import expression
from simlab.frame.points import of_kind
from simlab.frame.quantity import ACCELERATION, NUMBER, Quantity
from simlab.frame.scene_file import SceneText
from simlab.frame.words import Exact

LoadsAs = Literal["weights", "masses"]
RodWord = Literal["rod", "bar", "member"]
HingeWord = Literal["hinge", "pin", "joint"]
ThrustWord = Literal["thrust", "compression"]
Exactness = Literal["surds", "figures"]
AngleTo = Literal["horizontal", "vertical"]
ForcesAs = Literal["both", "components", "magnitude and angle"]

# What classes take for g [m/s^2], and to how many figures they then give a force that depends on it
# (common practice, no source: an answer is no better known than g).
FIGURES_OF_G: dict[Fraction, int] = {Fraction("9.8"): 2, Fraction("9.81"): 3, Fraction(10): 2}
FIGURES = (2, 3)


class ClassEntry(msgspec.Struct, forbid_unknown_fields=True, frozen=True):
    """The keys of a class file; every one may be left out."""

    g: Exact | None = None
    figures: int | None = None
    loads: LoadsAs | None = None
    rod: RodWord = "rod"
    hinge: HingeWord = "hinge"
    thrust: ThrustWord = "thrust"
    exact: Exactness = "surds"
    angle_to: AngleTo | None = None
    forces: ForcesAs = "both"


class ClassText(SceneText):
    """A class file's text."""

    what = "class"

    def entry(self) -> tuple[ClassEntry, Quantity | None]:
        """Its keys, and its g [m/s^2]; raises SceneError at the first thing that is not as it should be."""
        raw = self.raw()
        gravity = self._gravity(raw.get("g"))
        if raw.get("figures", FIGURES[0]) not in FIGURES:
            allowed = " or ".join(map(str, FIGURES))
            message = f"{raw['figures']!r} figures are not known here. Write {allowed}, without quotes."
            raise self.error(message, key="figures")
        for key in raw.keys() & set(ClassEntry.__struct_fields__):  # one by one: messages with their lines
            self.convert({key: raw[key]}, ClassEntry, key=key)
        return self.convert(raw, ClassEntry), gravity

    def _gravity(self, written: object) -> Quantity | None:
        """What is written for g, which may have its unit."""
        if written is None:
            return None
        try:
            read = expression.read(str(written), {})
            value = (
                Quantity.of(1, ACCELERATION) * read if read.dim == NUMBER else of_kind(read, ACCELERATION)
            )
        except BadInput:
            value = Quantity.zero(ACCELERATION)
        if isinstance(written, bool) or value not in [Quantity.of(g, ACCELERATION) for g in FIGURES_OF_G]:
            allowed = ", ".join(f"{float(g):g}" for g in FIGURES_OF_G)
            raise self.error(
                f"{written} is no g of a class. Allowed: {allowed} (m/s^2). For a place with another g, "
                'such as the Moon, write gravity = "..." in the scene, and leave g out here.',
                key="g",
            )
        return value


def read_class(path: str | Path) -> tuple[ClassEntry, Quantity | None]:
    """Read a class file; raises SceneError naming the file, the key, what came and what is allowed."""
    return ClassText.of_file(Path(path)).entry()
