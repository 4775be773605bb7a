"""Class files, and the command line with one: what is read, what is refused, what is printed."""

from __future__ import annotations

import json
from fractions import Fraction

import pytest
from command_line import simlab
from test_conventions import SCENES

from simlab.errors import SceneError
from simlab.frame.quantity import ACCELERATION, Quantity
from simlab.results.conventions import Conventions


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("g = 98", "line 1, g: 98 is no g of a class. Allowed: 9.8, 9.81, 10 (m/s^2)."),
        ('g = "9.8 N"', "line 1, g: 9.8 N is no g of a class."),
        ("g = true", "line 1, g: True is no g of a class."),
        (
            '\nloads = "mases"',
            'line 2, loads: loads = "mases" is not known. Allowed: weights, masses. Did you',
        ),
        ('rode = "bar"', '"rode" is not a key here. Keys: g, figures, loads, rod, hinge, thrust'),
        ('rode = "bar"', 'Did you mean "rod"?'),
        ("rod = 3", "line 1, rod: expected text, got a whole number."),
        ("figures = 4", "line 1, figures: 4 figures are not known here. Write 2 or 3"),
        ('rod = "bar"\nrod = "rod"', "is not a correct TOML file"),
        ("[rod]", "rod: expected text, got a table."),
    ],
)
def test_a_class_file_that_cannot_be_read_is_told_so(text, message, tmp_path):
    """File, line, key, what came, what is allowed, the nearest name."""
    path = tmp_path / "class.toml"
    path.write_text(text)
    with pytest.raises(SceneError) as caught:
        Conventions.read(path)
    assert message in str(caught.value)
    assert str(path) in str(caught.value)


@pytest.mark.parametrize("written", ["9.8", "9.80", '"9.8"', '"9.8 m/s^2"'])
def test_g_may_have_its_unit(written, tmp_path):
    """All of them are the same g."""
    path = tmp_path / "class.toml"
    path.write_text(f"g = {written}")
    assert Conventions.read(path) == Conventions(Quantity.of(Fraction("9.8"), ACCELERATION))


def test_a_missing_class_file_is_no_traceback(tmp_path):
    """Exit code 2 and a sentence."""
    done = simlab("forces", SCENES / "kite_lantern.toml", "--class", tmp_path / "none.toml")
    assert (done.returncode, "Traceback" in done.stderr) == (2, False)
    assert "there is no such file" in done.stderr


def test_the_command_line_follows_a_class_and_its_json_keeps_its_keys(tmp_path):
    """3 m g (2 tan 20° + 5 tan 40°)/2 with m = 0.2 kg, g = 10 is 14.77 N: 15 N to the figures of 10."""
    path = tmp_path / "class.toml"
    path.write_text('g = 10\nloads = "masses"\nthrust = "compression"\nrod = "bar"\nhinge = "pin"\n')
    kite = SCENES / "kite_lantern.toml"
    told = simlab("check", kite, "--class", path)
    data = json.loads(simlab("forces", kite, "--class", path, "--json").stdout)

    assert told.returncode == 0, told.stderr
    assert "compression in spreader = 3mg(2 tan α + 5 tan θ)/2 = 15 N" in told.stdout
    assert "balance of every bar and pin" in told.stdout
    assert data["values"]["m"] == "0.2 kg"
    assert data["answers"]["thrust in spreader"]["value"] == pytest.approx(14.7703159, rel=1e-8)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (
            "W=3 N",
            '--set W: there is no letter "W" for this class, which has masses. Letters: m, a,',
        ),
        ("g=9.8 m/s^2", "--set g: the class's g is in its file."),
    ],
)
def test_a_letter_that_the_class_has_not_is_told_so(change, message, tmp_path):
    """Exit code 2, and what letters there are."""
    path = tmp_path / "class.toml"
    path.write_text('g = 10\nloads = "masses"\n')
    done = simlab("forces", SCENES / "kite_lantern.toml", "--class", path, "--set", change)
    assert done.returncode == 2
    assert message in done.stderr
