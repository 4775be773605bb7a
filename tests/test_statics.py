"""Verdicts, forces by key, answers, conditions and advice of the exact road."""

from __future__ import annotations

from pathlib import Path

import pytest
import sympy as sp

from simlab.exact.field import Field
from simlab.frame.change import without
from simlab.frame.model import Frame, Load, Place
from simlab.frame.quantity import FORCE, Quantity
from simlab.frame.scene import parse_scene, read_scene
from simlab.results import Key, Statics
from simlab.statics.solution import solve

SCENES = Path(__file__).parent.parent / "scenes"

LETTERS = """
[symbols]
W = { meaning = "a weight", shown = "2 N" }
P = { meaning = "another weight", shown = "3 N" }
a = { meaning = "a length", shown = "1 m" }
b = { meaning = "another length", shown = "3 m" }
theta = { meaning = "an angle", shown = "35 deg" }
"""


def scene(text: str, asked: str = "[]") -> Frame:
    """A frame from the tables of a scene."""
    return parse_scene(f'title = "T"\nquestion = "Q"\nsource = "our own"\nasked = {asked}\n{LETTERS}{text}')


def is_(quantity: Quantity, expected: str, solved: Statics) -> bool:
    """Equality in the exact field, with the letters of the frame."""
    letters = {str(s): s for s in quantity.expr.free_symbols}
    letters |= {n: sp.Symbol(n, positive=True) for n in solved.frame.symbols if n not in letters}
    right = sp.sympify(expected, locals=letters)
    field = Field.containing([quantity.expr, right], {n: v.expr for n, v in solved.values.items()})
    return field.element(quantity.expr) == field.element(right)


RHOMBUS = """
[points]
A = ["0", "0"]
B = {{ from = "A", length = "a", direction = "down", lean = "theta", to = "right" }}
D = {{ from = "A", length = "a", direction = "down", lean = "theta", to = "left" }}
C = ["0", "-2*a*cos(theta)"]
[rods]
AB = {{ ends = ["A", "B"], weight = "W" }}
BC = {{ ends = ["B", "C"], weight = "W" }}
CD = {{ ends = ["C", "D"], weight = "W" }}
DA = {{ ends = ["D", "A"], weight = "W" }}
[supports]
hook = {{ kind = "hook", at = "A" }}
[members]
{members}
"""


def rhombus(*members: str, asked: str = "[]") -> Frame:
    return scene(RHOMBUS.format(members="\n".join(members)), asked)


def test_rhombus_hung_by_a_corner_has_the_textbook_thrust() -> None:
    """Thrust 2 W tan(theta) in a level brace (from memory: a classical exercise; statics.json has it)."""
    frame = rhombus(
        'BD = { kind = "strut", between = ["B", "D"] }', asked='["thrust in BD", "reaction at A"]'
    )
    solved = solve(frame)

    assert solved.verdict == "determined"
    assert solved.case.freedom.rest == "stable"
    assert str(solved.answers["thrust in BD"]) == "2*W*tan(theta)"
    assert str(solved.answers["reaction at A"]) == "4*W"
    assert is_(solved.case.forces.tensions["BD"], "-2*W*tan(theta)", solved)


def test_reactions_have_the_keys_of_every_road() -> None:
    """Pins on rods, ground on its pin, member's ends on what they are tied to: no more, no less."""
    solved = solve(rhombus('BD = { kind = "strut", between = ["B", "D"] }'))
    at_pins = [("AB", "AB"), ("BC", "BC"), ("CD", "CD"), ("DA", "DA")]
    expected = {Key(rod, pin, pin) for rod, pins in at_pins for pin in pins}
    expected |= {Key("A", "A", "ground"), Key("B", "BD at B", "BD"), Key("D", "BD at D", "BD")}

    assert set(solved.case.forces.reactions) == expected
    reaction = solved.case.forces.reactions[Key("B", "BD at B", "BD")]
    assert reaction.point == solved.frame.points["B"]
    assert reaction.moment is None
    assert is_(reaction.force[0], "2*W*tan(theta)", solved)


def test_a_string_in_place_of_the_strut_goes_slack() -> None:
    """A string cannot push: the verdict is "falls out", and the condition that fails is on record."""
    solved = solve(rhombus('BD = { kind = "string", between = ["B", "D"] }'))

    assert solved.verdict == "falls out"
    assert solved.advice == (
        "The string BD would have to push: it goes slack. Use a strut or a light rod there."
    )
    (taut,) = [c for c in solved.case.holds if c.about == "BD"]
    assert taut.words == "the string BD is taut (here it would have to push)"
    assert taut.positive.number(solved.frame.shown) < 0


def test_a_strut_that_would_pull_falls_out() -> None:
    """Between top and bottom corner a member pulls with 2 W (from memory), which a strut cannot."""
    solved = solve(rhombus('AC = { kind = "strut", between = ["A", "C"] }'))

    assert solved.verdict == "falls out"
    assert solved.advice.startswith("The strut AC would have to pull: it falls out.")
    assert is_(solved.case.forces.tensions["AC"], "2*W", solved)


