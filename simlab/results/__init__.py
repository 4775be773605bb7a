"""What the roads hand on. A leaf: it imports the frame only."""

from simlab.results.comparison import Agreement, Comparison, Component, Row
from simlab.results.forces import Forces, Key, Reaction, in_numbers, largest
from simlab.results.hand import Hand
from simlab.results.reading import Outcome, Reading, Settings
from simlab.results.statics import (
    Case,
    Condition,
    Findings,
    Freedom,
    Motion,
    Range,
    Rest,
    Root,
    Statics,
    Verdict,
)
from simlab.results.trace import Event, Floats, Instant, Timeline, Trace

__all__ = [
    "Agreement",
    "Case",
    "Comparison",
    "Component",
    "Condition",
    "Event",
    "Findings",
    "Floats",
    "Forces",
    "Freedom",
    "Hand",
    "Instant",
    "Key",
    "Motion",
    "Outcome",
    "Range",
    "Reaction",
    "Reading",
    "Rest",
    "Root",
    "Row",
    "Settings",
    "Statics",
    "Timeline",
    "Trace",
    "Verdict",
    "in_numbers",
    "largest",
]
