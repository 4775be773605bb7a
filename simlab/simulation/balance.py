"""What is left over of the forces on the rods: nothing, when they rest."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from simlab.frame.model import Name
from simlab.results import Forces
from simlab.simulation.drawn import Drawn, Pair

Push = tuple[Name, Pair, Pair]  # body, point [m], force [N]


def left_over(drawn: Drawn, forces: Forces[float], further: Iterable[Push] = ()) -> float:
    """The largest of |sum F_x|, |sum F_y|, |sum M| / length over all bodies [N], and pins of light members.

    A check of what was read, never a source of forces. `further` acts besides the reactions, the
    weights and the loads on the bodies themselves.
    """
    left = {name: [0.0, -weight, 0.0] for name, weight in drawn.weights.items()}
    left |= {joint.name: [0.0, 0.0, 0.0] for joint in drawn.frame.joints.values() if not joint.bodies}
    for name, point, (fx, fy) in (*_acting(drawn, forces), *further):
        if name in left:
            cx, cy = drawn.centres.get(name, point)  # on a pin all forces act at one point
            moment = (point[0] - cx) * fy - (point[1] - cy) * fx
            for i, part in enumerate((fx, fy, moment / drawn.lengths.get(name, drawn.size))):
                left[name][i] += part
    for name, couple in drawn.couples.items():
        on = drawn.frame.loads[name].place.body
        if on in left:
            left[on][2] += couple / drawn.lengths[on]
    for key, reaction in forces.reactions.items():
        if reaction.moment is not None:
            left[key.on][2] += reaction.moment / drawn.lengths[key.on]
    return float(np.max(np.abs(list(left.values())), initial=0.0))


def _acting(drawn: Drawn, forces: Forces[float]) -> Iterable[Push]:
    for key, reaction in forces.reactions.items():
        yield key.on, reaction.point, reaction.force
        if key.at in drawn.frame.contacts:  # with another body, or a support that bears anything
            x, y = reaction.force
            yield key.by, reaction.point, (-x, -y)
    for load in drawn.frame.loads.values():
        yield load.place.body, drawn.points[load.place.point], drawn.loads[load.name]
