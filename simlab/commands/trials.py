"""What the simulation says of limits and of shapes that were found, in words and as data."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from math import degrees
from typing import Any

from simlab.frame.model import Frame, Name
from simlab.frame.quantity import Quantity
from simlab.results.bracket import Bracket, Return, Trial
from simlab.results.statics import Findings

FIGURES = 5  # of a limit, whose trials are a thousandth away
PLACES = 3  # of an angle in degrees, as it comes to rest


@dataclass(frozen=True)
class Trials:
    """Every limit tried from both sides, every shape let go near."""

    frame: Frame
    brackets: tuple[Bracket, ...]
    returns: tuple[Return, ...]

    @property
    def agree(self) -> bool:
        """Whether the simulation bears out what statics found, wherever it can say."""
        wrong = [one for one in self.brackets if one.verdict == "not bracketed"]
        return not wrong and all(one.agrees or one.outcome == "undecided" for one in self.returns)

    @property
    def said(self) -> Iterator[str]:
        """A sentence for each."""
        yield from (_bracketed(self.frame, one) for one in self.brackets)
        yield from (_returned(self.frame, one) for one in self.returns)

    @property
    def data(self) -> dict[str, Any]:
        """The same for another program."""
        return {
            "brackets": [{**asdict(one), "verdict": one.verdict} for one in self.brackets],
            "returns": [{**asdict(one), "agrees": one.agrees} for one in self.returns],
        }


def tried(findings: Findings) -> Trials:
    """Try in the simulation whatever was found."""
    from simlab.simulation.bracket import brackets
    from simlab.simulation.finding import returns

    return Trials(findings.frame, brackets(findings), returns(findings))


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
