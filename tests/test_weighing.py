"""Bodies by masses or by weights, as a class has them. Arithmetic is by hand, beside each test."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
import sympy as sp
from test_conventions import SCENES, TEN, TRESTLE, lines, trestle

from simlab.errors import SceneError
from simlab.frame.model import Frame
from simlab.frame.quantity import ACCELERATION, Quantity
from simlab.frame.scene import parse_scene
from simlab.frame.weighing import in_masses, in_weights
from simlab.pictures.names import weight_name
from simlab.results.conventions import Conventions
from simlab.statics.shape import find
from simlab.statics.solution import solve

VALUES = [sp.Rational(n, 37) for n in (11, 13, 17, 19, 23, 29)]  # of letters, angles in radians
MASSES = Conventions(TEN, "masses", figures=3)


def test_a_trestle_in_masses_with_g_10(tmp_path):
    """m = 3 kg instead of W = 30 N: T = 5 m g tan(theta)/3 = 30 N, as by hand above."""
    statics, class_of = trestle(MASSES, tmp_path)
    symbols = statics.frame.symbols

    assert [*symbols] == ["m", "a", "theta", "g"]
    assert (symbols["m"].said(symbols["m"].shown), symbols["m"].meaning) == ("m = 3 kg", "mass of each leg")
    assert symbols["g"].said(symbols["g"].shown) == "g = 10 m/s²"
    told = lines(statics, class_of)
    assert "tension in rope = 5 mg tan θ / 3 = 30.0 N" in told
    assert "at H, on HG" in told
    assert (
        "5 mg tan θ / 3 to the right and 3mg/4 downwards; together mg√(400 tan² θ + 81)/12 = 37.5 N" in told
    )


def test_the_question_follows_the_letters(tmp_path):
    """Of weight 2W becomes of mass 2m: what a class that counts in kilograms reads."""
    statics, _ = trestle(MASSES, tmp_path)
    question = statics.frame.question

    assert "each of length 4a and mass m, are" in question
    assert "A lantern of mass 2m hangs" in question
    assert "W" not in question


@pytest.mark.parametrize(
    ("was", "becomes"),
    [
        ("The plank weighs 3W.", "The plank weighs 3mg."),
        ("Its weight W acts at C.", "Its weight mg acts at C."),
        ("The force W/2 is W.", "The force mg/2 is mg."),
        ("WA, AW and Wick are no weights.", "WA, AW and Wick are no weights."),
    ],
)
def test_a_weight_elsewhere_in_the_question_is_a_mass_times_g(was, becomes):
    """Where "mass" cannot stand for "weight", the weight is written mg."""
    frame = parse_scene(TRESTLE, letter=True)
    assert in_masses(replace(frame, question=was)).question == becomes


def with_letters(*weights: str, symbols: str) -> Frame:
    """The trestle with other weights of the two legs and the lantern, and other letters."""
    text = TRESTLE.replace('W = { meaning = "weight of each leg", shown = "30 N" }', symbols)
    for old, new in zip(
        ('["H", "F"], weight = "W"', '["H", "G"], weight = "W"', '"2*W"'), weights, strict=True
    ):
        text = text.replace(old, old.replace('"W"' if '"W"' in old else '"2*W"', f'"{new}"'))
    return parse_scene(text, letter=True)


@pytest.mark.parametrize(
    ("weights", "symbols", "new"),
    [
        (("W1", "W2", "W2"), ("W1", "W2"), {"m1", "m2"}),
        (("W", "w", "W"), ("W", "w"), {"M", "m"}),
        (("W", "W", "P"), ("W", "P"), {"m1", "m2"}),
        (("W", "W", "2*W"), ("W",), {"m"}),
    ],
)
def test_letters_of_masses_are_told_apart_as_those_of_weights(weights, symbols, new):
    """Indices stay; W and w become M and m; other letters are numbered."""
    table = "\n".join(f'{name} = {{ meaning = "a weight", shown = "30 N" }}' for name in symbols)
    frame = in_masses(with_letters(*weights, symbols=table))
    assert {name for name, symbol in frame.symbols.items() if symbol.unit == "kg"} == new


def test_a_letter_in_use_is_left_alone():
    """Where m is a length already the mass is M."""
    text = 'W = { meaning = "a weight", shown = "30 N" }\nm = { meaning = "a length", shown = "1 m" }'
    frame = in_masses(with_letters("W", "W", "W", symbols=text))
    assert (frame.symbols["M"].unit, frame.symbols["m"].unit) == ("kg", "m")


def test_g_as_another_letter_is_refused_in_a_sentence():
    """Weights cannot be written mg where g is a length."""
    with pytest.raises(SceneError, match='g: "g" is another letter here, so weights cannot be written mg'):
        with_letters(
            "W",
            "W",
            "W",
            symbols='W = { meaning = "", shown = "1 N" }\ng = { meaning = "", shown = "1 m" }',
        )


@pytest.mark.parametrize("path", sorted(SCENES.glob("*.toml")), ids=lambda path: path.stem)
def test_every_scene_in_masses_says_the_same(path):
    """A law: with mg for W the answers are those of weights with mg put for W; at g = 10."""
    weighed, massed = find(Conventions(TEN).scene(path)), find(Conventions(TEN, "masses").scene(path))
    pairs = zip(weighed.frame.symbols, massed.frame.symbols, strict=False)  # in the same order, g the last
    g = sp.Symbol("g", positive=True)
    products = {old: sp.Symbol(new, positive=True) * g for old, new in pairs if old != new}

    for before, after in zip(weighed.shapes, massed.shapes, strict=True):
        assert before.verdict == after.verdict
        for words, answer in before.answers.items():
            known = {s: products[str(s)] for s in answer.expr.free_symbols if str(s) in products}
            apart = answer.expr.subs(known) - after.answers[words].expr
            values = {s: VALUES[i] for i, s in enumerate(sorted(apart.free_symbols - {g}, key=str))}
            assert abs(sp.N(apart.subs({**values, g: 10}), 30)) < 1e-24


BEAM = """
title = "The counterpoise"
question = '''
A light bar AB of length 4a turns in a vertical plane on a smooth hinge at C, AC = a. A weight P
hangs at A, and a cask of weight 30 N at B. Find P.
'''
source = "our own"
asked = ["P"]
symbols.P = { meaning = "weight at A", between = ["0 N", "200 N"] }
symbols.a = { meaning = "a quarter of the bar", shown = "1 m" }
points.A = ["0", "0"]
points.B = ["4*a", "0"]
points.C = ["a", "0"]
rods.AB = { ends = ["A", "B"], light = true, through = ["C"] }
loads.chest = { weight = "P", at = "A" }
loads.cask = { weight = "30 N", at = "B" }
supports.post = { kind = "fixed hinge", at = "C" }
"""


def test_a_weight_to_be_found_is_a_mass_to_be_found(tmp_path):
    """P a = 30 N * 3a, so P = 90 N, and with g = 10 the mass is 9 kg; the cask is of 3 kg."""
    path = tmp_path / "beam.toml"
    path.write_text(BEAM)
    (state,) = find(Conventions(TEN, "masses").scene(path)).shapes

    assert [asked.words for asked in state.frame.asked] == ["m"]
    assert str(state.answers["m"]) == "9"
    assert state.frame.loads["cask"].value[0].number(state.values) == 30
    assert "A weight mg\nhangs at A, and a cask of mass 3 kg at B. Find mg." in state.frame.question


def test_newtons_that_are_no_round_mass_stay_newtons(tmp_path):
    """30 N are 3.0612... kg with g = 9.8: nobody writes that, and rounding would change the question."""
    path = tmp_path / "beam.toml"
    path.write_text(BEAM)
    frame = Conventions(Quantity.of(Fraction("9.8"), ACCELERATION), "masses").scene(path)
    weight = frame.loads["cask"].value[0]

    assert str(weight) == "30"
    assert "weight 30 N" in frame.question
    assert weight_name(weight, frame.gravity, frame.has_masses) == "30 N"


def test_kilograms_in_a_class_of_weights():
    """6 kg weigh 58.86 N with g = 9.81; the sentence that says what g is, is not needed any more."""
    g = Quantity.of(Fraction("9.81"), ACCELERATION)
    frame = Conventions(g, "weights").scene(SCENES / "banner_bracket.toml")

    assert "A uniform pole PE of weight 58.86 N and length 2 m" in frame.question
    assert "Take g" not in frame.question
    assert "1.6 m from P" in frame.question
    assert weight_name(frame.bodies["pole"].weight, frame.gravity, frame.has_masses) == "58.86 N"


def test_a_letter_of_a_mass_in_a_class_of_weights():
    """With weight W for mass m, T = 5 W tan(theta)/3 again, and W = 30 N for 3 kg."""
    text = TRESTLE.replace("weight of each leg", "mass of each leg").replace('"30 N"', '"3 kg"')
    text = text.replace('weight = "W"', 'mass = "m"').replace('weight = "2*W"', 'mass = "2*m"')
    text = text.replace("\nW = ", "\nm = ").replace("weight W", "mass m").replace("weight 2W", "mass 2m")
    frame = in_weights(parse_scene(text, gravity=TEN))

    assert frame.symbols["W"].said(frame.symbols["W"].shown) == "W = 30 N"
    assert "weight W, are" in frame.question
    assert "weight 2W" in frame.question
    assert solve(frame).answers["tension in rope"].plain == "5 W tan θ / 3"
