"""simlab: plane frames of jointed heavy rods, solved exactly, simulated, compared, shown.

    import simlab

    frame = simlab.read_scene("scenes/kite_lantern.toml")
    statics = simlab.solve(frame)                   # every force, exactly
    best, *_ = simlab.workings(statics, "thrust in spreader")   # how to get there, line by line
    reading = simlab.settle(frame)                  # every force, from the engine's own impulses
    comparison = simlab.compare(statics, reading)   # side by side
    trace = simlab.release(frame)                   # the brace taken away
    simlab.picture(frame).write("kite.svg")
    simlab.film("scenes/kite_lantern.toml", "kite.mp4")
    simlab.watch(frame)                             # in a window

Names are looked up on first use, so that importing simlab costs nothing.
"""

from __future__ import annotations

import sys
from importlib import import_module
from types import ModuleType
from typing import Any

_HOMES = {
    "SimlabError": "simlab.errors",
    "BadInput": "simlab.errors",
    "SceneError": "simlab.errors",
    "Frame": "simlab.frame.model",
    "Quantity": "simlab.frame.quantity",
    "read_scene": "simlab.frame.scene",
    "parse_scene": "simlab.frame.scene",
    "schema": "simlab.frame.scene_file",
    "showing": "simlab.frame.change",
    "without": "simlab.frame.change",
    "Comparison": "simlab.results",
    "Conventions": "simlab.results.conventions",
    "Forces": "simlab.results",
    "Key": "simlab.results",
    "Reaction": "simlab.results",
    "Reading": "simlab.results",
    "Statics": "simlab.results",
    "Trace": "simlab.results",
    "in_numbers": "simlab.results",
    "solve": "simlab.statics.solution",
    "settle": "simlab.simulation.settle",
    "hang": "simlab.simulation.release",
    "release": "simlab.simulation.release",
    "Stage": "simlab.simulation.stage",
    "workings": "simlab.working.solution",
    "Working": "simlab.results.working",
    "compare": "simlab.comparison",
    "probes": "simlab.comparison",
    "picture": "simlab.pictures.picture",
    "film": "simlab.commands.film",
    "watch": "simlab.commands.watch",
}
__all__ = sorted(_HOMES)


class _Simlab(ModuleType):
    """simlab itself: `simlab.film` stays the function, although a room of the house has the same name."""

    @property
    def film(self) -> Any:
        return __getattr__("film")

    @film.setter
    def film(self, room: ModuleType) -> None:
        """The import system hands us the room when it is first used; it finds it by itself later."""


sys.modules[__name__].__class__ = _Simlab


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'simlab' has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return __all__
