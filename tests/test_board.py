"""Equations on the film's board: set piece by piece, struck through, matched with forces."""

from __future__ import annotations

from pathlib import Path

import pytest
import sympy as sp

from simlab.film.cancelled import cancelled
from simlab.film.formulas import EQUALS, Column, terms_of, text_of
from simlab.film.matching import terms_of_line
from simlab.film.told import Spoken, pieces_that_fit, with_names
from simlab.frame.scene import read_scene
from simlab.notation.page import Formula, Maths
from simlab.notation.struck import factors
from simlab.statics.solution import solve
from simlab.working.solution import Workings

SCENES = Path(__file__).parent.parent / "scenes"
a, theta, W, R, T, X = sp.symbols("a theta W R T X")
sin, cos = sp.sin(theta), sp.cos(theta)


def side(*terms: object) -> tuple[str | Maths, ...]:
    """A sum of products as a side of an equation; a product is a tuple of factors."""
    pieces: list[str | Maths] = []
    for k, term in enumerate(terms):
        pieces += [" + "] if k else []
        for i, factor in enumerate(term if isinstance(term, tuple) else (term,)):
            pieces += [" × "] if i else []
            pieces.append(Maths(factor))
    return tuple(pieces)


# what cancels: examples by hand


def test_a_factor_of_every_term_is_struck_when_it_is_gone():
    """R x 10 a sin + W x 5 a sin / 2 = W x 15 a sin / 2  ->  2R = W: a and sin theta were divided by."""
    before = Formula(side((R, 10 * a * sin), (W, 5 * a * sin / 2)), side((W, 15 * a * sin / 2)))

    assert cancelled(before, Formula(side(2 * R), side(W))).factors == ("a", r"\sin\theta")


def test_what_only_some_terms_have_is_not_struck():
    """T cos = W sin -> T = W tan: nothing cancels, though cosine and sine are gone."""
    before = Formula(side(4 * T * cos), side(13 * W * sin))

    assert not cancelled(before, Formula(side(T), side(13 * W * sp.tan(theta) / 4)))


def test_a_factor_that_stays_is_not_struck():
    """T a cos = W a sin -> T cos = W sin: only a."""
    before = Formula(side((T, a * cos)), side((W, a * sin)))

    assert cancelled(before, Formula(side(T * cos), side(W * sin))).factors == ("a",)


def test_a_square_is_not_its_root():
    """T a^2 = W a -> T a = W: neither power of a stands in both terms."""
    before = Formula(side(T * a**2), side(W * a))

    assert not cancelled(before, Formula(side(T * a), side(W)))


def test_a_term_on_both_sides_is_struck_when_it_is_gone():
    """X + W = T + W -> X = T: both W; in X + W = T + W -> X + W = T + W, none."""
    before = Formula(side(X, W), side(T, W))

    assert cancelled(before, Formula(side(X), side(T))).terms == (1, 3)
    assert not cancelled(before, before)


# how it is set


def formulas() -> list[Formula]:
    """A short line, one with a long left side, one with a long right side."""
    many = [(W, k * a * sin) for k in range(2, 9)]
    return [Formula(side(T), side(W)), Formula(side(*many), side(T)), Formula(side((T, a)), side(*many))]


@pytest.mark.parametrize("width", [500.0, 770.0, 1400.0])
def test_equations_fit_their_column_and_their_equals_signs_are_in_line(width):
    """Nothing sticks out, every term is there, each equals sign once, at the same place."""
    column = Column.of(formulas(), width)
    for formula, laid in zip(formulas(), column.laid, strict=True):
        equals = [token for token in laid.tokens if token.term == EQUALS]
        terms = {token.term for token in laid.tokens} - {EQUALS}

        assert len(equals) == 1
        assert equals[0].x == 0.0
        assert terms == set(range(len(terms_of(formula.left)) + len(terms_of(formula.right))))
        assert column.equals + laid.box[0] >= -1e-6
        assert column.equals + laid.box[2] <= width + 1e-6


def test_no_two_pieces_of_an_equation_overlap():
    """Neither in a row nor from row to row."""
    for laid in Column.of(formulas(), 770.0).laid:
        boxes = [token.box for token in laid.tokens]
        for i, one in enumerate(boxes):
            for other in boxes[i + 1 :]:
                wide = min(one[2], other[2]) - max(one[0], other[0])
                high = min(one[3], other[3]) - max(one[1], other[1])

                assert wide < 0.5 or high < 0.5


@pytest.mark.parametrize("expr", [10 * a * sin, 5 * a * sin / 2, a * sp.cot(theta) * sin / 3])
def test_a_stroke_goes_through_the_factor_and_nothing_else(expr):
    """The boxes of a and of the sine lie in the term's own box, side by side, neither over the other."""
    column = Column.of([Formula((Maths(expr),), side(W))], 770.0)
    token = column.laid[0].tokens[0]
    (first,), (last,) = (list(token.factor_boxes([one])) for one in ("a", r"\sin\theta"))

    assert token.box[0] <= first[0] < first[2] <= last[0] < last[2] <= token.box[2]
    assert first[3] - first[1] < 0.5 * token.size  # of a small letter, though it may stand over a bar
    assert not list(token.factor_boxes(["W"]))


def test_factors_are_those_above_the_bar():
    """5 a sin / (2 cos): a and the sine; of a sum none."""
    assert factors(5 * a * sin / (2 * cos)) == ("a", r"\sin\theta")
    assert factors(a + W) == ()


def test_signs_part_terms():
    """T - 3W + 2: three terms, each with its sign."""
    terms = terms_of((Maths(T), " − ", Maths(3 * W), " + ", "2"))

    assert [[text_of(piece) for piece in term] for term in terms] == [
        ["$$T$$"],
        ["−", "$$3W$$"],
        ["+", "2"],
    ]


# which forces a product is


@pytest.mark.parametrize(
    "name", ["stall_trestle", "gangway", "kite_lantern", "quay_hoist", "five_cane_lantern"]
)
def test_each_product_of_an_equation_is_matched_with_its_forces(name):
    """A letter's product has that letter's forces; every term of the equation is in exactly one product."""
    statics = solve(read_scene(SCENES / f"{name}.toml"))
    working = next(iter(Workings(statics).of(statics.frame.asked[0], 1)))
    for step in working.steps:
        if len(step.equations) > 1:
            continue
        line, (equation,) = step.lines[0], step.equations
        matched = terms_of_line(line, equation, step.finds[0])
        products = [*line.left, *line.right]

        assert len(matched) == len(products)
        assert sorted(map(id, (t for terms in matched for t in terms))) == sorted(map(id, equation.terms))
        for product, terms in zip(products, matched, strict=True):
            letters = {term.action.letter for term in terms}
            names = {name for factor in product.factors for name in factor.names}

            assert len(letters) == 1
            assert letters <= names | {None}


# sentences


def test_a_long_sentence_is_cut_where_it_may_be():
    """After a full stop first, then a semicolon; nothing is lost."""
    text = "Let X be a force. Which way it acts is not obvious; take it to the right."
    parts = list(pieces_that_fit(Spoken(text, text), lambda said: len(said) < 40))

    assert " ".join(part.plain for part in parts) == text
    assert [part.plain for part in parts][:2] == ["Let X be a force.", "Which way it acts is not obvious;"]


def test_units_are_no_names_of_points():
    """5 N and 3 m stay words in a frame with points N and m."""
    assert with_names("N is 5 N from m, 3 m.", ["N", "m"]) == "$N$ is 5 N from $m$, 3 m."
