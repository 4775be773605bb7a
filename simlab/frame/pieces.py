"""Uniform pieces of which plates are made: size, centre of mass, radius of gyration, outline, all exact.

Lamina: the area and moments of a polygon as sums over its sides (the shoelace formulas); a half disc's
centre lies 4r/(3 pi), a half ring's 2r/pi from its diameter. Common practice, no single source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from simlab.frame.model import Vec
from simlab.frame.points import cross, dot, minus, plus
from simlab.frame.quantity import Quantity, distance2, total

_N_ARC = 12  # sides of a drawn half circle: smooth enough on a screen, few enough to stay quick
_HALF = Quantity.of(1) / Quantity.of(2)


def _number(n: int) -> Quantity:
    return Quantity.of(n)


@dataclass(frozen=True)
class Piece:
    """A piece: area [m^2] or length [m] of it, centre [m], square of its radius of gyration [m^2], outline.

    `size` is None for a particle.
    """

    size: Quantity | None
    centre: Vec
    gyration2: Quantity
    outline: tuple[Vec, ...]


def lamina(corners: Sequence[Vec]) -> Piece:
    """A sheet with these corners, in order anticlockwise.

    With c_i = p_i x p_(i+1) about the first corner: area = sum c_i / 2,
    centre = sum c_i (p_i + p_(i+1)) / (6 area),
    k^2 = sum c_i (p_i.p_i + p_i.p_(i+1) + p_(i+1).p_(i+1)) / (12 area) about that corner.
    """
    first = corners[0]
    spans = [minus(corner, first) for corner in corners]
    sides = list(pairwise(spans[1:]))  # the sides at the first corner add nothing
    twice = [cross(p, q) for p, q in sides]
    area2 = total(twice)
    # of a triangle: its corners' mean, and nothing to cancel
    shares = [_number(1)] if len(sides) == 1 else [c / area2 for c in twice]
    third, sixth = _number(1) / _number(3), _number(1) / _number(6)
    x, y = (
        total(share * (p[i] + q[i]) * third for share, (p, q) in zip(shares, sides, strict=True))
        for i in (0, 1)
    )
    about = total(
        share * (dot(p, p) + dot(p, q) + dot(q, q)) * sixth
        for share, (p, q) in zip(shares, sides, strict=True)
    )
    area = area2 * _HALF
    return Piece(area, plus(first, (x, y), _number(1)), about - dot((x, y), (x, y)), tuple(corners))


def wire(bends: Sequence[Vec], lengths: Sequence[Quantity]) -> Piece:
    """A thin rod bent at these points: the mean of its straight parts by their lengths [m]."""
    parts = list(pairwise(bends))
    straight = [
        Piece(length, plus(a, minus(b, a), _HALF), length**2 / _number(12), (a, b))
        for length, (a, b) in zip(lengths, parts, strict=True)
    ]
    centre, gyration2 = joined(straight, lengths)
    return Piece(total(lengths), centre, gyration2, (*bends, *bends[-2:0:-1]))


def half_disc(a: Vec, b: Vec, across: Vec) -> Piece:
    """Half of a round sheet on the diameter ab; `across`, as long, points to its round side."""
    radius2 = distance2(a, b) / _number(4)
    share = _number(2) / (_number(3) * Quantity.pi())  # 4r/(3 pi) out of 2r
    off2 = share * share * _number(4) * radius2
    return Piece(
        Quantity.pi() * radius2 * _HALF,
        plus(_middle(a, b), across, share),
        radius2 * _HALF - off2,
        _arc(a, b, across),
    )


def half_ring(a: Vec, b: Vec, across: Vec) -> Piece:
    """A wire bent to a half circle on the diameter ab; `across`, as long, points to its round side."""
    radius2 = distance2(a, b) / _number(4)
    share = _number(1) / Quantity.pi()  # 2r/pi out of 2r
    off2 = share * share * _number(4) * radius2
    arc = _arc(a, b, across)
    return Piece(
        Quantity.pi() * radius2.sqrt(),
        plus(_middle(a, b), across, share),
        radius2 - off2,
        (*arc, *arc[-2:0:-1]),
    )


def disc(centre: Vec, radius: Quantity) -> Piece:
    """A round sheet."""
    return Piece(Quantity.pi() * radius**2, centre, radius**2 * _HALF, _round(centre, radius))


def ring(centre: Vec, radius: Quantity) -> Piece:
    """A wire bent to a circle."""
    return Piece(_number(2) * Quantity.pi() * radius, centre, radius**2, _round(centre, radius))


def particle(place: Vec) -> Piece:
    """A weight of no size."""
    return Piece(None, place, Quantity.zero(), (place,))


def joined(pieces: Sequence[Piece], weights: Sequence[Quantity]) -> tuple[Vec, Quantity]:
    """Centre and square of the radius of gyration of pieces joined together (parallel axes).

    weights : of the pieces, in any one unit; negative for a hole
    """
    whole = total(weights)
    shares = [_number(1)] if len(pieces) == 1 else [weight / whole for weight in weights]
    x, y = (
        total(share * piece.centre[i] for share, piece in zip(shares, pieces, strict=True)) for i in (0, 1)
    )
    gyration2 = total(
        share * (piece.gyration2 + distance2(piece.centre, (x, y)))
        for share, piece in zip(shares, pieces, strict=True)
    )
    return (x, y), gyration2


def outline(pieces: Sequence[Piece]) -> tuple[Vec, ...]:
    """One closed line round all pieces: from a corner that two share, or from the last one, to the next."""
    line = [*pieces[0].outline]
    for piece in pieces[1:]:
        loop = [*piece.outline]
        shared = next(((line.index(p), i) for i, p in enumerate(loop) if p in line), (len(line) - 1, 0))
        at, start = shared
        turned = [*loop[start:], *loop[:start], loop[start]]
        line[at + 1 : at + 1] = [
            *turned[line[at] == turned[0] :],
            *([] if line[at] in loop else [line[at]]),
        ]
    return tuple(line)


def _middle(a: Vec, b: Vec) -> Vec:
    return plus(a, minus(b, a), _HALF)


def _arc(a: Vec, b: Vec, across: Vec) -> tuple[Vec, ...]:
    """From a to b on a half circle."""
    middle = _middle(a, b)
    start, top = minus(a, middle), (across[0] * _HALF, across[1] * _HALF)
    return tuple(_turned(middle, start, top, i) for i in range(_N_ARC + 1))


def _round(centre: Vec, radius: Quantity) -> tuple[Vec, ...]:
    start, top = (radius, Quantity.zero()), (Quantity.zero(), radius)
    return tuple(_turned(centre, start, top, i) for i in range(2 * _N_ARC))


def _turned(centre: Vec, start: Vec, top: Vec, i: int) -> Vec:
    angle = Quantity.pi() * _number(i) / _number(_N_ARC)
    return plus(plus(centre, start, angle.function("cos")), top, angle.function("sin"))
