"""Whether every part of a frame has the inertia that its motion needs.

Raises BadInput for a rod whose inertia the scene does not give, for a member between two fixed points, and
for a force that nothing with weight resists once the frame's brace, or what is cut, is gone.
"""

from __future__ import annotations

import numpy as np

from simlab.errors import BadInput
from simlab.frame.change import without
from simlab.frame.model import GROUND, Frame, Name
from simlab.results import Floats
from simlab.simulation.conditioning import Gaps
from simlab.simulation.drawn import Drawn, Pair
from simlab.simulation.masses import home, masses

MOVED = 1e-6  # of a motion of size 1: a point that moves less stands still, the rest is rounding


def check(drawn: Drawn) -> None:
    """Whether a frame can be let move at all, with all its members and without its brace."""
    frame = drawn.frame
    for name, gyration2 in drawn.gyrations2.items():
        if gyration2 is None and drawn.weights[name] > 0:
            raise BadInput(
                f'{frame.name}, rod "{name}" is not uniform and gives no radius of gyration, so '
                "its motion is unknown. Add gyration = ... to the rod."
            )
    ends = {name: link.places for name, link in frame.links.items()}
    ends |= {name: (contact.on, contact.on) for name, contact in frame.contacts.items()}
    for name, places in ends.items():
        if all(home(frame, place) == GROUND for place in places):
            raise BadInput(
                f'{frame.name}: "{name}" is between fixed points and does nothing. Take it away.'
            )
    brace = frame.brace
    check_inertia(without(frame, brace) if brace else frame, drawn)


def check_inertia(left: Frame, drawn: Drawn) -> None:
    """Whether every force has something to move, or is borne, in what is left of the frame."""
    frame, load = drawn.frame, _unresisted(drawn.of(left))
    if load is not None:
        gone = [name for name in frame.links if name not in left.links]
        without_these = f"without {', '.join(gone)} " if gone else ""
        raise BadInput(
            f'{frame.name}, load "{load}": {without_these}this force moves only '
            f'"{home(left, left.loads[load].place)}" and what else has no weight, so the motion is '
            "unknown. Give the rod a weight, or hang a weight where the force acts."
        )


def _unresisted(drawn: Drawn) -> Name | None:
    """A load whose force meets no inertia: its point is free with all that has weight held fast."""
    frame, gaps = drawn.frame, Gaps(drawn, masses(drawn))
    forces = [load for load in frame.loads.values() if load.kind == "force" and any(drawn.loads[load.name])]
    if not forces:
        return None

    def rates(name: Name, point: Pair) -> Floats:
        return np.array([gaps.row([(name, point, way)]) for way in ((1.0, 0.0), (0.0, 1.0))])

    for body, outline in drawn.outlines.items():
        if drawn.weights[body] > 0:
            gaps.blocks += [rates(body, corner) for corner in outline]
    for load in frame.loads.values():
        if load.kind == "weight" and any(drawn.loads[load.name]):
            gaps.blocks.append(rates(home(frame, load.place), drawn.points[load.place.point]))
    _, loose = gaps.freedom()
    for load in forces:
        at = rates(home(frame, load.place), drawn.points[load.place.point])
        if np.abs(at @ loose).max(initial=0.0) > MOVED:
            return load.name
    return None
