"""The player: what the watcher may do with a living frame, without a screen and without a clock.

Time passes in steps of 1/600 s of the frame's own time, and nothing but the number of steps decides
where the frame is: the same presses at the same steps give the same run, however fast they are shown.
"""

from __future__ import annotations

from collections import deque
from fractions import Fraction

import numpy as np

from simlab.frame.model import GROUND, Frame, Name, Place, Values
from simlab.pictures.marks import Point, Points
from simlab.pictures.plan import Plan
from simlab.results import Instant
from simlab.simulation.stage import RATE, Stage

LETTING_ON = 4 * RATE  # [steps] in which gravity is let on: long enough to see each arrow grow
RESTING = RATE  # [steps] in which a frame that is put together again comes to rest
SPEEDS = (Fraction(1, 8), Fraction(1, 4), Fraction(1, 2), Fraction(1), Fraction(2))
REAL = SPEEDS.index(Fraction(1))
# Steps taken at once at most: a machine that cannot keep up shows slow motion instead of falling behind
# further and further. Six pictures' worth at real speed and 60 pictures a second.
MOST_STEPS = 60
PRESSED = 10  # [steps] of one press of "step" at real speed: a sixtieth of a second
TRAIL = 10  # [steps] between two points of a path
LONGEST_TRAIL = 240  # points: the last four seconds
# A frame is still while its kinetic energy is below this share of weight times size: a frame of a metre
# then moves by less than half a millimetre a second, which nobody sees.
STILL = 1e-8


class Player:
    """A living frame, played: gravity let on, settled, its brace released and restored.

    plan : the frame in metres; playing : whether time passes; arrows : whether forces are shown;
    over : whether the watcher has had enough; trails : the path of each moving joint since the release,
    newest last [m]; has_moved : whether the frame moved since the release
    """

    def __init__(self, frame: Frame, values: Values | None = None) -> None:
        self.frame = frame
        self.plan = Plan.of(frame, values)
        self.stage = Stage(frame, self.plan.values)
        self.playing = True
        self.arrows = True
        self.over = False
        self._speed = REAL
        self._places = _traced(self.plan)
        self._start()

    def _start(self) -> None:
        self._let_on = 0  # steps of letting gravity on that are done
        self._earlier = 0.0  # [s] played before the frame was last put together
        self._owed = 0.0  # steps that the screen's clock has asked for and that are not yet whole
        self.has_moved = False
        self.trails: dict[Name, deque[Point]] = {}

    # ------------------------------------------------------------ what can be done

    def play_or_pause(self) -> None:
        """Let time pass, or hold it."""
        self.playing = not self.playing
        self._owed = 0.0

    def step_once(self) -> None:
        """Hold time, and let a little of it pass: 1/60 s at real speed, less where it is slower."""
        self.playing = False
        self._take(max(1, int(PRESSED * self.speed)))

    def slower(self) -> None:
        """Half the speed, down to an eighth."""
        self._speed = max(self._speed - 1, 0)

    def faster(self) -> None:
        """Twice the speed, up to twice real."""
        self._speed = min(self._speed + 1, len(SPEEDS) - 1)

    def restart(self) -> None:
        """From the beginning: the drawn frame with its brace, and no weight on."""
        self.stage.restart()
        self._start()

    def release_or_restore(self) -> None:
        """Take the brace away, or put the frame together again with its brace in place."""
        if self.frame.brace is None:
            return
        if self.is_braced:
            self._release(self.frame.brace)
        else:
            self._restore()

    def _release(self, brace: Name) -> None:
        """The forces jump in the step of the cut, in which no time passes: they are seen at once."""
        self.stage.cut(brace)
        self.has_moved = False
        self.stage.step()
        self._leave_trail()

    def _restore(self) -> None:
        """The frame as it hangs under what is let on; its clock goes on."""
        self._earlier += self.stage.time
        share = self.stage.share
        self.stage.restart()
        self.stage.share = share
        self.stage.step(RESTING)
        self._earlier -= self.stage.time  # the watcher need not wait for it to come to rest
        self.has_moved = False
        self.trails = {}

    def arrows_on_or_off(self) -> None:
        """Show the forces, or leave them out."""
        self.arrows = not self.arrows

    def quit(self) -> None:
        """Leave."""
        self.over = True

    # ------------------------------------------------------------ time

    def advance(self, seconds: float) -> int:
        """Let `seconds` of the screen's clock pass; the number of steps taken, MOST_STEPS at most."""
        if not self.playing:
            return 0
        self._owed += max(seconds, 0.0) * RATE * float(self.speed)
        steps = min(int(self._owed), MOST_STEPS)
        self._owed = min(self._owed - steps, 1.0)
        self._take(steps)
        return steps

    def _take(self, steps: int) -> None:
        for _ in range(steps):
            self._let_on = min(self._let_on + 1, LETTING_ON)
            self.stage.share = self._let_on / LETTING_ON
            self.stage.step()
            if self.is_released:
                if round(self.stage.time * RATE) % TRAIL == 0:
                    self._leave_trail()
                self.has_moved = self.has_moved or not self.is_still

    def _leave_trail(self) -> None:
        instant = self.now()
        for name, place in self._places.items():
            x, y = self.plan.at(place, instant)
            self.trails.setdefault(name, deque(maxlen=LONGEST_TRAIL)).append((float(x), float(y)))

    # ------------------------------------------------------------ how things stand

    @property
    def speed(self) -> Fraction:
        """How fast time passes: 1 is real."""
        return SPEEDS[self._speed]

    @property
    def is_slowest(self) -> bool:
        """Whether it cannot go slower."""
        return self._speed == 0

    @property
    def is_fastest(self) -> bool:
        """Whether it cannot go faster."""
        return self._speed == len(SPEEDS) - 1

    @property
    def time(self) -> float:
        """Seconds of the frame's own time since the beginning."""
        return max(self._earlier + self.stage.time, 0.0)

    @property
    def share(self) -> float:
        """How much of gravity is let on, 0 to 1."""
        return self.stage.share

    @property
    def is_braced(self) -> bool:
        """Whether the brace is in place: neither taken away nor fallen out."""
        return self.frame.brace in self.stage.world.links

    @property
    def is_released(self) -> bool:
        """Whether the brace was taken away."""
        return self.stage.state != "hanging"

    @property
    def is_still(self) -> bool:
        """Whether nothing moves that the eye could see."""
        kinetic, _ = self.stage.energy()
        return kinetic <= STILL * self.stage.total * self.stage.drawn.size

    def now(self) -> Instant:
        """The moment reached."""
        return self.stage.now()

    def trail(self, name: Name) -> Points:
        """The path of a joint since the release, oldest first, shape (n, 2) [m]."""
        return np.array(self.trails[name], dtype=np.float64).reshape(-1, 2)


def _traced(plan: Plan) -> dict[Name, Place]:
    """What leaves a path: the joints that can move; where there are none, the free ends of the rods."""
    joints = {
        joint.name: Place(joint.bodies[0], joint.point)
        for joint in plan.frame.joints.values()
        if joint.bodies and GROUND not in joint.bodies
    }
    if joints:
        return joints
    held = {joint.point for joint in plan.frame.joints.values()}
    ends = {}
    for body, points in plan.bodies.items():
        for name, point in points.items():
            is_end = any(np.allclose(point, end) for end in plan.outlines[body])
            if is_end and name not in held:
                ends[name] = Place(body, name)
    return ends
