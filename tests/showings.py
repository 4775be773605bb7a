"""Frames whose brace holds what then slides, rolls, runs or swings: for tests of the showing."""

from __future__ import annotations

from simlab.frame.model import Frame
from simlab.frame.scene import parse_scene

HEAD = 'title = "x"\nquestion = "x"\nsource = "our own"\n'

# A rod across a smooth peg, held at its upper end.
PEG = """brace = "tie"
[points]
A = ["0", "0"]
B = { from = "A", length = "2 m", direction = "right", lean = "25 deg", to = "up" }
G = { middle = ["A", "B"] }
T = { from = "A", towards = "B", length = "0.8 m" }
V = { from = "G", length = "1 m", direction = "down" }
N = { from = "T", length = "1 m", direction = "down", lean = "25 deg", to = "right" }
I = { lines = [["G", "V"], ["T", "N"]] }
Z = { from = "A", towards = "I", length = "1.4 m" }
[rods]
AB = { ends = ["A", "B"], weight = "30 N" }
[members]
tie = { kind = "string", between = ["A", "Z"] }
[supports]
peg = { kind = "smooth peg", at = "T" }
hook = { kind = "hook", at = "Z" }
"""

# A plank that rolls without slipping on a round, held level by a string at one end.
ROLLING = """brace = "tie"
[points]
O = ["0", "0"]
T = ["0", "0.6 m"]
A = ["-0.9 m", "0.6 m"]
B = ["1.1 m", "0.6 m"]
Z = ["1.1 m", "2 m"]
[rods]
AB = { ends = ["A", "B"], through = ["T"], weight = "40 N" }
[members]
tie = { kind = "string", between = ["B", "Z"] }
[supports]
drum = { kind = "rough cylinder", at = "T", centre = "O" }
hook = { kind = "hook", at = "Z" }
"""

# A hinged rod that leans with its inner part on the end of another, which a string holds up.
LEANING = """brace = "tie"
[points]
A = ["0", "0"]
B = { from = "A", length = "2 m", direction = "right", lean = "40 deg", to = "up" }
T = { from = "A", towards = "B", length = "1.4 m" }
C = ["1.6 m", "-0.1 m"]
Z = ["0.2 m", "-0.1 m"]
[rods]
AB = { ends = ["A", "B"], weight = "50 N" }
CT = { ends = ["C", "T"], weight = "20 N" }
[contacts]
lean = { of = "AB", on = "CT", at = "T", across = "AB" }
[members]
tie = { kind = "string", between = ["C", "Z"] }
[supports]
foot = { kind = "fixed hinge", at = "A" }
quay = { kind = "smooth floor", at = "C" }
hook = { kind = "hook", at = "Z" }
"""

# A lantern on a rod whose ring runs on a sloping wire, tied back.
WIRE = """brace = "tie"
[points]
A = ["0", "0"]
B = ["0", "-0.8 m"]
Z = { from = "A", length = "1 m", direction = "left", lean = "30 deg", to = "up" }
[rods]
AB = { ends = ["A", "B"], weight = "12 N" }
[members]
tie = { kind = "string", between = ["A", "Z"] }
[supports]
wire = { kind = "smooth wire", at = "A", slope = "-30 deg" }
hook = { kind = "hook", at = "Z" }
"""

# A rod whose two ends are on the inside of a round, held off the lowest place.
BOWL = """brace = "tie"
[points]
O = ["0", "0"]
A = { from = "O", length = "1 m", direction = "down", lean = "70 deg", to = "left" }
B = { from = "O", length = "1 m", direction = "down", lean = "30 deg", to = "right" }
Z = { from = "A", square_to = ["O", "A"], side = "up", length = "1 m" }
[rods]
AB = { ends = ["A", "B"], weight = "25 N" }
[members]
tie = { kind = "string", between = ["A", "Z"] }
[supports]
bowl = { kind = "smooth bowl", at = ["A", "B"], centre = "O" }
hook = { kind = "hook", at = "Z" }
"""

