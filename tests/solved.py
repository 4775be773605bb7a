"""Scenes read and solved once for all the tests of a run: frames and findings cannot be changed."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from simlab.frame.model import Frame
from simlab.frame.scene import read_scene
from simlab.results.statics import Findings
from simlab.statics.shape import find


@cache
def scene(path: Path) -> Frame:
    """The frame of a scene file."""
    return read_scene(path)


@cache
def found(path: Path) -> Findings:
    """Everything that statics finds of a scene."""
    return find(scene(path))


def at_rest(path: Path) -> Frame:
    """A scene's frame in the first shape in which it can rest."""
    return found(path).shapes[0].frame
