"""Which function of an angle a fraction needs: it may lie in a field smaller than Q(t).

With t = tan(u/2), a fraction f of Q(t) is seen in exactly one of these ways:

    tangent   f = T or cos(u)*T     with T in Q(tan u)     u -> u + pi keeps f or turns its sign
    cosine    f = C or sin(u)*C     with C in Q(cos u)     u -> -u     keeps f or turns its sign
    sine      f = S or cos(u)*S     with S in Q(sin u)     u -> pi - u keeps f or turns its sign
    general   none of these

Fractions are pairs (numerator, denominator) of fmpz_mpoly; `i` is the generator that stands for t and
in the result for tan u, cos u or sin u.
"""

from __future__ import annotations

from collections.abc import Sequence

from simlab.exact.polynomial import Fraction, Poly, cancelled, coefficients, homogeneous


def replaced(fraction: Fraction, i: int, x: Poly, y: Poly) -> Fraction:
    """The fraction with x/y put for generator i."""
    num, den = (coefficients(poly, i) for poly in fraction)
    shift = len(den) - len(num)
    top, bottom = homogeneous(num, x, y), homogeneous(den, x, y)
    return cancelled(top * y**shift, bottom) if shift > 0 else cancelled(top, bottom * y**-shift)


def tangent(fraction: Fraction, i: int) -> tuple[Fraction, int] | None:
    """(f/cos(u)^odd in Q(tan u), odd), or None."""
    num, den = fraction
    one, t2 = num.context().constant(1), num.context().gen(i) ** 2
    for odd in (0, 1):
        if odd:  # cos u = (1 - t^2)/(1 + t^2)
            num, den = cancelled(num * (one + t2), den * (one - t2))
        (a, b, j), (c, d, k) = _modulo_tangent(num, i), _modulo_tangent(den, i)
        if a * d == b * c:  # (a + b*t)/(c + d*t) does not depend on which root t is
            top, bottom = (b, d) if c.is_zero() else (a, c)
            tan = num.context().gen(i)
            return cancelled(top * tan**k, bottom * tan**j), odd
    return None


def _modulo_tangent(poly: Poly, i: int) -> tuple[Poly, Poly, int]:
    """(a, b, j) with poly(t) = (a + b*t)/T^j, as T*t^2 + 2*t - T = 0; generator i is T in a and b."""
    tan, zero = poly.context().gen(i), poly.context().constant(0)
    parts = coefficients(poly, i)
    shift = max(len(parts) - 2, 0)
    a, b = parts[0] * tan**shift, zero
    alpha, beta = zero, zero + 1  # t^k = (alpha + beta*t)/T^(k - 1)
    for k in range(1, len(parts)):
        power = tan ** (shift - k + 1)
        a, b = a + parts[k] * alpha * power, b + parts[k] * beta * power
        alpha, beta = tan * beta, tan * alpha - 2 * beta
    return a, b, shift


def cosine(fraction: Fraction, i: int) -> tuple[Fraction, int] | None:
    """(f/sin(u)^odd in Q(cos u), odd), or None."""
    parts = [coefficients(poly, i) for poly in fraction]
    odd = [shift for part in parts if (shift := _parity(part)) is not None]
    if len(odd) < len(parts):
        return None
    cos = fraction[0].context().gen(i)
    x, y = 1 - cos, 1 + cos  # t^2 = x/y and t = sin/y = x/sin
    num, den = (homogeneous(part[shift:][::2], x, y) for part, shift in zip(parts, odd, strict=True))
    degree = len(parts[0][odd[0] :: 2]) - len(parts[1][odd[1] :: 2])
    num, den = (num, den * y**degree) if degree > 0 else (num * y**-degree, den)
    if odd[0] > odd[1]:
        den *= y  # t = sin/y
    elif odd[1] > odd[0]:
        den *= x  # 1/t = sin/x
    return cancelled(num, den), odd[0] ^ odd[1]


def _parity(parts: Sequence[Poly]) -> int | None:
    present = {k % 2 for k, part in enumerate(parts) if not part.is_zero()}
    return present.pop() if len(present) == 1 else None


def sine(fraction: Fraction, i: int) -> tuple[Fraction, int] | None:
    """(f/cos(u)^odd in Q(sin u), odd), or None: the cosine of the angle's complement."""
    t = fraction[0].context().gen(i)
    return cosine(replaced(fraction, i, 1 - t, 1 + t), i)  # tan((pi/2 - u)/2) = (1 - t)/(1 + t)
