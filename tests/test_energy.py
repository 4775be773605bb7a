"""Potential energy along letters to be found, against energies written here and differentiated by scipy.

The height of each centre is taken from the figure by hand; nothing of simlab's assembly is used in `V`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
import sympy as sp
from numpy import cos, pi, sin, sqrt, tan
from scipy.differentiate import derivative, hessian

from simlab.exact.derivative import derivative as of_element
from simlab.exact.field import Field
from simlab.frame.expression import read
from simlab.frame.model import GROUND, Body, Contact, Frame, Joint, Link, Load, Name, Place, Support, Vec
from simlab.frame.quantity import ACCELERATION, FORCE, LENGTH, NUMBER, Quantity
from simlab.frame.question import Symbol
from simlab.statics.energy import energy, gradient, stability

# Central differences of scipy in doubles: some seven figures of a second derivative are sure.
NEAR = 1e-6

DIMS = {"W": FORCE, "S": FORCE, "a": LENGTH, "c": LENGTH, "d": LENGTH, "b": LENGTH, "r": LENGTH}
FULL = {"W": "3", "S": "3", "a": "2", "b": "12/5", "c": "1/4", "d": "13/5", "r": "2"}


@dataclass(frozen=True)
class Shape:
    """A frame with letters to be found, its equilibrium, and its energy as one writes it."""

    frame: Frame
    at: Mapping[Name, Any]  # sympy numbers
    energy: Callable[..., Any]  # of the letters to be found, in their order
    rest: str


def shape(
    found: tuple[str, ...],
    points: Mapping[str, tuple[str, str]],
    bodies: Mapping[str, tuple[str, str, tuple[str, str]]],  # kind, corners and points, centre; weight W
    pins: Mapping[str, tuple[str, ...]],
    contacts: Mapping[str, tuple[str, tuple[str, str]]] | None = None,
    links: Mapping[str, tuple[str, str, str | None, str | None]] | None = None,
    loads: Mapping[str, tuple[str, tuple[str, str]]] | None = None,
    rough: bool = False,
) -> Frame:
    """A frame from text; links: kind, ends (a body's name before a colon), natural length, stiffness."""
    letters = {n: Quantity.symbol(n, dim) for n, dim in DIMS.items()} | {
        n: Quantity.symbol(n) for n in found
    }

    def q(text: str, dim: tuple[int, int, int]) -> Quantity:
        return Quantity(read(text, letters).expr, dim)

    def vec(xy: tuple[str, str], dim: tuple[int, int, int] = LENGTH) -> Vec:
        return q(xy[0], dim), q(xy[1], dim)

    where = {n: vec(xy) for n, xy in points.items()}
    parts: dict[str, Body] = {}
    for name, (kind, on, centre) in bodies.items():
        corners = on if kind == "plate" else on[:2]
        parts[name] = Body(
            name, kind, {p: where[p] for p in on}, tuple(where[p] for p in corners), q("W", FORCE),
            vec(centre), None,
        )  # fmt: skip

    def place(at: str) -> Place:
        body, _, point = at.rpartition(":")
        return Place(body or point, point)

    return Frame(
        name="shape",
        title="shape",
        question="",
        source="the tests' own",
        symbols={n: Symbol(n, "", "N" if d == FORCE else "m", q(FULL[n], d)) for n, d in DIMS.items()}
        | {n: Symbol(n, "", "deg", Quantity.of(Fraction(1, 2)), found=True) for n in found},
        points=where,
        bodies=parts,
        joints={p: Joint(p, "pin", p, on) for p, on in pins.items()},
        links={
            n: Link(
                n, kind, (place(ends.split()[0]), place(ends.split()[1])),
                natural=None if natural is None else q(natural, LENGTH),
                stiffness=None if stiffness is None else q(stiffness, (1, -1, 0)),
            )
            for n, (kind, ends, natural, stiffness) in (links or {}).items()
        },
        contacts={
            p: Contact(p, Place(body, p), f"rest {p}", vec(normal, NUMBER), rough=rough)
            for p, (body, normal) in (contacts or {}).items()
        },
        supports={f"rest {p}": Support(f"rest {p}", "smooth peg", (p,), (p,)) for p in contacts or {}},
        loads={n: Load(n, "force", place(n), vec(force, FORCE)) for n, (_, force) in (loads or {}).items()},
        gravity=Quantity.of(10, ACCELERATION),
    )  # fmt: skip


NUM = {n: float(Fraction(v)) for n, v in FULL.items()}
EXACT = {n: sp.Rational(v) for n, v in FULL.items()}
T = sp.Symbol("t")
PUTNAM = (2 * EXACT["a"] ** 2 + EXACT["b"] ** 2) / (3 * EXACT["a"] * EXACT["b"])
W, A, B, C, D, R, S = (NUM[n] for n in "WabcdrS")

ROD_ON_PEG = shape(
    ("theta",),
    {"C": ("c", "0"), "A": ("0", "-c*tan(theta)"), "B": ("2*a*cos(theta)", "2*a*sin(theta)-c*tan(theta)")},
    {"AB": ("rod", "ABC", ("a*cos(theta)", "a*sin(theta)-c*tan(theta)"))},
    {},
    {"A": ("AB", ("1", "0")), "C": ("AB", ("-sin(theta)", "cos(theta)"))},
)
L_FRAME = shape(
    ("theta",),
    {
        "A": ("0", "0"),
        "B": ("2*a*sin(theta)", "-2*a*cos(theta)"),
        "C": ("2*a*sin(theta)-2*a*cos(theta)", "-2*a*cos(theta)-2*a*sin(theta)"),
        "K": ("a*sin(theta)", "-a*cos(theta)"),
        "L": ("2*a*sin(theta)-a*cos(theta)", "-2*a*cos(theta)-a*sin(theta)"),
    },
    {
        "AB": ("rod", "ABK", ("a*sin(theta)", "-a*cos(theta)")),
        "BC": ("rod", "BCL", ("2*a*sin(theta)-a*cos(theta)", "-2*a*cos(theta)-a*sin(theta)")),
    },
    {"A": (GROUND, "AB"), "B": ("AB", "BC")},
    links={"KL": ("light rod", "AB:K BC:L", None, None)},
)
CHAIN = shape(
    ("t", "u"),
    {
        "A": ("0", "0"),
        "B": ("a*sin(t)", "-a*cos(t)"),
        "C": ("a*sin(t)+a*sin(u)", "-a*cos(t)-a*cos(u)"),
    },
    {
        "AB": ("rod", "AB", ("a*sin(t)/2", "-a*cos(t)/2")),
        "BC": ("rod", "BC", ("a*sin(t)+a*sin(u)/2", "-a*cos(t)-a*cos(u)/2")),
    },
    {"A": (GROUND, "AB"), "B": ("AB", "BC")},
    loads={"BC:C": ("", ("S", "0"))},
)
LAMINA = shape(
    ("psi",),
    {"A": ("0", "0"), "B": ("2*r*sin(psi)", "-2*r*cos(psi)")},
    {"D": ("plate", "AB", ("r*sin(psi)-4*r/(3*pi)*cos(psi)", "-r*cos(psi)-4*r/(3*pi)*sin(psi)"))},
    {"A": (GROUND, "D")},
)
RECTANGLE = shape(
    ("theta",),
    {
        "H": ("0", "0"),
        "K": ("d", "0"),
        "C": ("d*cos(theta)^2", "-d*sin(theta)*cos(theta)"),
        "E": ("d*cos(theta)^2-2*b*cos(theta)", "-d*sin(theta)*cos(theta)+2*b*sin(theta)"),
        "F": ("d*cos(theta)^2+2*a*sin(theta)", "-d*sin(theta)*cos(theta)+2*a*cos(theta)"),
    },
    {
        "L": (
            "plate",
            "ECF",
            (
                "d*cos(theta)^2-b*cos(theta)+a*sin(theta)",
                "-d*sin(theta)*cos(theta)+b*sin(theta)+a*cos(theta)",
            ),
        )
    },
    {},
    {"H": ("L", ("sin(theta)", "cos(theta)")), "K": ("L", ("-cos(theta)", "sin(theta)"))},
)
RHOMBUS = shape(
    ("theta",),
    {
        "A": ("0", "0"),
        "B": ("a*sin(theta)", "-a*cos(theta)"),
        "C": ("0", "-2*a*cos(theta)"),
        "D": ("-a*sin(theta)", "-a*cos(theta)"),
    },
    {
        "AB": ("rod", "AB", ("a*sin(theta)/2", "-a*cos(theta)/2")),
        "BC": ("rod", "BC", ("a*sin(theta)/2", "-3*a*cos(theta)/2")),
        "CD": ("rod", "CD", ("-a*sin(theta)/2", "-3*a*cos(theta)/2")),
        "DA": ("rod", "DA", ("-a*sin(theta)/2", "-a*cos(theta)/2")),
    },
    {"A": (GROUND, "AB", "DA"), "B": ("AB", "BC"), "C": ("BC", "CD"), "D": ("CD", "DA")},
    links={
        "AC": ("elastic string", "A C", "c", "2*W/c"),
        "BD": ("elastic string", "B D", "c", "2*W/c"),
    },
)
ROD_AND_STRING = shape(  # the rod's upper end A on a wall, its lower end B on a string from C above A
    ("psi",),
    {
        "C": ("0", "0"),
        "A": ("0", "2*a*cos(psi)-sqrt(4*b^2-4*a^2*sin(psi)^2)"),
        "B": ("2*a*sin(psi)", "-sqrt(4*b^2-4*a^2*sin(psi)^2)"),
    },
    {"AB": ("rod", "AB", ("a*sin(psi)", "a*cos(psi)-sqrt(4*b^2-4*a^2*sin(psi)^2)"))},
    {"C": (GROUND,)},
    {"A": ("AB", ("1", "0"))},
    {"BC": ("string", "AB:B C", None, None)},
)


def lamp(natural: str, stiffness: str) -> Frame:
    """A rod OA hinged at its foot, a spring from A to a point d above O."""
    return shape(
        ("theta",),
        {"O": ("0", "0"), "A": ("a*sin(theta)", "a*cos(theta)"), "P": ("0", "2*a")},
        {"OA": ("rod", "OA", ("a*sin(theta)/2", "a*cos(theta)/2"))},
        {"O": (GROUND, "OA"), "P": (GROUND,)},
        links={"spring": ("spring", "OA:A P", natural, stiffness)},
    )


def lamp_energy(natural: float, stiffness: float) -> Callable[[Any], Any]:
    """Its weight's and its spring's."""

    def v(t: Any) -> Any:
        length = sqrt(5 * A * A - 4 * A * A * cos(t))
        return W * A / 2 * cos(t) + stiffness / 2 * (length - natural) ** 2

    return v


SHAPES = {
    # classical (Todhunter, Loney; from memory): cos^3 = c/a; the energy is greatest there
    "rod on a peg, against a wall": Shape(
        ROD_ON_PEG, {"theta": sp.pi / 3}, lambda t: W * (A * sin(t) - C * tan(t)), "unstable"
    ),
    # A-level question, https://a.simonm.io/question/31424: tan = 1/3
    "L of two rods, hung": Shape(
        L_FRAME, {"theta": sp.atan(sp.Rational(1, 3))}, lambda t: -W * A * (3 * cos(t) + sin(t)), "stable"
    ),
    # classical (Loney, Lamb; from memory): tan u = 3 tan t = 2S/W
    "two rods and a level pull": Shape(
        CHAIN,
        {"t": sp.atan(sp.Rational(2, 3)), "u": sp.atan(2)},
        lambda t, u: -W * A * (3 * cos(t) + cos(u)) / 2 - S * A * (sin(t) + sin(u)),
        "stable",
    ),
    # universal textbook result: tan = 4/(3 pi)
    "half a disc, hung": Shape(
        LAMINA,
        {"psi": sp.atan(4 / (3 * sp.pi))},
        lambda p: -W * R * (cos(p) + 4 / (3 * pi) * sin(p)),
        "stable",
    ),
    # Chirgwin and Plumpton, vol. 3, virtual work no. 7: AC = 4a/sqrt(5). It can also swing as a whole.
    "rhombus with elastic diagonals": Shape(
        RHOMBUS,
        {"theta": sp.atan(sp.Rational(1, 2))},
        lambda t: -4 * W * A * cos(t) + W / C * ((2 * A * cos(t) - C) ** 2 + (2 * A * sin(t) - C) ** 2),
        "undecided",
    ),
    # STEP 1989 paper 2 question 12: b cos - a sin = d cos 2theta
    "rectangle on two pegs": Shape(
        RECTANGLE,
        {"theta": (EXACT["b"] * sp.cos(T) - EXACT["a"] * sp.sin(T) - EXACT["d"] * sp.cos(2 * T), 0.7)},
        lambda t: W * (B * sin(t) + A * cos(t) - D * sin(t) * cos(t)),
        "stable",
    ),
    # Putnam competition 1954, A-4: cos ABC = (2k^2 + b^2)/(3bk) where rod 2k and string 2b meet
    "rod on a wall, held by a string": Shape(
        ROD_AND_STRING,
        {"psi": (T - sp.asin(EXACT["a"] * sp.sin(T) / EXACT["b"]) - sp.acos(PUTNAM), 0.9)},
        lambda p: W * (A * cos(p) - sqrt(4 * B * B - 4 * A * A * sin(p) ** 2)),
        "unstable",
    ),
    # no source, plain: with a spring of no natural length V = (W/2 - 2ka)*a*cos + const
    "lamp, spring too weak": Shape(
        lamp("0", "W/(5*a)"), {"theta": sp.S.Zero}, lamp_energy(0, W / 5 / A), "unstable"
    ),
    "lamp, spring strong": Shape(
        lamp("0", "W/(3*a)"), {"theta": sp.S.Zero}, lamp_energy(0, W / 3 / A), "stable"
    ),
    "lamp, balanced": Shape(
        lamp("0", "W/(4*a)"), {"theta": sp.S.Zero}, lamp_energy(0, W / 4 / A), "neutral"
    ),
    # l''(0) = 2a, so V'' = 2ka(a - l0) - Wa/2 = 0: the second variation says nothing
    "lamp, just not": Shape(
        lamp("a/2", "W/(2*a)"), {"theta": sp.S.Zero}, lamp_energy(A / 2, W / 2 / A), "undecided"
    ),
}
each_shape = pytest.mark.parametrize("name", SHAPES)


def values_at(of: Shape, at: Mapping[Name, Any]) -> dict[Name, Quantity]:
    """The shown values with these for the letters to be found."""
    return {**of.frame.shown, **{n: Quantity(sp.sympify(v)) for n, v in at.items()}}


def equilibrium(of: Shape) -> dict[Name, Any]:
    """The letters in equilibrium; from a published equation, with where to start, to 30 figures."""
    found = {}
    for letter, value in of.at.items():
        if isinstance(value, tuple):
            equation, start = value
            value = sp.Rational(str(sp.N(sp.nsolve(equation, T, start, prec=40), 30)))
        found[letter] = value
    return found


@each_shape
@pytest.mark.parametrize("at", [Fraction(2, 5), Fraction(5, 7)])
def test_slopes_are_those_of_an_energy_written_by_hand(name: str, at: Fraction) -> None:
    """dV/dq from the loads' ways is the numeric derivative of V, anywhere on the family."""
    of = SHAPES[name]
    letters = list(of.at)
    point = [float(at) * (i + 1) for i in range(len(letters))]
    values = values_at(of, {n: sp.Rational(str(at)) * (i + 1) for i, n in enumerate(letters)})

    slopes = gradient(of.frame, values)

    assert slopes is not None
    for i, letter in enumerate(letters):

        def along(x: Any, i: int = i) -> Any:
            return of.energy(*[x if j == i else point[j] for j in range(len(point))])

        expected = derivative(along, point[i]).df
        slope = slopes[letter].expr()
        found = float(sp.N(slope.subs({s: values[s.name].expr for s in slope.free_symbols})))
        assert found == pytest.approx(expected, rel=NEAR, abs=NEAR)


@pytest.mark.parametrize(
    "name", [n for n, of in SHAPES.items() if not any(isinstance(value, tuple) for value in of.at.values())]
)
def test_published_equilibria_have_no_slope(name: str) -> None:
    """The energy is stationary, exactly, where the books find the equilibrium."""
    of = SHAPES[name]

    slopes = gradient(of.frame, values_at(of, of.at))

    assert slopes is not None
    assert all(slope.at_values().is_zero for slope in slopes.values())


@each_shape
def test_how_it_rests_is_what_the_curvature_says(name: str) -> None:
    """Stable where all curvatures of V are positive, unstable where one is negative (scipy's Hessian)."""
    of = SHAPES[name]
    at = equilibrium(of)
    rest = stability(of.frame, values_at(of, at))
    point = np.array([float(sp.N(v)) for v in at.values()])
    curvatures = np.linalg.eigvalsh(np.atleast_2d(hessian(lambda x: of.energy(*x), point).ddf))

    assert rest == of.rest
    if rest == "stable":
        assert min(curvatures) > NEAR * W
    elif rest == "unstable":
        assert min(curvatures) < -NEAR * W
    elif rest == "neutral" or name == "lamp, just not":
        assert max(abs(curvatures)) < NEAR * W


@each_shape
def test_thirty_figures_are_enough(name: str) -> None:
    """The verdict at values of 30 figures is the one at the exact values."""
    of = SHAPES[name]
    at = {n: sp.Rational(str(sp.N(v, 30))) for n, v in equilibrium(of).items()}

    assert stability(of.frame, values_at(of, at)) == of.rest


def test_letters_that_stretch_a_rod_describe_no_motion() -> None:
    """A rod from a hinge to a point at q is longer for a greater q."""
    frame = shape(
        ("q",),
        {"O": ("0", "0"), "A": ("a*q", "0")},
        {"OA": ("rod", "OA", ("a*q/2", "0"))},
        {"O": (GROUND, "OA")},
    )
    assert gradient(frame, frame.shown) is None
    assert "keep its length" in energy(frame, frame.shown).reason
    assert stability(frame, frame.shown) == "undecided"


def test_a_centre_that_moves_along_its_rod_describes_no_motion() -> None:
    """Where the centre of a rod is to be found, its letter is no motion."""
    frame = shape(
        ("q",),
        {"O": ("0", "0"), "A": ("a", "0")},
        {"OA": ("rod", "OA", ("a*q", "0"))},
        {"O": (GROUND, "OA")},
    )
    assert gradient(frame, frame.shown) is None


def test_friction_has_no_energy() -> None:
    """A rod sliding on rough ground and wall: refused, with the contact named."""
    frame = shape(
        ("theta",),
        {"A": ("a*cos(theta)", "0"), "B": ("0", "a*sin(theta)")},
        {"AB": ("rod", "AB", ("a*cos(theta)/2", "a*sin(theta)/2"))},
        {},
        {"A": ("AB", ("0", "1")), "B": ("AB", ("1", "0"))},
        rough=True,
    )
    assert gradient(frame, frame.shown) is None
    assert energy(frame, frame.shown).reason.startswith("friction acts at A")


def test_derivatives_of_elements_are_sympys() -> None:
    """Letters, half-angle tangents and roots, one in another."""
    a, u = sp.Symbol("a", positive=True), sp.Symbol("u", positive=True)
    expr = (a + sp.sqrt(a**2 + sp.sin(u) * a)) * sp.tan(u) / (2 + sp.cos(u / 2))
    exprs = [expr, sp.diff(expr, u), sp.diff(expr, a)]
    field = Field.containing(exprs, {"a": sp.Integer(2), "u": sp.Rational(1, 3)})
    element = field.element(expr)

    assert of_element(element, "u") == field.element(exprs[1])
    assert of_element(element, "a") == field.element(exprs[2])
