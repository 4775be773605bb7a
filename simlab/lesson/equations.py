"""What is said of an equation: which forces do not enter, what each arm is, whose weight a force is."""

from __future__ import annotations

from collections.abc import Iterator

from simlab.frame.model import GROUND
from simlab.frame.quantity import Quantity
from simlab.lesson.amounts import Pieces
from simlab.lesson.numbers import Numbers
from simlab.notation.page import Line, line
from simlab.results.forces import Key
from simlab.results.wording import called, series
from simlab.results.working import Action, Equation, Letter, Words, Working
from simlab.working.places import point_words


class Telling:
    """Words for the equations of one working; remembers which letters have been told."""

    def __init__(self, working: Working, numbers: Numbers) -> None:
        self.working = working
        self.statics = working.statics
        self.numbers = numbers
        self.introduced: set[str] = set()

    def said(self, equation: Equation) -> Words:
        """'Moments about H (the force at H has none):'."""
        silent = self._silent(equation)
        if equation.method == "moments":
            head, what = f"Moments about {equation.about}", "no moment about it"
        else:
            head, what = f"Resolve {equation.along}", "no component that way"
        if not silent:
            return (head, ":")
        has = "has" if len(silent) == 1 else "have"
        return (head, " (", *series(silent), f" {has} {what}):")

    def _silent(self, equation: Equation) -> list[str | Quantity]:
        """What does not enter: letters that are known by now, and at the point itself whole forces."""
        found: dict[str, str | Quantity] = {}
        for name in equation.silent:
            letter = self.working.letters.get(name)
            if name in self.introduced:
                found[name] = Quantity.symbol(name, positive=False)
            elif letter is not None and equation.method == "moments":
                words = self._whole(letter)
                found[words] = words
        return list(found.values())

    def _whole(self, letter: Letter) -> str:
        """The force that a letter is part of: "the force at C", "the reaction of the quay at A"."""
        if letter.part in ("thrust", "tension") or not isinstance(letter.of, Key):
            return letter.words
        frame = self.statics.frame
        contact = frame.contacts.get(letter.of.at)
        if contact is not None:
            return f"the reaction at {point_words(contact.on.point)}"
        joint = frame.joints.get(letter.of.at)
        held = joint is not None and GROUND in joint.bodies
        return f"the {'reaction' if held else 'force'} at {point_words(letter.of.at)}"

    def arms(self, equation: Equation) -> Iterator[Line]:
        """Each arm of a moment equation, before it is used; weights with whose they are."""
        said: Pieces = []
        unit = " m" if self.numbers.in_decimals else ""
        for term in equation.terms if equation.method == "moments" else ():
            if term.action.turning:
                continue
            said += ["; "] if said else ["Arms: "]
            said += [*self._owner(term.action), ", ", self.numbers.number(term.arm), unit]
        if said:
            yield line(*said, ".", indent=True)

    def _owner(self, action: Action) -> Pieces:
        """A force by its letter, or by whose weight or what load it is."""
        size = self.numbers.number(action.size)
        if action.letter is not None or not isinstance(action.what, str):
            return [size]
        load = self.statics.frame.loads.get(action.what)
        if load is None:
            return ["weight of ", f"{called(action.what)} (", size, ")"]
        return [f"{called(action.what)} (", size, ")"]

    def weights(self) -> str:
        """The weights of a question in masses, worked out once."""
        frame = self.statics.frame
        is_first = bool(frame.asked) and self.working.asked == frame.asked[0].words
        if not (frame.has_masses and self.numbers.in_decimals and is_first and self.working.steps):
            return ""
        heavy = [(called(body.name), body.weight) for body in frame.bodies.values() if not body.is_light]
        heavy += [(called(one.name), one.value[0]) for one in frame.loads.values() if one.kind == "weight"]
        said = []
        for name, weight in heavy:
            mass = weight / frame.gravity
            if mass.decimal is None or weight.decimal is None:
                return ""
            said.append(f"{name} {mass.decimal} × {frame.gravity.decimal} = {weight.decimal} N")
        return f"Weights: {', '.join(said)}."
