"""Worked solutions: which way is chosen, a teacher's own way, one equation, what is refused.

The model working is shared/teaching.md's own question, worked by hand there; facts of the trade are marked.
"""

from __future__ import annotations

from itertools import combinations, islice
from pathlib import Path

import numpy as np
import pytest
from command_line import simlab
from hypothesis import given, settings
from hypothesis import strategies as st

from simlab.commands.documents import write
from simlab.commands.edge import BAD_INPUT
from simlab.errors import BadInput
from simlab.exact.field import Field
from simlab.frame.scene import parse_scene, read_scene
from simlab.lesson.page import page
from simlab.notation.page import written
from simlab.results.working import Working
from simlab.statics.solution import solve
from simlab.working import typed
from simlab.working.algebra import common_factor
from simlab.working.search import chains, ordered
from simlab.working.solution import Workings
from simlab.working.survey import Candidate
from simlab.working.virtual import by_work

SCENES = Path(__file__).parent.parent / "scenes"

# The question worked by hand in the standard for workings: legs HF, HG of length 4a, weight W, at theta to
# the vertical, a rope UV with FU = GV = a, a lantern of weight 2W at J on HF, HJ = a.
LEGS = """
title = "The lantern legs"
question = "Legs HF and HG stand on a smooth quay, joined by a light rope UV. A lantern hangs at J."
source = "our own"
asked = ["tension in rope", "force at H on HG"]

[symbols]
W = { meaning = "weight of a leg", shown = "20 N" }
a = { meaning = "a quarter of a leg", shown = "0.5 m" }
theta = { meaning = "angle of the legs to the vertical", shown = "31 deg", low = "5 deg", high = "80 deg" }

[points]
H = ["0", "0"]
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
"""


@pytest.fixture(scope="module")
def legs() -> Workings:
    """The legs, solved."""
    return Workings(solve(parse_scene(LEGS, "legs")))


@pytest.fixture(scope="module")
def kite() -> Workings:
    """The kite lantern, solved."""
    return Workings(solve(read_scene(SCENES / "kite_lantern.toml")))


def equations(working: Working) -> list[tuple[str, str]]:
    """(part, place) of each equation."""
    return [(one.part.words, one.about or one.along) for one in working.equations]


def text(working: Working) -> str:
    """A working on a terminal."""
    return "\n".join(written(page(working), "text"))


# the model working


def test_the_model_question_is_worked_as_by_hand(legs):
    """Whole trestle about a foot, then the other leg about H; then that leg across and upwards."""
    first, second = legs.question()

    assert [("the whole frame", "F"), ("HG", "H")] == equations(first)
    assert {("HG", "horizontally"), ("HG", "vertically")} == set(equations(second)) or {
        ("HF", "horizontally"),
        ("HG", "vertically"),
    } == set(equations(second))


def test_the_model_question_has_the_lines_worked_by_hand(legs):
    """8Q = 14W divided by 2, Q = 7W/4, 3T cos = 5W sin, T = (5/3) W tan, from the standard for workings."""
    first, second = legs.question()
    said = text(first)

    for line in ("R_G = 7W/4", "3 T cos θ = 5 W sin θ", "T = 5 W tan θ / 3"):
        assert line in said, said
    assert "Y = −3W/4" in text(second) or "Y = 3W/4" in text(second)


def test_the_third_law_and_what_is_internal_are_said(legs):
    """'The rope and hinge forces are internal, in opposite pairs, and drop out' (the standard's step 3)."""
    first, _ = legs.question()

    assert "The forces at H and in the rope are internal here" in text(first).replace("\n    ", " ")


# the search


