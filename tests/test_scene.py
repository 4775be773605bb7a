"""Scene files: what they may say, and the message for everything else."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest
import sympy as sp

from simlab.errors import SceneError
from simlab.frame.model import Place
from simlab.frame.scene import parse_scene, read_scene
from simlab.frame.scene_file import schema

KITE = Path(__file__).parent.parent / "scenes" / "kite_lantern.toml"
HEAD = 'title = "t"\nquestion = "q"\nsource = "our own"\n'


def kite(old: str = "", new: str = "") -> str:
    """The kite's text with one thing spoiled."""
    text = KITE.read_text()
    assert old in text
    return text.replace(old, new)


def test_rods_that_share_a_named_point_are_hinged_there():
    """The trade's convention: one pin at each corner, the hook's among them with the ground."""
    frame = read_scene(KITE)

    assert {"K": ("ground", "KL", "KR"), "L": ("KL", "LB"), "R": ("KR", "RB"), "B": ("LB", "RB")} == {
        name: joint.bodies for name, joint in frame.joints.items()
    }


def test_a_point_made_on_a_rod_belongs_to_it():
    """Two thirds of the way from L to B is on the rod LB without further words."""
    frame = read_scene(KITE)

    assert (Place("LB", "P"), Place("RB", "Q")) == frame.links["spreader"].ends


def test_a_frame_is_immutable():
    """Nothing that was read can be changed behind a solver's back."""
    frame = read_scene(KITE)

    with pytest.raises(TypeError):
        frame.points["K"] = frame.points["L"]
    with pytest.raises(AttributeError):
        frame.title = "another"


# Where constructions lead, from school geometry (each place can be checked by eye on squared paper).
CONSTRUCTIONS = {
    'P = { middle = ["A", "B"] }': (2, 0),
    'P = { from = "A", towards = "B", fraction = "1/4" }': (1, 0),
    'P = { from = "A", towards = "C", length = "10 m" }': (6, 8),
    'P = { from = "A", length = "2 m", angle = "30 deg" }': (sp.sqrt(3), 1),
    'P = { from = "A", length = "2 m", direction = "up" }': (0, 2),
    'P = { from = "A", length = "2 m", direction = "down", lean = "30 deg", to = "left" }': (
        -1,
        -sp.sqrt(3),
    ),
    'P = { from = "A", direction = "up", lean = "45 deg", to = "right", plumb_with = "B" }': (4, 4),
    'P = { from = "A", direction = "up", lean = "45 deg", to = "left", level_with = "C" }': (-4, 4),
    'P = { from = "A", square_to = ["A", "B"], side = "up", length = "3 m" }': (0, 3),
    'P = { lines = [["A", "C"], ["B", "D"]] }': (3, 4),
    'P = { at_lengths = [["A", "5 m"], ["B", "3 m"]], side = "up" }': (4, 3),
    'P = { at_lengths = [["A", "5 m"], ["B", "3 m"]], side = "down" }': (4, -3),
    'P = { line = ["A", "B"], at_length = ["C", "5 m"], nearer = "B" }': (6, 0),
    'P = { line = ["A", "B"], at_length = ["C", "5 m"], nearer = "A" }': (0, 0),
    'P = { line = ["A", "B"], foot_from = "C" }': (3, 0),
    'P = { line = ["A", "B"], mirror = "C" }': (3, -4),
    'P = { line = ["A", "C"], level_with = "D" }': (sp.Rational(9, 2), 6),
    'P = { line = ["A", "C"], plumb_with = "B" }': (4, sp.Rational(16, 3)),
    'P = { level_with = "C", plumb_with = "B" }': (4, 4),
}


@pytest.mark.parametrize("line", CONSTRUCTIONS)
def test_points_are_where_the_question_says(line):
    """Every way to state a point, on the points A(0,0), B(4,0), C(3,4), D(2,6)."""
    text = (
        HEAD
        + '[points]\nA = ["0", "0"]\nB = ["4 m", "0"]\nC = ["3 m", "4 m"]\nD = ["2 m", "6 m"]\n'
        + line.replace('"B", "D"', '"B", "E"')
        + '\nE = { from = "B", length = "1 m", direction = "up", lean = "atan(1/4)", to = "left" }\n'
        + '[rods]\nAB = { ends = ["A", "B"], weight = "6 N" }\n'
        + '[supports]\nhook = { kind = "hook", at = "A" }'
    )
    x, y = CONSTRUCTIONS[line]
    point = parse_scene(text).points["P"]

    assert sp.simplify(point[0].expr - x) == 0
    assert sp.simplify(point[1].expr - y) == 0


