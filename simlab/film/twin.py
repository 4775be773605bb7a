"""A frame that is shown beside another one."""

from __future__ import annotations

from dataclasses import dataclass

from simlab.frame.model import Frame, Values
from simlab.results import Trace


@dataclass(frozen=True)
class Twin:
    """A frame that is released, or stays, beside another one.

    heading, words : what stands above it; stays : whether it hangs still with its brace
    """

    frame: Frame
    values: Values
    fall: Trace
    heading: str
    words: str = ""
    stays: bool = False