def brute_force(candidates: list[Candidate], target: int, most: int) -> int:
    """The least number of equations whose combination leaves the target alone, by trying all."""
    unknowns = sorted({u for one in candidates for u in one.unknowns})
    matrix = np.array([[dict(one.row).get(u, 0.0) for u in unknowns] for one in candidates])
    matrix /= np.abs(matrix).max(axis=1, keepdims=True)
    unit = np.eye(len(unknowns))[unknowns.index(target)]
    for size in range(1, most + 1):
        for rows in combinations(range(len(candidates)), size):
            some = matrix[list(rows)]
            rank = np.linalg.matrix_rank(some, tol=1e-9)
            if np.linalg.matrix_rank(np.vstack([some, unit]), tol=1e-9) == rank == size:
                return size
    return most + 1


@pytest.mark.parametrize("name", ["stall_trestle", "banner_bracket", "gangway", "sign_board", "slip_cask"])
def test_no_shorter_chain_exists(name):
    """Whatever combination of equations is tried, none with fewer gives what is asked (numpy's ranks)."""
    workings = Workings(solve(read_scene(SCENES / f"{name}.toml")))
    candidates = [one for one in workings.survey.candidates if one.row]
    for target in workings.reduction.free:
        shortest = min(len(chain.equations) for chain in islice(chains(candidates, [target]), 30))

        assert brute_force(candidates, target, 3) == min(shortest, 4)


def test_a_chain_of_dependent_equations_is_none(legs):
    """Moments about two points and across and upwards are three independent equations of a part at most."""
    lines = ["whole about F", "whole about G", "whole vertically"]
    candidates = [typed.read(legs.survey, line) for line in lines]

    assert ordered(candidates, 0) is None
    assert 2 == legs.rank(candidates)


def test_three_ways_differ(kite):
    """No two of the ways offered have the same equations, and each is dearer than the one before."""
    for asked in kite.statics.frame.asked:
        ways = kite.chains(asked)
        sets = {frozenset((one.part, one.place.words) for one in way.equations) for way in ways}

        assert len(ways) == len(sets) == 3
        assert sorted(ways, key=lambda way: way.effort) == ways


def test_virtual_work_of_the_kite_by_hand(kite):
    """By differentiating by hand: the spreader, two thirds of the way down the long canes, shortens by x.

    So L comes in by 3x/2, the upper centres fall by (3x/4) tan(theta), and the lower ones by twice that and
    (3x/4) tan(alpha) more.
    """
    working = by_work(kite.statics, kite.statics.frame.asked[0])
    said = text(working)

    assert "3 x tan θ / 4" in said
    assert "3x(tan α + 2 tan θ)/4" in said
    assert "T = 3W(2 tan α + 5 tan θ)/2" in said


# one's own way


def test_an_equation_by_its_words(kite):
    """Part and point, part and direction; level rods are resolved along horizontally."""
    survey = kite.survey
    assert ("moments", "B") == (lambda c: (c.method, c.place.words))(typed.read(survey, "LB about B"))
    assert "vertically" == typed.read(survey, "KL, LB vertically").place.words
    assert "along LB" == typed.read(survey, "LB along LB").place.words
    assert "horizontally" == typed.read(survey, "LB along spreader").place.words
    assert "vertically" == typed.read(survey, "LB square to spreader").place.words


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("LB", "is no equation"),
        ("LC about B", 'there is no part "LC"'),
        ("LB about Z", 'there is no point "Z"'),
        ("LB along nothing", 'there is no direction "along nothing"'),
        ("", "is no equation"),
    ],
)
def test_a_line_that_is_no_equation_is_answered(kite, line, says):
    """What is wrong, and what there is."""
    with pytest.raises(BadInput, match=says):
        typed.read(kite.survey, line)


def test_a_way_that_does_not_get_there_is_told_what_it_lacks():
    """One equation of three: it brings, it does not decide, it lacks."""
    done = simlab(
        "working", "scenes/kite_lantern.toml", "--find", "thrust in spreader", "--line", "LB about L"
    )

    assert 0 == done.returncode
    assert "does not decide them yet" in done.stdout
    assert "Add, for example, " in done.stdout


