"""What a step costs a class: the chain with the least total is the one that is offered first.

Common practice of teachers, no source: whole frame before parts, single rods before groups, few unknowns,
short arms, no simultaneous equations. In units of one equation; only differences count.
"""

from __future__ import annotations

EQUATION = 1.0
UNKNOWN = 0.25  # each letter that it brings in
FORCE = 0.12  # each weight or load in it
ARM_TERM = 0.12  # each further term of a lever arm or coordinate
WHOLE, SINGLE, GROUP = 0.0, 0.1, 0.25  # the frame, one body or pin, several
ROUND_PULLEY = 0.4  # the whole frame, where ropes leave it over pulleys
FURTHER = 0.08  # each body or pin of a group after the second
ABOUT_PIN = 0.6  # moments for a pin alone, where one resolves
MOMENTS = 0.05  # over resolving
ODD_POINT = 0.3  # moments about a point that is no hinge or support
CROSSING = 0.8  # about a point that has to be constructed
OBLIQUE = 0.3  # resolving in a direction neither level nor upright
SLANT = 0.15  # each force that is neither level, nor upright, nor along or square to the direction
DRAWING = 0.3  # each part that has to be drawn
AWKWARD = 0.1  # each unit of price of an arm or cosine beyond a plain one (`exact.price`)
PLAIN_ARM = 5.0  # the price of 3*a*sin(theta)
TOGETHER = {1: 0.0, 2: 0.8, 3: 2.0}  # equations that hold at once
MANY_TOGETHER = 4.0
LETTER_INSIDE = 1.5  # of an equation before the last, that the letter sought stands in it
VIRTUAL_WORK = 2.5


def together(count: int) -> float:
    """What it costs that so many equations have to be solved at once."""
    return TOGETHER.get(count, MANY_TOGETHER)
