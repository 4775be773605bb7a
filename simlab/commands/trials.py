"""What the simulation says of limits and of shapes that were found, in words and as data."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from math import degrees
from typing import Any

from simlab.errors import BadInput
from simlab.frame.model import Frame, Name
from simlab.frame.quantity import Quantity
from simlab.lesson.amounts import LONGEST
from simlab.results.bracket import Bracket, Return, Trial
from simlab.results.oscillation import Swing
from simlab.results.statics import Findings, Statics
from simlab.results.wording import figures

FIGURES = 5  # of a limit, whose trials are a thousandth away
PERIOD = 4  # figures of a period
WITHIN = 1e-5  # of a period, to which two roads agree: the push is of 1e-3, and counts with its square
WITHIN_OF_STRINGS = 1e-4  # ... where strings run over pegs: their knots' inertia is made up for a step late
WITHIN_OF_LIGHT = 2e-3  # ... of frames with light rods, for which the engine needs a mass of a thousandth
PLACES = 3  # of an angle in degrees, as it comes to rest


@dataclass(frozen=True)
class Trials:
    """Every limit tried from both sides, every shape let go near."""

    frame: Frame
    brackets: tuple[Bracket, ...]
    returns: tuple[Return, ...]
    swings: tuple[Swing, ...]

    @property
    def agree(self) -> bool:
        """Whether the simulation bears out what statics found, wherever it can say."""
        wrong = [one for one in self.brackets if one.verdict == "not bracketed"]
        back = all(one.agrees or one.outcome == "undecided" for one in self.returns)
        return not wrong and back and all(one.agrees for one in self.swings)

    @property
    def said(self) -> Iterator[str]:
        """A sentence for each."""
        yield from (_bracketed(self.frame, one) for one in self.brackets)
        yield from (_returned(self.frame, one) for one in self.returns)
        yield from (_swung(one) for one in self.swings)

    @property
    def data(self) -> dict[str, Any]:
        """The same for another program."""
        return {
            "brackets": [{**asdict(one), "verdict": one.verdict} for one in self.brackets],
            "returns": [{**asdict(one), "agrees": one.agrees} for one in self.returns],
            "swings": [
                {
                    "pendulum": None if one.length is None else str(one.length),
                    "periods": list(one.periods),
                    "measured": list(one.measured),
                    "within": one.within,
                    "agrees": one.agrees,
                }
                for one in self.swings
            ],
        }


def tried(findings: Findings) -> Trials:
    """Try in the simulation whatever was found."""
    from simlab.simulation.bracket import brackets
    from simlab.simulation.finding import returns

    swings = (_let_swing(state) for state in findings.shapes)
    swinging = tuple(swing for swing in swings if swing is not None)
    return Trials(findings.frame, brackets(findings), returns(findings), swinging)


def _let_swing(state: Statics) -> Swing | None:
    """The periods of a frame that comes back when pushed, on both roads."""
    from simlab.simulation.swing import period
    from simlab.statics.oscillation import oscillation

    found = oscillation(state)
    if found is None:
        return None
    modes = found.modes(state.values)
    try:
        measured = tuple(period(state.frame, state.values, m.velocity, m.period) for m in modes)
    except BadInput:  # what the simulation cannot set in motion
        measured = ()
    light = any(body.is_light for body in state.frame.bodies.values())
    running = any(link.over and not link.is_given for link in state.frame.links.values())
    within = WITHIN_OF_LIGHT if light else WITHIN_OF_STRINGS if running else WITHIN
    return Swing(found.pendulum, tuple(m.period for m in modes), measured, within)


def _bracketed(frame: Frame, one: Bracket) -> str:
    def at(inside: bool) -> str:
        return _value(frame, one.letter, one.tried(inside))

    letter = Quantity.symbol(one.letter).plain
    inside, outside = f"{letter} = {at(True)}", at(False)
    return (
        f"Simulated, {one.verdict}: {_does(one.inside)} at {inside}, {_does(one.outside)} at {outside}"
        f"{_where(one.outside)}."
    )


def _does(trial: Trial) -> str:
    return "is left undecided" if trial.outcome == "undecided" else trial.outcome


def _where(trial: Trial) -> str:
    if not trial.about:
        return ""
    return f": at {trial.about}, {trial.way}" if trial.way else f": {trial.about}"


def _swung(one: Swing) -> str:
    periods = ", ".join(f"{figures(period, PERIOD)} s" for period in one.periods)
    alike = ""
    if one.length is not None and len(one.length.plain) <= LONGEST:
        unit = "" if one.length.names else " m"
        alike = f" like a simple pendulum of length {one.length.plain}{unit}"
    many = f"in {len(one.periods)} ways, with periods of" if len(one.periods) > 1 else "with a period of"
    start = f"Pushed a little, it swings{alike} {many} {periods}"
    if not one.measured:
        return f"{start}."
    if one.agrees:
        return f"{start}; simulated, the same to {one.apart:.0e}."
    said = ", ".join("none" if m is None else f"{figures(m, PERIOD)} s" for m in one.measured)
    return f"{start}; simulated, {said}: not the same."


def _returned(frame: Frame, one: Return) -> str:
    letters = " and ".join(
        f"{Quantity.symbol(name).plain} {_value(frame, name, abs(one.released[name] - size), places=1)}"
        for name, size in one.exact.items()
        if one.released
    )
    away = letters or f"{100 * one.away:.1f} % of its size"
    start = f"Simulated, let go {'with ' if letters else ''}{away} away, damped: "
    if one.outcome == "leaves":
        return start + ("it leaves, as it should." if one.agrees else "it leaves, though it should return.")
    if one.outcome == "undecided":
        return start + "it has not come to rest in the time allowed."
    if not one.rest:
        again = f"it comes back, to {one.apart:.0e} of its size"
        return f"{start}{again}{'' if one.agrees else ', though it should leave'}."
    rests = ", ".join(
        f"{Quantity.symbol(name).plain} = {_value(frame, name, one.rest[name])} "
        f"(exact {_value(frame, name, one.exact[name])})"
        for name in one.exact
    )
    return f"{start}it comes to rest at {rests}{'' if one.agrees else ', though it should leave'}."


def _value(frame: Frame, name: Name, value: float, places: int = PLACES) -> str:
    symbol = frame.symbols[name]
    if symbol.is_angle:
        return f"{degrees(value):.{places}f}°"
    return f"{value:.{FIGURES}g} {symbol.unit}".rstrip()
