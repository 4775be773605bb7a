"""A run of a stage: gravity let on, what is done to the frame, the paths of its joints; and all again.

What is done is kept with the step at which it was done. A moment of the past is reached again by doing the
same at the same steps from the last beginning on: a run has no other state that could be forgotten.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

from simlab.frame.model import Name
from simlab.pictures.plan import Plan
from simlab.simulation.stage import RATE, Glimpse, Stage
from simlab.window.trails import Trails, traced

LETTING_ON = 4 * RATE  # [steps] in which gravity is let on: long enough to see each arrow grow
RESTING = RATE  # [steps] in which a frame that is put together again comes to rest
TRAIL = 10  # [steps] between two points of a path
# A frame is still while its kinetic energy is below this share of weight times size: a frame of a metre
# then moves by less than half a millimetre a second, which nobody sees.
STILL = 1e-8
# A frame sleeps once it has had, at ten looks in a second, less kinetic energy than these shares of weight
# times size: hanging, its forces then stay to ten figures; lying where it fell, it trembles a little.
QUIET = {"hanging": 1e-24, "touched": 1e-12}
QUIET_LOOKS = 10
LOOK = RATE // 10  # [steps]


class Deed(NamedTuple):
    """Something that was done, after so many steps of the run."""

    step: int
    name: str
    what: tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class Moment:
    """A moment of a run.

    steps, deeds : how many were taken and done before; time : of the watcher [s]; trails : the paths of the
    joints, on each of which `trail` points were left by then
    """

    steps: int
    deeds: int
    time: float
    glimpse: Glimpse
    has_moved: bool
    trails: Trails
    trail: int


class Run:
    """What happens on a stage, step by step.

    has_moved : whether the frame moved since the release; trails : the path of each moving joint since then
    """

    def __init__(
        self, plan: Plan, stage: Stage, let_on: int = 0, time: float = 0.0, resting: int = 0
    ) -> None:
        """From `let_on` steps of letting gravity on, at `time` [s] of the watcher."""
        self.plan, self.stage = plan, stage
        self.places = traced(plan)
        self.steps = 0
        self.deeds: list[Deed] = []
        self.do("begin", let_on, time, resting)

    # ------------------------------------------------------------ what is done

    def do(self, name: str, *what: Any) -> None:
        """Do something, and keep that it was done."""
        self._act(name, what)
        self.deeds.append(Deed(self.steps, name, what))

    def _act(self, name: str, what: tuple[Any, ...]) -> None:
        self._quiet = 0
        if name == "begin":
            self._begin(*what)
        elif name == "cut":
            self._cut(*what)
        elif name == "grab":
            self.stage.grab(*what)
        elif name == "pull" and self.stage.hand:
            self.stage.hand.to = what
        elif name == "let go":
            self.stage.let_go()

    def _begin(self, let_on: int, time: float, resting: int) -> None:
        """The drawn frame with its brace, as it hangs under what is let on; the watcher's clock goes on."""
        self.let_on = let_on
        self.stage.restart()
        self.stage.share = let_on / LETTING_ON
        self.stage.step(resting)
        self._earlier = time - self.stage.time  # the watcher need not wait for it to come to rest
        self.has_moved = False
        self.trails = Trails(self.places)

    def _cut(self, brace: Name) -> None:
        """The forces jump in the step of the cut, in which no time passes: they are seen at once."""
        self.stage.cut(brace)
        self.has_moved = False
        self.stage.step()
        self._leave_trail()

    def restore(self) -> None:
        """Put the frame together again, with its brace in place."""
        self.do("begin", self.let_on, self._earlier + self.stage.time, RESTING)

    def step(self, n: int) -> None:
        """Let n steps pass."""
        for _ in range(n):
            self.let_on = min(self.let_on + 1, LETTING_ON)
            self.stage.share = self.let_on / LETTING_ON
            if self.is_asleep:
                self.stage.time += 1 / RATE
            else:
                self.stage.step()
            self.steps += 1
            if self.steps % LOOK == 0 and not self.is_asleep:
                self._look_whether_quiet()
            if self.stage.state != "hanging":
                if round(self.stage.time * RATE) % TRAIL == 0:
                    self._leave_trail()
                self.has_moved = self.has_moved or not self.is_still

    @property
    def is_asleep(self) -> bool:
        """Whether the frame has been quite at rest for so long that nothing is worked out any more."""
        return self._quiet >= QUIET_LOOKS

    def _look_whether_quiet(self) -> None:
        stage = self.stage
        deep = QUIET.get(stage.state, 0.0) if self.let_on == LETTING_ON and not stage.hand else 0.0
        is_quiet = stage.energy()[0] <= deep * stage.total * stage.drawn.size
        self._quiet = self._quiet + 1 if is_quiet else 0

    def _leave_trail(self) -> None:
        self.trails.leave(self.plan, self.stage.now())

    # ------------------------------------------------------------ again

    def moment(self) -> Moment:
        """The moment reached."""
        glimpse = self.stage.glimpse()
        trails = self.trails
        return Moment(self.steps, len(self.deeds), self.time, glimpse, self.has_moved, trails, trails.count)

    def go_back(self, moment: Moment) -> None:
        """Reach a moment of this run again, and forget what came after it."""
        done = self.deeds[: moment.deeds]
        first = max(i for i, deed in enumerate(done) if deed.name == "begin")
        self.steps = done[first].step
        for deed in done[first:]:
            self.step(deed.step - self.steps)
            self._act(deed.name, deed.what)
        self.step(moment.steps - self.steps)
        self.deeds = done

    # ------------------------------------------------------------ how things stand

    @property
    def time(self) -> float:
        """Seconds of the frame's own time since the watcher's beginning."""
        return max(self._earlier + self.stage.time, 0.0)

    @property
    def is_still(self) -> bool:
        """Whether nothing moves that the eye could see."""
        kinetic, _ = self.stage.energy()
        return is_still(kinetic, self.stage)


def is_still(kinetic: float, stage: Stage) -> bool:
    """Whether a frame with so much kinetic energy [J] moves by nothing that the eye could see."""
    return kinetic <= STILL * stage.total * stage.drawn.size