def test_without_its_brace_it_folds() -> None:
    """Two motions are left, the loads are not carried, no force is given, the advice is a brace."""
    frame = without(rhombus('BD = { kind = "strut", between = ["B", "D"] }'), "BD")
    solved = solve(frame)

    assert solved.verdict == "cannot rest"
    assert not solved.case.freedom.carried
    assert len(solved.case.freedom.motions) == 2
    assert not solved.case.forces.reactions
    assert "folds" in solved.advice
    assert "brace" in solved.advice


def test_with_two_braces_the_rods_are_not_settled_but_the_hook_is() -> None:
    """One self-stress; the hook bears 4 W all the same; the advice names the members."""
    frame = rhombus(
        'BD = { kind = "strut", between = ["B", "D"] }',
        'AC = { kind = "string", between = ["A", "C"] }',
        asked='["thrust in BD", "reaction at A"]',
    )
    solved = solve(frame)

    assert solved.verdict == "not determined"
    assert len(solved.case.freedom.self_stress) == 1
    assert {"BD", "AC", Key("AB", "B", "B")} <= solved.case.undetermined
    assert set(solved.answers) == {"reaction at A"}
    assert is_(solved.case.forces.reactions[Key("A", "A", "ground")].force[1], "4*W", solved)
    assert "BD, AC" in solved.advice
    assert "not settled by statics alone" in solved.advice


@pytest.mark.parametrize("members", [(), ('BD = { kind = "strut", between = ["B", "D"] }',)])
def test_advice_is_in_the_class_s_words(members: tuple[str, ...]) -> None:
    """None of the house's own words reaches a teacher."""
    said = solve(rhombus(*members)).advice.lower()

    assert not [w for w in ("self-stress", "mechanism", "carried", "verdict", "settle,") if w in said]


def test_built_in_rod_has_force_and_moment() -> None:
    """A cantilever of weight W and length a with P at its end: moment W a/2 + P a (handbook result)."""
    solved = solve(
        scene(
            """
            [points]
            A = ["0", "0"]
            B = ["a", "0"]
            [rods]
            AB = { ends = ["A", "B"], weight = "W" }
            [loads]
            lantern = { weight = "P", at = "B" }
            [supports]
            wall = { kind = "built-in", at = "A" }
            """
        )
    )
    reaction = solved.case.forces.reactions[Key("AB", "A", "ground")]

    assert solved.verdict == "determined"
    assert solved.case.freedom.rest == "fixed"
    assert [str(part) for part in reaction.force] in (["0", "W + P"], ["0", "P + W"])
    assert reaction.moment is not None
    assert is_(reaction.moment, "a*(W/2 + P)", solved)


SEESAW = """
[points]
A = ["0", "0"]
C = ["-3*a", "0"]
D = ["2*a", "0"]
[rods]
CD = { ends = ["C", "D"], light = true, through = ["A"] }
[loads]
left = { weight = "W", at = "C" }
right = { weight = "P", at = "D" }
[supports]
nail = { kind = "hook", at = "A" }
"""


def test_loads_that_balance_only_by_their_sizes() -> None:
    """2 N at 3 a balances 3 N at 2 a (law of the lever): so at the values, and the advice says so."""
    balanced = solve(scene(SEESAW))
    other = solve(scene(SEESAW.replace('"P"', '"2*P"')))

    assert balanced.verdict == "determined"
    assert "at the values" in balanced.advice
    force = balanced.case.forces.reactions[Key("A", "A", "ground")].force
    assert [part.number() for part in force] == [0, 5]
    assert other.verdict == "cannot rest"
    assert "swing about A" in other.advice


ARCH = """
[points]
A = ["0", "0"]
B = ["b", "{rise}"]
C = ["2*b", "0"]
[rods]
AB = {{ ends = ["A", "B"], weight = "W" }}
BC = {{ ends = ["B", "C"], weight = "W" }}
[supports]
left = {{ kind = "fixed hinge", at = "A" }}
right = {{ kind = "fixed hinge", at = "C" }}
"""


def test_three_hinges_in_line_only_at_the_values() -> None:
    """With the rise b - 3 a, which is 0 at the values, the arch cannot carry its weight; else it can."""
    flat = solve(scene(ARCH.format(rise="b - 3*a")))
    high = solve(scene(ARCH.format(rise="b - 2*a")))

    assert flat.verdict == "cannot rest"
    assert (len(flat.case.freedom.self_stress), len(flat.case.freedom.motions)) == (1, 1)
    assert "at the values" in flat.advice
    assert high.verdict == "determined"
    thrust = high.case.forces.reactions[Key("A", "A", "ground")].force[0]
    assert is_(thrust, "W*b/(2*(b - 2*a))", high)  # W l/(2 h): from memory


def test_forces_at_other_values_than_the_shown_ones() -> None:
    """Signs follow the values given: the leaning rod's foot string is taut or would have to push."""
    text = """
    [points]
    A = ["0", "0"]
    B = ["a", "0"]
    H = ["0", "b"]
    [rods]
    AB = { ends = ["A", "B"], weight = "W" }
    [loads]
    kite = { force = ["0", "P"], at = "B" }
    [members]
    stay = { kind = "string", between = ["B", "H"] }
    [supports]
    hinge = { kind = "fixed hinge", at = "A" }
    hook = { kind = "hook", at = "H" }
    """
    frame = scene(text)

    assert solve(frame).verdict == "falls out"
    assert solve(frame, {"P": Quantity.of(1, FORCE) / Quantity.of(2)}).verdict == "determined"


