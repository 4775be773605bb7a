"""simlab check --motion as its users meet it."""

from __future__ import annotations

import json

from command_line import simlab
from test_commands import KITE, SCENES


def test_it_prints_the_first_instant_and_the_collapse():
    """Accelerations and jumps in words, exactly; where the roads are farthest apart; a verdict."""
    done = simlab("check", "--motion", SCENES / "stall_trestle.toml")

    assert done.returncode == 0, done.stderr
    for words in (
        "The first instant without the rope",
        "195g/(101 cot² θ + 244)",
        "square at A, on CA",
        "less by",
        "then B lifted off the square",
        "Equations of motion and simulation agree on the collapse.",
    ):
        assert words in done.stdout


def test_as_json_it_is_data():
    """Exact and numerical accelerations, jumps, and how far the roads are apart."""
    done = simlab("check", "--motion", "--json", KITE)
    motion = json.loads(done.stdout)[0]["motion"]

    assert set(motion["accelerations"]) == {"KL", "KR", "LB", "RB"}
    assert motion["collapse"]["agreement"] == "agree"
    assert set(motion["collapse"]["differences"]) == {"paths", "energy", "forces"}
    hook = next(jump for jump in motion["jumps"] if jump["of"] == {"on": "K", "at": "K", "by": "ground"})
    assert hook["after"][1]["value"] - hook["before"][1]["value"] == hook["change"][1]["value"]


def test_a_scene_without_a_brace_says_so():
    """Nothing is taken away, and that is no failure."""
    done = simlab("check", "--motion", SCENES / "gangway.toml")

    assert done.returncode == 0, done.stderr
    assert "names no brace" in done.stdout
