"""The equations of a frame solved: every unknown, the states of self-stress, the motions left.

A x = -b:   s = unknowns - rank,   k = rows - rank,
            states of self-stress n with A n = 0,   motions v with v A = 0
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from simlab.errors import SimlabFault
from simlab.exact.elimination import Elimination, Vector, left_null_space
from simlab.exact.field import Element
from simlab.frame.model import GROUND, Frame, Name, Place, Values
from simlab.statics.equations import Equations, Exact


@dataclass(frozen=True)
class Balance:
    """A frame's equations and all that elimination says about them.

    `unknowns` are their values where `carried`, with free unknowns 0 (see `is_unique`).
    `special` says that the shape or the loads are special at the values: the values were then put
    for the letters, and what is found holds at them only. `near` says that the values are only near
    those of a shape that was found: what the loads leave over is nothing there.
    """

    equations: Equations
    values: Values
    elimination: Elimination
    motions: tuple[Vector, ...]
    unknowns: Vector
    carried: bool
    special: bool
    near: bool = False

    @property
    def self_stress(self) -> tuple[Vector, ...]:
        """Forces in balance without any load."""
        return self.elimination.null_space

    def is_unique(self, unknown: int) -> bool:
        """Whether statics alone settles this unknown."""
        return self.elimination.is_determined(unknown)

    def turn(self, motion: Vector, body: Name) -> Element:
        """The angular velocity of a body, anticlockwise."""
        return motion.get(self.equations.index[body, "moment"], self.equations.field.zero)

    def velocity(self, motion: Vector, part: Name) -> Exact:
        """The velocity of a body's centre or of a pin."""
        index, zero = self.equations.index, self.equations.field.zero
        return motion.get(index[part, "x"], zero), motion.get(index[part, "y"], zero)

    def velocity_at(self, motion: Vector, place: Place) -> Exact:
        """The velocity of a place: v + w x r on a body."""
        zero = self.equations.field.zero
        if place.body == GROUND:
            return zero, zero
        x, y = self.velocity(motion, place.body)
        if place.body not in self.equations.frame.bodies:
            return x, y
        turn, arm = self.turn(motion, place.body), self.equations.arm(place)
        return x - turn * arm[1], y + turn * arm[0]

    def work(self, motion: Vector) -> Element:
        """The rate at which loads and elastic members work on a motion: zero on all if they are carried."""
        equations = self.equations
        total = equations.field.zero
        for monomial, column in zip(equations.monomials, equations.columns, strict=True):
            for i, load in column.items():
                if i in motion:
                    total = total + monomial * load * motion[i]
        for i, rate in motion.items():
            for j, force in equations.elastic.items():
                if j in equations.rows[i]:
                    total = total + equations.rows[i][j] * force * rate
        return total


def balance(
    frame: Frame, values: Values, senses: Mapping[Name, int] | None = None, near: bool = False
) -> Balance:
    """Solve a frame's equations in letters.

    Where the shape is special at the values, they are put for its letters; where the loads are too,
    for all letters.
    """
    general = Equations(frame, values, senses=senses)
    found = _solved(general, near=near)
    if found is None:
        shape = set(values) - general.load_letters
        found = _solved(Equations(frame, values, shape, senses), special=True, near=near)
    return found or _at(general, near)


def at_values(found: Balance) -> Balance:
    """The same frame solved with the values put for all its letters."""
    return _at(found.equations, found.near)


def loosened(found: Balance, idle: Collection[int]) -> Balance:
    """The same at the values, with the motions left without some unknowns that are 0 there."""
    here = at_values(found)
    equations = here.equations
    return replace(here, motions=_motions(equations, idle))


def _at(general: Equations, near: bool) -> Balance:
    values = general.values
    found = _solved(Equations(general.frame, values, values, general.senses), special=True, near=near)
    if found is None:
        raise SimlabFault("a number other than zero vanishes at values that are put already")
    return found


def _solved(equations: Equations, special: bool = False, near: bool = False) -> Balance | None:
    """The balance; None if rank or loads are special at the values, so that letters mislead."""
    if equations.vanishing is not None:
        return None
    found = equations.eliminated()
    if found.vanishing is not None:
        return None
    carried = found.consistent or near
    if not carried and not equations.field.is_numeric and _vanish(equations, found):
        return None
    unknowns = equations.summed(found.solutions) if carried else {}
    plain = not equations.elastic and equations.n_balances == len(equations.rows)
    motions = () if plain and found.rank == len(equations.rows) else _motions(equations)
    result = Balance(equations, equations.values, found, motions, unknowns, carried, special, near)
    _check(result)
    return result


def _motions(equations: Equations, idle: Collection[int] = ()) -> tuple[Vector, ...]:
    """A basis of the motions left."""
    found = left_null_space(equations.field, equations.holding(idle), len(equations.unknowns))
    return tuple(_scaled(equations, motion) for motion in found)


def _vanish(equations: Equations, found: Elimination) -> bool:
    """Whether loads that cannot be carried in general happen to be carried at the values."""
    return all(left.sign() == 0 for left in equations.summed(found.residues).values())


def _scaled(equations: Equations, motion: Vector) -> Vector:
    """The motion with angular velocity 1 of the first body that turns; velocities are then lengths."""
    for body in equations.frame.bodies:
        turn = motion.get(equations.index[body, "moment"])
        if turn is not None and turn.sign() != 0:
            return {i: value / turn for i, value in motion.items()}
    return motion


def _check(found: Balance) -> None:
    """Put everything back into every equation, exactly."""
    _check_forces(found)
    equations = found.equations
    for motion in found.motions:
        strain: dict[int, Element] = {}
        for i, velocity in motion.items():
            for j, coefficient in equations.rows[i].items():
                if j not in equations.elastic:
                    strain[j] = strain.get(j, equations.field.zero) + velocity * coefficient
        for j, rate in strain.items():
            if not rate.is_zero:
                raise SimlabFault(f"a motion strains {equations.unknowns[j]} at the rate {rate!r}")


def _check_forces(found: Balance) -> None:
    equations = found.equations
    nearly = {i for residue in found.elimination.residues for i in residue} if found.near else set()
    for monomial, column, solution in zip(
        equations.monomials, equations.columns, found.elimination.solutions, strict=True
    ):
        left = equations.residual(solution, column) if found.carried else {}
        for i, residual in left.items():
            if i not in nearly:
                raise SimlabFault(f"equation {equations.labels[i]} leaves {residual!r} times {monomial!r}")
    for state in found.self_stress:
        for i, residual in equations.residual(state, {}).items():
            raise SimlabFault(f"equation {equations.labels[i]} of a self-stress leaves {residual!r}")