def test_a_contact_that_would_have_to_pull_lifts_off() -> None:
    """A plank on two trestles, loaded beyond one: the other foot would have to be held down."""
    solved = solve(
        scene(
            """
            [points]
            A = ["0", "0"]
            B = ["4*a", "0"]
            C = ["a", "0"]
            D = ["2*a", "0"]
            [rods]
            AB = { ends = ["A", "B"], weight = "W", through = ["C", "D"] }
            [loads]
            lantern = { weight = "P", at = "B" }
            [supports]
            trestle = { kind = "smooth floor", at = ["C", "D"] }
            """
        )
    )

    assert solved.verdict == "falls out"
    assert solved.advice.startswith("The contact at C would have to pull: it lifts off.")


def test_force_asked_on_a_rod_is_a_size() -> None:
    """Size of the hinge force of the trestle: sqrt(X^2 + Y^2) of its own components, positive."""
    solved = solve(read_scene(SCENES / "stall_trestle.toml"))
    x, y = solved.case.forces.reactions[Key("CB", "C", "C")].force

    size = solved.answers["force at C on CB"]
    assert is_(size, f"sqrt(({x})**2 + ({y})**2)", solved)
    assert size.number(solved.frame.shown) > 0


def test_the_model_working_of_the_teaching_standard() -> None:
    """Trestle of teaching.md: T = (5/3) W tan(theta), Q = 7W/4, P = 9W/4, hinge force 5W/4 at tan = 3/5."""
    solved = solve(
        scene(
            """
            [points]
            H = ["0", "4*a*cos(theta)"]
            F = { from = "H", length = "4*a", direction = "down", lean = "theta", to = "left" }
            G = { from = "H", length = "4*a", direction = "down", lean = "theta", to = "right" }
            U = { from = "F", towards = "H", length = "a" }
            V = { from = "G", towards = "H", length = "a" }
            J = { from = "H", towards = "F", length = "a" }
            [rods]
            HF = { ends = ["H", "F"], weight = "W" }
            HG = { ends = ["H", "G"], weight = "W" }
            [members]
            rope = { kind = "string", between = ["U", "V"] }
            [loads]
            lantern = { weight = "2*W", at = "J" }
            [supports]
            quay = { kind = "smooth floor", at = ["F", "G"] }
            """,
            asked='["tension in rope", "reaction at F", "reaction at G", "force at H on HG"]',
        ),
        {"theta": Quantity(sp.atan(sp.Rational(3, 5)))},
    )
    hinge = solved.answers["force at H on HG"].at(solved.values)

    assert solved.verdict == "determined"
    assert solved.case.freedom.rest == "neutral"
    assert is_(solved.answers["tension in rope"], "5*W*tan(theta)/3", solved)
    assert is_(solved.answers["reaction at F"], "9*W/4", solved)
    assert is_(solved.answers["reaction at G"], "7*W/4", solved)
    assert is_(hinge, "5/2", solved)  # 5W/4 with W = 2 N


def test_five_rods_may_meet_a_light_member_and_a_load_on_one_pin() -> None:
    """The pin's own balance takes them all in: the forces on the rods, the member and the load add up."""
    frame = rhombus('BD = { kind = "strut", between = ["B", "D"] }')
    load = Load("lantern", "weight", Place("B", "B"), (Quantity.symbol("P", FORCE),))
    other = Load("twin", "weight", Place("D", "D"), (Quantity.symbol("P", FORCE),))
    solved = solve(
        Frame(**{**frame.__dict__, "loads": {"lantern": load, "twin": other}}),
    )
    forces = solved.case.forces.reactions
    on_rods = forces[Key("AB", "B", "B")].force[1].expr + forces[Key("BC", "B", "B")].force[1].expr

    assert is_(Quantity(on_rods + 0), "-P", solved)
    assert is_(solved.case.forces.tensions["BD"], "-(2*W + P)*tan(theta)", solved)
    assert is_(forces[Key("A", "A", "ground")].force[1], "4*W + 2*P", solved)


def test_lengths_with_surds_need_no_letters() -> None:
    """A member's length brings a root that no coordinate has: T = W sqrt(2)/2 at 45 deg (lever rule)."""
    solved = solve(
        scene(
            """
            [points]
            A = ["0", "0"]
            B = ["1 m", "0"]
            H = ["0", "1 m"]
            [rods]
            AB = { ends = ["A", "B"], weight = "W" }
            [members]
            stay = { kind = "string", between = ["B", "H"] }
            [supports]
            hinge = { kind = "fixed hinge", at = "A" }
            hook = { kind = "hook", at = "H" }
            """,
            asked='["tension in stay"]',
        )
    )

    assert is_(solved.answers["tension in stay"], "W*sqrt(2)/2", solved)
