"""Every force on a part in words: what a reader who cannot see its picture is told.

On CB: its weight W, downwards, at its middle; the tension T in the rope at V, towards U; ...
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import atan2, degrees, hypot

from simlab.frame.model import GROUND, Frame, Name, Values
from simlab.frame.quantity import NUMBER, Quantity
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.cutting import is_light_rod, leads_to, member_of, numbers, pulls
from simlab.results.forces import Key
from simlab.results.wording import (
    called,
    figures,
    needs_unit,
    reads_well,
    scaled,
    sense,
    sides,
    spaced,
    unit_of,
)
from simlab.results.working import Action, Equation, Letter, Part, Working

STRAIGHT = 1e-9  # sine or cosine of a direction that is upright or level


def of_working(working: Working, part: Part, *, solved: bool, conventions: Conventions = HOUSE) -> str:
    """Every force on a part of a working, in the sense assumed, or as it came out."""
    letters = working.letters if solved else None
    return in_words(working.statics.frame, working.statics.values, part, letters, conventions)


def in_words(
    frame: Frame,
    values: Values,
    part: Part,
    letters: Mapping[Name, Letter] | None = None,
    conventions: Conventions = HOUSE,
) -> str:
    """Every force on a part: in its assumed sense, or with its `letters` known as it came out."""
    speaker = _Speaker(frame, values, part, letters, conventions)
    return conventions.spoken(f"On {part.words}: {'; '.join(speaker.forces())}.")


@dataclass(frozen=True)
class _Speaker:
    frame: Frame
    values: Values
    part: Part
    letters: Mapping[Name, Letter] | None
    conventions: Conventions

    def forces(self) -> Iterator[str]:
        """Each force in turn, the two components of a hinge's together."""
        actions = list(self.part.actions)
        while actions:
            pair = actions[:2]
            if len(pair) > 1 and self._is_hinge(*pair):
                yield self._hinge(pair)
                actions = actions[2:]
                continue
            one = actions.pop(0)
            if one.letter is not None or one.size.number(self.values):
                yield self._one(one)

    def _is_hinge(self, one: Action, other: Action) -> bool:
        """Whether two actions are the level and the upright component of one hinge's force."""
        at = one.what.at if isinstance(one.what, Key) else one.what
        if at not in self.frame.joints or one.turning or other.turning or one.letter is None:
            return False
        if (one.what, one.on) != (other.what, other.on) or member_of(
            self.frame, self.part, one
        ) is not None:
            return False
        return not numbers(one.way, self.values)[1] and not numbers(other.way, self.values)[0]

    def _hinge(self, actions: list[Action]) -> str:
        """A hinge's force by its components, and how large it is as a whole."""
        known = [(action, *self._as_it_is(action)) for action in actions]
        parts = [f"{size} {self._sense(way)}" for _, size, way in known if way != (0.0, 0.0)]
        nothing = [
            f"no force {spoken_letter(a.letter)}" for a, _, way in known if a.letter and way == (0.0, 0.0)
        ]
        words = f"at {self._point(actions[0])}{self._source(actions[0])}, {' and '.join(parts + nothing)}"
        if self.letters is None or len(parts) < len(actions):
            return words
        return f"{words}, together {self._whole(actions)}"

    def _whole(self, actions: list[Action]) -> str:
        """The size of the force of which some actions are the components."""
        x, y = (
            sum(self._value(a).number(self.values) * numbers(a.way, self.values)[k] for a in actions)
            for k in (0, 1)
        )
        dim = actions[0].size.dim
        factor, unit = scaled(Quantity.of(1, dim), hypot(x, y))
        size = figures(hypot(x, y) / factor, self.conventions.figures_of(dim))
        return f"{size}{unit}, {self._sense((x / hypot(x, y), y / hypot(x, y)))}"

    def _one(self, action: Action) -> str:
        size, way = self._as_it_is(action)
        where = self._point(action)
        if action.turning:
            return self._turned(action, size, where)
        if way == (0.0, 0.0):
            return f"no force {spoken_letter(action.letter)} at {where}"
        member = member_of(self.frame, self.part, action)
        if member is not None:
            return f"{self._named(action, way, size)} at {where}, {self._along(member, action, way)}"
        at = f", at {where}" if action.what in self.frame.bodies else ""
        named = self._named(action, way, size)
        return f"{named}, {self._sense(way)}{at}" if at else f"{named} at {where}, {self._sense(way)}"

    def _turned(self, action: Action, size: str, where: str) -> str:
        """A couple, or the moment of a built-in end, and the way it turns."""
        is_open = action.letter is not None and self.letters is None
        number = 1.0 if is_open else self._value(action).number(self.values)
        if not number:
            return f"no moment at {where}"
        turn = "anticlockwise" if number * action.turning > 0 else "clockwise"
        return f"{self._named(action, (0.0, 0.0), size)} at {where}, {turn}"

    def _named(self, action: Action, way: tuple[float, float], size: str) -> str:
        """What a force is, and its size: "its weight 2W", "the tension T in the rope"."""
        frame, what = self.frame, action.what
        member = member_of(frame, self.part, action)
        if member is not None:
            kind = "tension" if pulls(frame, self.values, member, action, way) else "thrust"
            return f"the {kind} {size} in {called(member)}"
        if not isinstance(what, Key) and what in frame.bodies:
            alone = [b for b in self.part.bodies if not frame.bodies[b].is_light] == [what]
            return f"its weight {size}" if alone else f"the weight {size} of {called(what)}"
        if not isinstance(what, Key) and what in frame.loads:
            kind = {"weight": "weight", "couple": "couple"}.get(frame.loads[what].kind, "load")
            return f"the {kind} {size} of {called(what)}"
        if action.turning:
            return f"the moment {size}"
        return f"{self._reaction(action)} {size}{self._source(action)}"

    def _reaction(self, action: Action) -> str:
        """What one calls the force of a contact or of a hinge."""
        at = action.what.at if isinstance(action.what, Key) else action.what
        contact = self.frame.contacts.get(at)
        if contact is None:
            return "the force"
        normal, way = numbers(contact.normal, self.values), numbers(action.way, self.values)
        square = abs(normal[0] * way[1] - normal[1] * way[0]) <= STRAIGHT * hypot(*normal)
        if not contact.rough:
            return "the reaction"
        return "the normal reaction" if square else "the friction"

    def _source(self, action: Action) -> str:
        """What a hinge's or a contact's force comes from, where that is one thing."""
        frame, key = self.frame, action.what
        at = key.at if isinstance(key, Key) else key
        if at in frame.contacts:
            contact = frame.contacts[at]
            by = contact.on.body if contact.by in self.part.bodies else contact.by
            return f" of {called(by)}"
        joint = frame.joints.get(at)
        if joint is None:
            return ""
        others = [b for b in joint.bodies if b not in self.part.bodies and not is_light_rod(frame, b)]
        if isinstance(key, Key) and key.by == GROUND:
            others = [GROUND]
        if len(others) != 1 or (joint.name in self.part.pins and others != [GROUND]):
            return " from the pin" if isinstance(key, Key) and key.on in frame.bodies else ""
        if others == [GROUND]:
            holding = (s.name for s in frame.supports.values() if at in s.joints_or_contacts)
            return "".join(f" from {called(name)}" for name in list(holding)[:1])
        return f" from {called(others[0])}"

    # sizes and directions

    def _value(self, action: Action) -> Quantity:
        """Its size along its way, negative where it acts the other way."""
        if self.letters is None or action.letter is None:
            return action.size
        return self.letters[action.letter].value

    def _as_it_is(self, action: Action) -> tuple[str, tuple[float, float]]:
        """The words of its size, and the unit vector along it; (0, 0) if it is nothing, or a couple."""
        x, y = numbers(action.way, self.values)
        if action.letter is not None and self.letters is None:
            return spoken_letter(action.letter), (x, y)
        value = self._value(action)
        number = value.number(self.values)
        sign = (number > 0) - (number < 0)
        return self._size(value, number), (x * sign + 0.0, y * sign + 0.0)

    def _size(self, value: Quantity, number: float) -> str:
        """A size exactly with its value, or its value alone."""
        size = -value if number < 0 else value
        factor, unit = scaled(size, abs(number))
        about = f"{figures(abs(number) / factor, self.conventions.figures_of(size.dim))}{unit}"
        if self.conventions.exact == "figures":
            return about
        if not size.names:
            return f"{size.decimal}{unit}" if size.decimal and reads_well(size) and factor == 1 else about
        exact = size.plain + (unit_of(size) if needs_unit(size, self.values) else "")
        return exact if self.letters is None or len(exact) <= SHORT else f"{exact} ({about})"

    def _point(self, action: Action) -> str:
        if action.point is not None and not action.point.startswith(("middle of", "centre of")):
            return spaced(action.point)
        if not isinstance(action.what, Key) and action.what in self.frame.bodies:
            return "its middle" if self.frame.bodies[action.what].kind == "rod" else "its centre"
        return f"the {spaced(action.point)}" if action.point is not None else "its point"

    def _along(self, member: Name, action: Action, way: tuple[float, float]) -> str:
        """Towards or away from the other end of a light member."""
        end = leads_to(self.frame, self.values, member, action, way)
        if end is None:
            return self._sense(way)
        towards = pulls(self.frame, self.values, member, action, way)
        return f"{'towards' if towards else 'away from'} {spaced(end)}"

    def _sense(self, way: tuple[float, float]) -> str:
        """A direction in words: "downwards", "at 36.9° above the horizontal, to the right"."""
        x, y = way
        right, up = ((v > STRAIGHT) - (v < -STRAIGHT) for v in way)
        to = sides(self.frame)
        if not right or not up:
            return sense(right, up, to)
        if self.conventions.angle_to == "vertical":
            turn, line = (
                degrees(atan2(abs(x), abs(y))),
                "to the upward vertical" if up > 0 else "to the downward vertical",
            )
        else:
            turn, line = (
                degrees(atan2(abs(y), abs(x))),
                "above the horizontal" if up > 0 else "below the horizontal",
            )
        return f"at {figures(turn, self.conventions.figures_of(NUMBER))}° {line}, {sense(right, 0, to)}"


def arms_in_words(values: Values, equation: Equation) -> str:
    """The arms of a moment equation: what each force turns, and how far from the point it acts."""
    said = []
    for term in equation.terms:
        action = term.action
        turn = "anticlockwise" if term.side > 0 else "clockwise"
        size = spoken_letter(action.letter) or action.size.plain
        arm = term.arm.plain + (unit_of(term.arm) if needs_unit(term.arm, values) else "")
        said.append(f"{size}, {turn}" if action.turning else f"{size}, arm {arm}, {turn}")
    silent = ", ".join(map(spoken_letter, equation.silent))
    none = f"; no moment: {silent}" if silent else ""
    return f"Moments of {equation.part.words} about {equation.about}: {'; '.join(said)}{none}."


SHORT = 6  # characters of an exact size that needs no value beside it


def spoken_letter(name: Name | None) -> str:
    """A letter as plain text: X_B, T."""
    return "" if name is None else Quantity.symbol(name).plain