# A boom raised by a weight over a peg; a tie to the quay holds it down.
HOIST = """brace = "tie"
[points]
A = ["0", "0"]
B = { from = "A", length = "2 m", direction = "right", lean = "20 deg", to = "up" }
P = ["0", "3 m"]
Q = ["0", "1.2 m"]
Z = ["2.2 m", "-0.4 m"]
[rods]
AB = { ends = ["A", "B"], weight = "40 N" }
[members]
rope = { kind = "string", between = ["B", "Q"], over = ["P"] }
tie = { kind = "string", between = ["B", "Z"] }
[loads]
chest = { weight = "60 N", at = "Q" }
[supports]
foot = { kind = "fixed hinge", at = "A" }
hook = { kind = "hook", at = "Z" }
"""

# A ladder on a rough floor and a smooth wall whose tie is cut: it grips the floor, and tips about its foot.
GRIPPING = """brace = "tie"
[points]
A = ["0", "0"]
B = { from = "A", length = "3 m", direction = "right", lean = "70 deg", to = "up" }
Z = { from = "B", length = "1 m", direction = "left" }
[rods]
AB = { ends = ["A", "B"], weight = "90 N" }
[members]
tie = { kind = "string", between = ["B", "Z"] }
[supports]
quay = { kind = "rough floor", at = "A", friction = "0.8" }
hook = { kind = "hook", at = "Z" }
"""

CASES: dict[str, str] = {
    "a rod over a peg": PEG,
    "a plank rolling on a round": ROLLING,
    "a rod on the end of another": LEANING,
    "a ring on a sloping wire": WIRE,
    "a rod in a bowl": BOWL,
    "a string over a peg": HOIST,
    "a foot that grips": GRIPPING,
}


def showing(text: str) -> Frame:
    """A frame of one of these texts."""
    return parse_scene(HEAD + text)


def cask(friction: str) -> Frame:
    """A cask on a rough slope, 20 degrees down to the left, tied at its axle along the slope."""
    return parse_scene(
        HEAD
        + f"""brace = "rope"
[points]
O = ["0", "0"]
C = {{ from = "O", length = "0.4 m", direction = "down", lean = "20 deg", to = "right" }}
P = {{ from = "O", length = "2 m", direction = "right", lean = "20 deg", to = "up" }}
[discs]
cask = {{ centre = "O", radius = "0.4 m", weight = "200 N", through = ["C"] }}
[members]
rope = {{ kind = "string", between = ["O", "P"] }}
[supports]
slip = {{ kind = "rough floor", at = "C", slope = "20 deg", friction = "{friction}" }}
post = {{ kind = "hook", at = "P" }}
"""
    )


# Two lanterns on one string over a peg, the lighter tied down.
BALANCE = """brace = "tie"
[points]
P = ["0", "0"]
A = ["0", "-1 m"]
B = ["0", "-3 m"]
Z = ["0", "-4 m"]
[members]
rope = { kind = "string", between = ["A", "B"], over = ["P"] }
tie = { kind = "string", between = ["A", "Z"] }
[loads]
small = { weight = "20 N", at = "A" }
large = { weight = "30 N", at = "B" }
[supports]
hook = { kind = "hook", at = "Z" }
"""


def rolling_in(radius: str, angle: str) -> Frame:
    """A disc held off the lowest place of a rough bowl of 1 m, by a string along its path."""
    return parse_scene(
        HEAD
        + f"""brace = "tie"
[points]
O = ["0", "0"]
C = {{ from = "O", length = "1 m", direction = "down", lean = "{angle}", to = "right" }}
M = {{ from = "O", length = "1 m - {radius}", direction = "down", lean = "{angle}", to = "right" }}
Z = {{ from = "M", square_to = ["O", "M"], side = "right", length = "1 m" }}
[discs]
cheese = {{ centre = "M", radius = "{radius}", weight = "30 N", through = ["C"] }}
[members]
tie = {{ kind = "string", between = ["M", "Z"] }}
[supports]
bowl = {{ kind = "rough bowl", at = "C", centre = "O", friction = "1" }}
hook = {{ kind = "hook", at = "Z" }}
"""
    )
