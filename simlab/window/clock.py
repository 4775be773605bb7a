"""The clock of a player: how fast the frame's own time passes, and how many steps that makes."""

from __future__ import annotations

from fractions import Fraction

from simlab.simulation.stage import RATE

SPEEDS = (Fraction(1, 8), Fraction(1, 4), Fraction(1, 2), Fraction(1), Fraction(2))
REAL = SPEEDS.index(Fraction(1))
# Steps taken at once at most: a machine that cannot keep up shows slow motion instead of falling behind
# further and further. Six pictures' worth at real speed and 60 pictures a second.
MOST_STEPS = 60
PRESSED = 10  # [steps] of one press of "step" at real speed: a sixtieth of a second


class Clock:
    """Steps for the seconds of a screen.

    speed : how fast time passes, 1 is real
    """

    def __init__(self) -> None:
        self._speed = REAL
        self._owed = 0.0  # steps that the screen's clock has asked for and that are not yet whole

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

    def slower(self) -> None:
        """Half the speed, down to an eighth."""
        self._speed = max(self._speed - 1, 0)

    def faster(self) -> None:
        """Twice the speed, up to twice real."""
        self._speed = min(self._speed + 1, len(SPEEDS) - 1)

    @property
    def pressed(self) -> int:
        """The steps of one press of "step": 1/60 s at real speed, less where it is slower."""
        return max(1, int(PRESSED * self.speed))

    def steps(self, seconds: float) -> int:
        """The steps for `seconds` of the screen's clock, MOST_STEPS at most."""
        self._owed += max(seconds, 0.0) * RATE * float(self.speed)
        steps = min(int(self._owed), MOST_STEPS)
        self._owed = min(self._owed - steps, 1.0)
        return steps

    def forget(self) -> None:
        """Nothing is owed: time was held."""
        self._owed = 0.0
