"""The player: what the watcher may do with a living frame, without a screen and without a clock.

Time passes in steps of 1/600 s of the frame's own time, and nothing but the number of steps decides
where the frame is: the same presses at the same steps give the same run, however fast they are shown.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType

from simlab.errors import BadInput
from simlab.frame.model import Frame, Name, Values
from simlab.pictures.marks import Point
from simlab.pictures.plan import Plan
from simlab.simulation.stage import Stage
from simlab.window.clock import MOST_STEPS as MOST_STEPS
from simlab.window.clock import SPEEDS as SPEEDS
from simlab.window.clock import Clock
from simlab.window.history import History
from simlab.window.lanterns import hooks, hung, lantern_for
from simlab.window.letters import Lettering, by_name, impossible, letters_of, moved
from simlab.window.reach import body_near, hold_near, point_near
from simlab.window.run import LETTING_ON, RESTING, Run
from simlab.window.standing import Standing

WARMING = 60  # [steps] in which the forces of a frame that was changed come to their values


class Player(Standing):
    """A living frame, played and handled.

    frame : as it is now, with the lanterns that hang on it, at `values`; plan : the same in metres;
    playing : whether time passes; arrows : whether forces are shown; over : whether the watcher has had
    enough; edition : grows whenever frame, plan or values change; isolated : the body that is looked at
    alone; lanterns : how many hang at each point, lantern : the weight of one [N]; joints : where they can;
    letters : the given ones, and their values now
    """

    def __init__(self, frame: Frame, values: Values | None = None) -> None:
        self.values: Values = {**frame.shown, **(values or {})}
        self.frame = frame
        self.plan = Plan.of(frame, values)
        self.run = Run(self.plan, Stage(frame, self.plan.values))
        self.playing = True
        self.arrows = True
        self.over = False
        self.edition = 0
        self.isolated: Name | None = None
        self.joints = hooks(frame)
        self.letters = letters_of(frame, self.values)
        self.lantern = lantern_for(frame, self.values)
        self.lanterns: Mapping[Name, int] = MappingProxyType({})
        self.clock = Clock()
        self.history = History()
        self._own = Lettering(frame)  # without lanterns
        self.history.keep(self.run.moment())

    # ------------------------------------------------------------ time

    def play_or_pause(self) -> None:
        """Let time pass, from the moment that is looked at, or hold it."""
        self.playing = not self.playing
        if self.playing:
            self._be_here()
        self.clock.forget()

    def step_once(self) -> None:
        """Hold time, and let a little of it pass: 1/60 s at real speed, less where it is slower."""
        self.playing = False
        self.clock.forget()
        if self.is_past:
            self.history.by(1)
        else:
            self._take(self.clock.pressed)

    def slower(self) -> None:
        """Half the speed, down to an eighth."""
        self.clock.slower()

    def faster(self) -> None:
        """Twice the speed, up to twice real."""
        self.clock.faster()

    def advance(self, seconds: float) -> int:
        """Let `seconds` of the screen's clock pass; the number of steps taken, MOST_STEPS at most."""
        if not self.playing:
            return 0
        steps = self.clock.steps(seconds)
        if steps:
            self._take(steps)
        return steps

    def _take(self, steps: int) -> None:
        self.run.step(steps)
        self.history.keep(self.run.moment())

    # ------------------------------------------------------------ what can be done

    def restart(self) -> None:
        """From the beginning: the drawn frame with its brace, and no weight on."""
        self.run = Run(self.plan, self.stage)
        self.clock.forget()
        self._start_history()

    def release_or_restore(self) -> None:
        """Take the brace away, or put the frame together again with its brace in place."""
        if self.frame.brace is None:
            return
        self._be_here()
        if self.is_braced:
            self.run.do("cut", self.frame.brace)
        else:
            self.run.restore()
        self.history.keep(self.run.moment())

    def arrows_on_or_off(self) -> None:
        """Show the forces, or leave them out."""
        self.arrows = not self.arrows

    def quit(self) -> None:
        """Leave."""
        self.over = True

    # ------------------------------------------------------------ a hand

    def grab(self, at: Point, reach: float) -> bool:
        """Get hold of what moves within reach [m]: the nearest joint or free end, else a point of a body.

        Whether there is anything.
        """
        hold = hold_near(self.plan, self.now(), at, reach, self.isolated)
        if hold is None:
            return False
        self._be_here()
        self.run.do("grab", hold.body, hold.at, hold.point)
        self.run.do("pull", float(at[0]), float(at[1]))
        return True

    def pull_to(self, to: Point) -> None:
        """Where the hand is now [m]."""
        if self.hand and not self.is_past:
            self.run.do("pull", float(to[0]), float(to[1]))

    def let_go(self) -> None:
        """Let go of the frame."""
        if self.hand and not self.is_past:
            self.run.do("let go")

    # ------------------------------------------------------------ lanterns and letters

    def joint_at(self, at: Point, reach: float) -> Name | None:
        """The nearest point within reach [m] at which a lantern can be hung."""
        return point_near(self.plan, self.now(), self.joints, at, reach)

    def hang_on(self, joint: Name, by: int = 1) -> None:
        """One lantern more, or fewer, at a point; a frame that has come down is put together again first.

        Raises BadInput for a point at which none can be hung.
        """
        if joint not in self.joints:
            known = ", ".join(self.joints) or "none"
            raise BadInput(f'no lantern can be hung at "{joint}". Points for lanterns: {known}.')
        counts = {**self.lanterns, joint: max(self.lanterns.get(joint, 0) + by, 0)}
        self._change(self.values, {name: n for name, n in counts.items() if n})

    def take_off(self) -> None:
        """Take all lanterns off."""
        self._change(self.values, {})

    def put(self, name: Name, value: Fraction) -> None:
        """Another value for a letter, in its unit: the frame stands anew, with its brace and lanterns.

        Raises BadInput for a value out of the letter's range, and for one at which there is no such frame;
        all is then as it was.
        """
        values = moved(self._own.frame, self.values, name, value)
        try:
            self._change(values, self.lanterns)
        except BadInput as error:
            raise impossible(by_name(self.letters, name), value, error) from None

    @property
    def asked(self) -> Frame:
        """What exact statics should solve: the frame with its lanterns as loads, at the values put."""
        return self.frame

    def _change(self, values: Values, lanterns: Mapping[Name, int]) -> None:
        """Another frame: at rest under as much of gravity as is on, the clock going on."""
        own, known = self._own.at(values)
        frame = hung(own, lanterns, self.lantern)
        plan, stage = Plan.of(frame, values, known), Stage(frame, values, known)
        let_on = round(self.share * LETTING_ON)
        resting = WARMING if self.playing else RESTING
        self.run = Run(plan, stage, let_on, self.time, resting)
        self.frame, self.plan, self.values = frame, plan, values
        self.letters = letters_of(self._own.frame, values)
        self.lanterns = MappingProxyType(dict(lanterns))
        self.edition += 1
        self._start_history()

    # ------------------------------------------------------------ looking back

    def seek(self, time: float) -> None:
        """Hold time, and look at the moment at `time` [s]."""
        self.playing = False
        self.clock.forget()
        self.let_go()
        self.history.seek(time)

    def back(self, seconds: float) -> None:
        """Look at what was so much earlier [s]."""
        self.seek(self.time - seconds)

    def ahead(self, seconds: float) -> None:
        """Look at what was so much later [s], at most at the last moment."""
        self.seek(self.time + seconds)

    def _be_here(self) -> None:
        """Let the moment that is looked at be now: what came after it is forgotten."""
        if self.history.seen:
            self.run.go_back(self.history.seen)
            self.history.cut_off()
            self.let_go()  # the hand of then is not there

    def _start_history(self) -> None:
        self.history.clear()
        self.history.keep(self.run.moment())

    # ------------------------------------------------------------ one body alone

    def body_at(self, at: Point, reach: float | None = None) -> Name | None:
        """The body at a place, or the nearest one within reach [m] (a thirtieth of the frame's size)."""
        within = self.stage.drawn.size / 30 if reach is None else reach
        return body_near(self.plan, self.now(), at, within)

    def isolate(self, body: Name | None) -> None:
        """Look at one body alone, or at the whole frame again."""
        if body is not None and body not in self.frame.bodies:
            raise BadInput(f'"{body}" is no body. Bodies: {", ".join(self.frame.bodies)}.')
        self.isolated = body