def test_an_equation_that_follows_is_said_to_say_nothing_new():
    """The whole about two feet gives its vertical balance."""
    lines = ["whole about A", "whole about B", "whole vertically"]
    flags = [flag for line in lines for flag in ("--line", line)]
    done = simlab("working", "scenes/stall_trestle.toml", "--find", "tension in rope", *flags)

    assert "it follows from the equations before and says nothing new" in done.stdout


@pytest.mark.parametrize(
    "flags",
    [
        ["--part", "CB"],
        ["--about", "C"],
        ["--part", "XY", "--about", "C"],
        ["--find", "tension in rpe"],
        ["--chain", "40", "--find", "tension in rope"],
        ["--line", "CB about C", "--by", "moments"],
        ["--by", "virtual-work", "--find", "force at C on CB"],
        ["--isolating", "whole; XY", "--find", "tension in rope"],
        ["-o", "/tmp/working.docx"],
    ],
)
def test_what_cannot_be_is_refused_with_a_sentence(flags):
    """A clear message and exit code 2, no traceback."""
    done = simlab("working", "scenes/stall_trestle.toml", *flags)

    assert BAD_INPUT == done.returncode
    assert done.stderr.startswith("simlab: ")
    assert "Traceback" not in done.stderr


def test_whole_documents_are_written(legs, tmp_path):
    """Text, Markdown, LaTeX and HTML; each says what the first says, and the caution."""
    (first, *_) = legs.question()
    for kind in ("txt", "md", "tex", "html"):
        file = tmp_path / f"working.{kind}"
        write(file, page(first), "The lantern legs")

        assert "Moments about" in file.read_text()
        assert "No basis for building" in file.read_text()


# algebra

letters = st.sampled_from(["a", "W", "r"])


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(1, 30), st.integers(1, 12), letters), min_size=2, max_size=4))
def test_dividing_by_the_common_factor_leaves_coprime_whole_numbers(terms):
    """Whole numbers without a common divisor, and no letter in all terms (math.gcd)."""
    import math

    import sympy as sp

    forms = [sp.Rational(n, d) * sp.Symbol(x, positive=True) for n, d, x in terms]
    left = [sp.expand(form / common_factor(forms)) for form in forms]
    numbers = [form.as_coeff_Mul()[0] for form in left]

    assert all(number.is_Integer for number in numbers)
    assert 1 == math.gcd(*(int(number) for number in numbers))
    assert not set.intersection(*(form.free_symbols for form in left))


def test_every_angle_of_the_model_working_is_proved(legs):
    """The last line equals (5/3) W tan(theta) in the exact field: the standard's own answer."""
    import sympy as sp

    first, _ = legs.question()
    letter = first.letters["T"]
    w, angle = sp.Symbol("W", positive=True), sp.Symbol("theta", positive=True)
    expected = sp.Rational(5, 3) * w * sp.tan(angle)
    field = Field.containing([letter.value.expr, expected], {})

    assert field.element(letter.value.expr) == field.element(expected)


def test_a_frame_without_one_answer_has_no_working():
    """A beam on three supports (common practice, no source): statics does not decide, and it is said."""
    beam = """
title = "The beam on three trestles"
question = "A uniform beam AB lies on three smooth trestles."
source = "our own"
asked = ["reaction at A"]
[symbols]
W = { meaning = "weight", shown = "10 N" }
a = { meaning = "a length", shown = "1 m" }
[points]
A = ["0", "0"]
B = ["4*a", "0"]
M = { middle = ["A", "B"] }
[rods]
AB = { ends = ["A", "B"], weight = "W", through = ["M"] }
[supports]
floor = { kind = "smooth floor", at = ["A", "B"] }
peg = { kind = "smooth peg", at = "M" }
"""
    with pytest.raises(BadInput, match="there is no working"):
        Workings(solve(parse_scene(beam, "beam")))