BAD = {
    "unknown point": ('["P", "Q"]', '["P", "Z"]', "[members] spreader", 'point "Z" is not declared'),
    "rod with equal ends": ('ends = ["K", "L"]', 'ends = ["K", "K"]', "[rods] KL", "same point"),
    "two rods of one name": ("KR = {", "KL = {", "line", "declared twice"),
    "missing brace": ('brace = "spreader"', 'brace = "spredder"', "brace", 'Did you mean "spreader"'),
    "unknown symbol": ('"2*W"', '"5*V/2"', "[rods] LB", '"V" is not declared'),
    "code": ('"2*W"', "\"__import__('os')\"", "[rods] LB", "__"),
    "tower of powers": ('"2*W"', '"9**9**9"', "[rods] LB", "too high"),
    "no line": (
        'P = { from = "L", towards = "B", fraction = "2/3" }',
        'P = { line = ["K", "K"], level_with = "L" }',
        "[points] P",
        "make no line",
    ),
    "no support": ('hook = { kind = "hook", at = "K" }', "", "[supports]", "nothing holds the frame up"),
    "weight plus length": ('weight = "W" }', 'weight = "W + a" }', "[rods] KL", "cannot add"),
    "wrong key": ('weight = "W" }', 'wieght = "W" }', "[rods] KL", 'Did you mean "weight"'),
    "no unit": ('weight = "W" }', "weight = 3 }", "[rods] KL", 'with its unit: "6 N"'),
    "no weight": (', weight = "W" }', " }", "[rods] KL", "give one of weight"),
    "kind": ('kind = "strut"', 'kind = "strt"', "[members] spreader", "light rod, strut, string"),
    "not TOML": ("[rods]", "[rods", "line 2", "not a correct TOML file"),
    "no title": ('title = "The kite lantern"', "", "title", "missing"),
    "circle of points": ('K = ["0", "0"]', 'K = { middle = ["L", "R"] }', "[points] K", "K -> L -> K"),
    "off the rod": ('fraction = "2/3"', 'fraction = "5/3"', "[rods] LB", "does not lie on the rod"),
    "out of range": ('low = "5 deg"', 'low = "30 deg"', "[symbols] alpha", "at least 30 deg"),
    "asked": ('"thrust in spreader"', '"thrust in KL"', "asked", "asks for nothing"),
    "support in the air": ('at = "K" }', 'at = "Q7" }', "[supports] hook", '"Q7" is not declared'),
    "nothing there": ('["P", "Q"]', '["P", "S"]', "[members] spreader", "nothing is at S"),
    "no gravity": ("asked =", 'gravity = "0"\nasked =', "gravity", "must be above 0"),
    "weight pulling up": (
        "[supports]",
        '[loads]\nl = { weight = "-3 N", at = "B" }\n[supports]',
        "[loads] l",
        "negative",
    ),
    "a name that says on": ("spreader = { kind", '"x on y" = { kind', "[members]", "cannot be a name"),
    "an empty name": ("spreader = { kind", '"" = { kind', "[members]", "cannot be a name"),
    "a name that is two lines": ("spreader = { kind", '"a\\nb" = { kind', "[members]", "cannot be a name"),
    "endless number": ('weight = "W" }', "weight = " + "9" * 5000 + " }", "bad.toml", "too many digits"),
    "name taken": ("spreader = { kind", "KL = { kind", "[members] KL", "is taken in [rods]"),
}


@pytest.mark.parametrize("case", BAD)
def test_bad_scenes_say_where_and_what(case):
    """Each message names the file, the key, and what came or what is allowed."""
    old, new, where, what = BAD[case]
    text = kite(old, new).replace("[points]", '[points]\nS = ["9 m", "0"]')
    with pytest.raises(SceneError) as caught:
        parse_scene(text, "bad.toml")

    assert "bad.toml" in str(caught.value)
    assert where in str(caught.value)
    assert what in str(caught.value)


def test_a_file_that_is_no_scene_is_named(tmp_path):
    """A missing file, a folder, a binary file: one sentence each."""
    (tmp_path / "binary.toml").write_bytes(b"\xff\xfe\x00")
    for path, what in [("none.toml", "no such file"), (".", "is a folder"), ("binary.toml", "not a text")]:
        with pytest.raises(SceneError, match=what):
            read_scene(tmp_path / path)


def test_the_json_schema_accepts_the_scenes_and_refuses_wrong_keys():
    """The published schema agrees with the reader (jsonschema as the outside judge)."""
    import tomllib

    document = json.loads(json.dumps(schema()))
    validator = jsonschema.Draft202012Validator(document)
    for path in sorted(KITE.parent.glob("*.toml")):
        assert [] == list(validator.iter_errors(tomllib.loads(path.read_text())))
    spoiled = tomllib.loads(kite('weight = "W" }', 'wieght = "W" }'))
    assert not validator.is_valid(spoiled)
