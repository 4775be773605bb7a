"""How far exact answers reach: for which values they hold, and what they tend to at the ends."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from simlab.frame.model import Name
from simlab.frame.quantity import Quantity


@dataclass(frozen=True)
class Validity:
    """A member or contact acts its own way for `left` < or > `right`.

    It may also do so for all values ("always") or for none ("never"). `left` is a letter or its tangent,
    sine or cosine. Where no such simple form is found, all but `words`, what the member does, is None.
    `where`: what was divided by may have either sign, and has the one that it has here where this holds.
    """

    about: Name
    words: str
    relation: Literal["<", ">", "always", "never"] | None = None
    left: Quantity | None = None
    right: Quantity | None = None
    where: Validity | None = None


@dataclass(frozen=True)
class Extreme:
    """What an answer tends to as a letter goes to the end of what it can be.

    `left` tends to `right` (an angle to 0 or 90 degrees, tan theta to 2 tan alpha; None: without limit);
    the answer tends to `value`, or grows without limit if that is None. `flat`: rods hinged together come
    into line there. `inside`: within the range for which the question is meant.
    """

    asked: str
    left: Quantity
    right: Quantity | None
    value: Quantity | None
    flat: bool
    inside: bool
