"""The contacts of a frame in the showing: which press, which have lifted off, which slip."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from simlab.frame.model import Name
from simlab.results import Event
from simlab.simulation.guide import ABOUT_TO, Guide
from simlab.simulation.meeting import Meeting
from simlab.simulation.world import World

# What has lifted off can land, and what went slack come taut, once its gap has been this wide, in frame
# sizes: nearer, the velocities of the middle of a step still close it, and it would be struck.
CLEAR = 1e-5
UNDER = 10.0  # times as far under a surface it has come from its other side, and does not land
WRONG = 1e-6  # of the total weight: a force of the wrong sense that is less is rounding


class Pressing:
    """All contacts of a world.

    meetings : by contact; guides : of those that press; lifted : those that do not, and whether they have
    been clear of their surface since; landed : those that landed in the last step; leeway : share of the
    most friction that is borne
    """

    def __init__(self, world: World, step: float, total: float) -> None:
        self.world = world
        self.frame = world.frame
        self.step = step
        self.least = WRONG * total
        contacts = self.frame.contacts
        self.meetings = {name: Meeting(world, contact) for name, contact in contacts.items()}
        self.guides = {name: Guide(world, contacts[name], m) for name, m in self.meetings.items()}
        self.lifted: dict[Name, bool] = {}
        self.landed: list[Name] = []
        self._wrong = dict.fromkeys(self.guides, 0)  # steps that it has pulled, without a break
        self._slips = dict.fromkeys(self.guides, 0)  # ... that it has slipped
        self.leeway = ABOUT_TO  # while it hangs
        self._share = 0.0
        self._soft: tuple[float, float] | None = None

    def place(self, share: float) -> None:
        """Before a step with a share of the load on: the bars of what presses."""
        if share != self._share:
            if self._share == 0.0:
                for guide in self.guides.values():
                    guide.forget()
            self._grown, self._share = share / (self._share or share), share
        else:
            self._grown = 1.0
        for guide in self.guides.values():
            guide.place(self.step, self._grown * self.leeway)

    def look(self, time: float, patience: int) -> list[Event]:
        """What changed in the last step.

        A contact lifts off when it has pulled for more than `patience` steps, and so it slips.
        """
        events = list(self._lift(time, patience))
        events += self._slip(time, patience)
        events += self._land(time)
        return events

    def _slip(self, time: float, patience: int) -> Iterator[Event]:
        for name, guide in self.guides.items():
            if guide.limit is None:
                continue
            guide.look(self.step)
            self._slips[name] = self._slips[name] + 1 if guide.slips else 0
            if self._slips[name] == patience + 1:
                yield Event(time, "slip", name)

    def _lift(self, time: float, patience: int) -> Iterator[Event]:
        pulling = self.pulling()
        for name, guide in list(self.guides.items()):
            self._wrong[name] = self._wrong[name] + 1 if name in pulling else 0
            if self._wrong[name] > patience:
                yield self.lift(name, time)
            elif not self._is_within(guide.meeting):
                yield replace(self.lift(name, time), kind="off")

    def lift(self, name: Name, time: float) -> Event:
        """Let a contact lift off."""
        self.guides.pop(name).remove()
        self.lifted[name] = False
        self._wrong[name] = 0
        return Event(time, "lifted", name)

    def pulling(self) -> dict[Name, float]:
        """By how much each contact that can only push pulled in the last step [N], if it did."""
        pulls = {
            name: -guide.push(self.step)
            for name, guide in self.guides.items()
            if not self.frame.contacts[name].two_sided
        }
        return {name: pull for name, pull in pulls.items() if pull > self.least}

    def grip(self) -> None:
        """After a try of a step: how much friction the next try may bear."""
        for guide in self.guides.values():
            guide.look(self.step)

    def _is_within(self, meeting: Meeting) -> bool:
        """Whether the point of contact has not run off the end of an edge."""
        span = meeting.span
        return span is None or span[0] <= meeting.along <= span[1]

    def _land(self, time: float) -> Iterator[Event]:
        self.landed.clear()
        for name, was_clear in list(self.lifted.items()):
            meeting = self.meetings[name]
            meeting.look(0.0)
            clear = CLEAR * self.world.drawn.size
            if not self._is_within(meeting):
                self.lifted[name] = False  # past the end of an edge: nothing to land on
            elif meeting.gap >= 0.0:
                self.lifted[name] = was_clear or meeting.gap > clear
            elif was_clear or -UNDER * clear < meeting.gap < -clear:
                del self.lifted[name]
                self.guides[name] = Guide(self.world, self.frame.contacts[name], meeting, meeting.gap)
                if self._soft is not None:
                    self.soften(*self._soft)
                self.landed.append(name)
                yield Event(time, "contact", name)

    def soften(self, error_bias: float, max_force: float) -> None:
        """Close gaps gently from now on, and bear no more than so much."""
        self._soft = error_bias, max_force
        for guide in self.guides.values():
            for bar in guide.bars:
                bar.error_bias = error_bias
            guide.normal.max_force = max_force

    def limits(self) -> dict[Name, float]:
        """The most friction that each rough contact may bear in the next step [N]."""
        return {name: g.along.max_force for name, g in self.guides.items() if g.limit is not None}
