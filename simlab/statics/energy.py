"""The potential energy along the shapes that letters to be found describe, and how the frame rests in one.

    dV/dq = - sum over loads of load * (how far it goes for a unit of q)

A letter q describes true motions if the points, moved by their derivatives with respect to q, obey every
hold of the frame (`statics.kinematics`) whatever the letters are. Elastic members pull with k*(l - l0).
Then V is stationary where the frame is in equilibrium, and its second derivatives tell how it rests.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from simlab.exact.derivative import derivative
from simlab.exact.field import Element, Field
from simlab.exact.quadratic import Inertia, inertia
from simlab.exact.rounding import rounded
from simlab.frame.model import Frame, Name, Values
from simlab.results.statics import Rest
from simlab.statics.family import Family, NoMotion
from simlab.statics.velocity import on
from simlab.statics.virtual_work import works

BITS = 256  # of the second derivatives; values come with 30 figures, which is 100 bits
# Values of 30 figures leave an error of some 1e-30 in the second derivatives. What is less
# than this share of their terms is not told from zero, unless it is zero exactly.
MARGIN = Fraction(1, 10**15)


@dataclass(frozen=True)
class Energy:
    """The slopes dV/dq of the potential energy for the letters of the shape, and second derivatives.

    `slopes` are field elements in all letters; `curvature[i][j]` is d^2V/dq_i dq_j, `sizes[i]` the second
    derivatives of the single loads' energies along q_i. All are empty where the letters do not describe
    true motions, or where forces act that have no energy; `reason` then says so.
    """

    slopes: Mapping[Name, Element]
    curvature: tuple[tuple[Element, ...], ...] = ()
    sizes: tuple[tuple[Element, ...], ...] = ()
    family: Family | None = None
    reason: str = ""


def energy(frame: Frame, values: Values) -> Energy:
    """The potential energy along the letters to be found, by its derivatives.

    Raises BadInput for a shape that has no exact form at the values.
    """
    try:
        family = Family(frame, values)
    except NoMotion as why:
        return Energy({}, reason=str(why))
    if not family.motions:
        return Energy({}, reason="no letter of the shape is to be found")
    zero = family.kinematics.field.zero
    loads = list(works(family.kinematics))
    terms = {q: [-work.size * on(work.by, v, zero) for work in loads] for q, v in family.motions.items()}
    slopes = {q: sum(parts, zero) for q, parts in terms.items()}
    curvature = tuple(tuple(derivative(slope, q) for q in slopes) for slope in slopes.values())
    if any(curvature[i][j] != curvature[j][i] for i in range(len(slopes)) for j in range(i)):
        return Energy({}, reason="a load that follows the shape has no energy")
    sizes = tuple(tuple(derivative(part, q) for part in parts) for q, parts in terms.items())
    return Energy(slopes, curvature, sizes, family)


def gradient(frame: Frame, values: Values) -> Mapping[Name, Element] | None:
    """dV/dq for each letter q of the shape that is to be found; None where there is no energy of that kind.

    Zero at an equilibrium. `energy` says the reason why there is none.
    """
    found = energy(frame, values)
    return None if found.reason else found.slopes


def stability(frame: Frame, values: Values) -> Rest:
    """How a frame rests at values at which it is in equilibrium, by the second variation of its energy.

    "unstable" if the energy falls along some motion of the family. "stable" or "neutral" only where the
    letters cover every motion of the frame; "undecided" where they do not, where there is no energy, or
    where the second variation vanishes. Values that are not exact may be given to 30 figures.
    """
    found = energy(frame, values)
    if found.family is None:
        return "undecided"
    if found.family.loose:  # a string tightened or just taut: what it does next is not known
        return "undecided"
    if all(slope.is_zero for slope in found.slopes.values()):
        return "neutral" if found.family.covers else "undecided"
    least, most = (_rounded(found, share) for share in (-MARGIN, MARGIN))
    if most is not None and most.negative:
        return "unstable"
    if least is not None and not least.negative and not least.kernel:
        return "stable" if found.family.covers else "undecided"
    if _is_exact(frame, values, found.slopes):
        exact = inertia([[entry.at_values() for entry in row] for row in found.curvature])
        if exact is not None and exact.negative:
            return "unstable"
    return "undecided"


def _rounded(found: Energy, share: Fraction) -> Inertia | None:
    """The inertia of the second derivatives in numbers, a share of their terms added on the diagonal."""
    numbers = Field.containing([], {})
    form = [[numbers.element(_number(entry)) for entry in row] for row in found.curvature]
    for i, parts in enumerate(found.sizes):
        form[i][i] = form[i][i] + numbers.element(share * sum(map(abs, map(_number, parts))))
    return inertia(form)


def _number(element: Element) -> Fraction:
    return rounded(element, BITS)


def _is_exact(frame: Frame, values: Values, slopes: Mapping[Name, Element]) -> bool:
    """Whether the values are the equilibrium itself; an angle that is a fraction of radians is near it."""
    angles = [values[q].expr for q in slopes if frame.symbols[q].is_angle]
    if any(value.is_Rational and not value.is_zero for value in angles):
        return False
    return all(slope.at_values().is_zero for slope in slopes.values())
