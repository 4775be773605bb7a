"""How finely a frame is stepped in the showing, and how its joints are kept closed: from its conditioning.

Steps of 1/600 s are handed on. Each is made of as many engine steps as the frame's own time asks for: small
frames fall and fold faster. Closing the whole of every gap in each step (which makes the engine's scheme
of second order) explodes with too few sweeps; where even the most are too few, a tenth is closed, or no
more than the engine's default.
"""

from __future__ import annotations

from math import ceil, sqrt

from simlab.frame.model import Frame
from simlab.simulation.conditioning import Gaps
from simlab.simulation.drawn import Drawn
from simlab.simulation.openness import open_forces
from simlab.simulation.world import World

RATE = 600  # steps a second
STEP = 1 / RATE
FINE = 350  # engine steps, at least, in sqrt(length of the shortest body / g)
RUNNING = 4  # times as fine, where strings run over pegs: their ends whip round
MOST_PARTS = 8  # engine steps in a step
SOFT = 0.9**60  # share of a joint's gap left after a second: Chipmunk's own default
SWEEPS = 3.0  # over the share that a sweep takes away: fewer, and closing whole gaps explodes
CUT_SWEEPS = 25.0  # ... in the step of a cut, when all forces jump: they are then right to 1e-11
FEWEST, MOST = 50, 1500  # sweeps an engine step
MOST_AT_CUT = 25000
MOST_HANGING = 800  # ... of a frame that comes to rest, which needs no more
TENTH_SWEEPS = 0.5  # over the share that a sweep takes away: enough to close a tenth
TOUCHED_SWEEPS = 60
HANGING_DAMPING = 1e-3  # share of velocity kept in a second: comes to rest within a second
TOUCHED_DAMPING = 0.6  # air and rubbing, so that a fallen frame comes to rest in the end


def parts(drawn: Drawn) -> int:
    """Engine steps in a step."""
    own = sqrt(drawn.shortest / drawn.gravity)
    running = any(link.over and not link.is_given for link in drawn.frame.links.values())
    return min(max(ceil((RUNNING if running else 1) * FINE * STEP / own), 1), MOST_PARTS)


class Pace:
    """Sweeps and closing for a frame as it is now.

    slowest : share of the slowest error that a sweep takes away; open : forces that it leaves open;
    damping : share of velocity kept in a second
    """

    def __init__(self, world: World, frame: Frame, part: float, damping: float = 1.0) -> None:
        self.world, self.part, self.damping = world, part, damping
        gaps = Gaps(world.drawn.of(frame), world.masses)
        self.slowest = gaps.slowest() if world.bodies else 1.0
        self.open = open_forces(gaps)

    def _sweeps(self, enough: float, most: int) -> int:
        return min(max(ceil(enough / self.slowest), FEWEST), most)

    def hang(self) -> None:
        """Damped, gaps closed softly."""
        self._set(HANGING_DAMPING, self._sweeps(SWEEPS, MOST_HANGING), SOFT)

    def fall(self) -> None:
        """Undamped, gaps closed as far as the sweeps allow."""
        self._set(1.0, self._sweeps(SWEEPS, MOST), self.closing)

    def touch(self, most: float) -> None:
        """Damped a little, gaps closed softly; a joint bears no more than `most` [N]."""
        self._set(TOUCHED_DAMPING, TOUCHED_SWEEPS, SOFT)
        for joint in self.world.space.constraints:
            joint.max_force = min(joint.max_force, most)

    def _set(self, damping: float, sweeps: int, error_bias: float) -> None:
        self.damping = self.world.space.damping = damping
        self.world.space.iterations = sweeps
        for joint in self.world.space.constraints:
            joint.error_bias = error_bias

    @property
    def at_cut(self) -> int:
        """Sweeps in the step of a cut."""
        return self._sweeps(CUT_SWEEPS, MOST_AT_CUT)

    @property
    def closing(self) -> float:
        """The share of a joint's gap left after a second of falling."""
        if SWEEPS / self.slowest <= MOST:
            return 0.0
        return 0.9 ** (1 / self.part) if TENTH_SWEEPS / self.slowest <= MOST else SOFT
