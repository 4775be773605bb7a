"""The command line as its users meet it: outputs, exit codes, messages, and never a traceback."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from xml.etree import ElementTree

import pytest
from command_line import ROOT, simlab

from simlab.commands import edge

SCENES = ROOT / "scenes"
KITE = SCENES / "kite_lantern.toml"


def spoiled(tmp_path: Path, old: str, new: str, name: str = "spoiled.toml") -> Path:
    """The kite's scene with one thing changed."""
    text = KITE.read_text()
    assert old in text
    path = tmp_path / name
    path.write_text(text.replace(old, new))
    return path


def test_check_prints_every_reaction_and_agrees():
    """Exit code 0; exact, value, simulated, difference; the largest difference at the end."""
    done = simlab("check", KITE)

    assert done.returncode == 0, done.stderr
    for words in ("exact", "simulated / N", "hook at K, on the frame", "at L, on LB", "thrust in spreader"):
        assert words in done.stdout
    assert "largest difference" in done.stdout
    assert "The two roads agree" in done.stdout


def test_check_as_json_can_be_read_by_a_program():
    """--json is one JSON document with answers, rows and an exit code for each scene."""
    done = simlab("check", KITE, SCENES / "gangway.toml", "--json")
    data = json.loads(done.stdout)

    assert ["kite_lantern", "gangway"] == [entry["scene"] for entry in data]
    assert all(entry["exit_code"] == 0 and len(entry["comparisons"]) == 3 for entry in data)
    assert all(row["agrees"] for entry in data for c in entry["comparisons"] for row in c["rows"])


def test_set_changes_the_demonstration_value():
    """--set gives another value, checked like one in the scene."""
    done = simlab("forces", KITE, "--set", "alpha=45 deg", "--set", "theta=45 deg", "--json")
    answers = json.loads(done.stdout)["answers"]

    # Virtual work by hand for this lantern with both angles 45 degrees, W = 2 N: 3 W (5 + 2) / 2 = 21 N.
    assert answers["thrust in spreader"]["value"] == pytest.approx(21.0, rel=1e-12)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ("alhpa=45 deg", 'Did you mean "alpha"'),
        ("alpha", "write LETTER=VALUE"),
        ("alpha=3 m", "here goes a ratio or an angle"),
        ("alpha=85 deg", "at most 80 deg"),
        ("W=-1 N", "not above 0"),
    ],
)
def test_a_bad_set_is_bad_input(change, message):
    """Exit code 2 and a sentence for a value that cannot be used."""
    done = simlab("forces", KITE, "--set", change)

    assert done.returncode == edge.BAD_INPUT
    assert message in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("command", ["check", "forces", "film", "picture"])
def test_bad_scenes_are_bad_input_for_every_command(command, tmp_path):
    """Exit code 2, a message that names the file, no traceback, nothing written."""
    scene = spoiled(tmp_path, 'between = ["P", "Q"]', 'between = ["P", "Z"]')
    output = {"film": ["-o", tmp_path / "x.mp4"], "picture": ["-o", tmp_path / "x.svg"]}.get(command, [])
    done = simlab(command, scene, *output)

    assert done.returncode == edge.BAD_INPUT
    assert "spoiled.toml" in done.stderr
    assert "[members] spreader" in done.stderr
    assert "Traceback" not in done.stderr + done.stdout
    assert [scene] == list(tmp_path.iterdir())


def test_a_frame_without_its_brace_cannot_rest_and_says_so(tmp_path):
    """Exit code 3: both roads say that there is no answer, and the scene did not announce it."""
    scene = spoiled(tmp_path, '[members]\nspreader = { kind = "strut", between = ["P", "Q"] }', "")
    scene.write_text(
        scene.read_text().replace('brace = "spreader"', "").replace('"thrust in spreader", ', "")
    )
    done = simlab("check", scene)

    assert done.returncode == edge.NO_UNIQUE_ANSWER, done.stdout + done.stderr
    assert "cannot rest" in done.stdout

    scene.write_text('expect = "cannot rest"\n' + scene.read_text())
    assert simlab("check", scene).returncode == edge.AGREE


def test_a_string_where_a_strut_is_needed_falls_out(tmp_path):
    """A string cannot push: exit code 3, and the advice names the member."""
    scene = spoiled(tmp_path, 'kind = "strut"', 'kind = "string"')
    done = simlab("check", scene)

    assert done.returncode == edge.NO_UNIQUE_ANSWER
    assert "spreader" in done.stdout


def test_a_member_too_many_is_not_determined(tmp_path):
    """Exit code 3 unless the scene expects it; then the two roads have nothing to compare, and say so."""
    scene = spoiled(
        tmp_path, "[members]", '[members]\nsecond = { kind = "light rod", between = ["L", "R"] }'
    )
    done = simlab("check", scene)

    assert done.returncode == edge.NO_UNIQUE_ANSWER, done.stdout + done.stderr
    assert "refused" in done.stdout
    assert "Built twice" in done.stdout
    assert "agree" not in done.stdout


def test_the_gravest_exit_code_wins(tmp_path):
    """Of several scenes, bad input outweighs the others: 70, 2, 1, 3, 0."""
    bad = spoiled(tmp_path, '"2*W"', '"2*V"')

    assert simlab("check", bad, SCENES / "gangway.toml").returncode == edge.BAD_INPUT
    assert edge.gravest([0, 3, 1]) == edge.DISAGREE
    assert edge.gravest([3, 70, 2]) == edge.FAULT


def test_a_fault_of_simlabs_own_is_70_without_a_traceback(capsys):
    """Whatever nobody foresaw ends with one line and exit code 70."""

    def action() -> int:
        raise RuntimeError("boom")

    assert edge.outcome(action) == edge.FAULT
    assert "boom" in capsys.readouterr().err


def test_help_lists_the_commands():
    """simlab --help names every command; unknown commands are bad input."""
    done = simlab("--help")
    for command in ("check", "forces", "film", "watch", "picture", "schema", "demo"):
        assert command in done.stdout
    assert simlab("chek").returncode == edge.BAD_INPUT


@pytest.mark.parametrize(
    ("name", "head"), [("k.svg", b"<?xml"), ("k.pdf", b"%PDF-"), ("k.png", b"\x89PNG")]
)
def test_pictures_are_written_in_three_kinds(name, head, tmp_path):
    """SVG, PDF and PNG begin as their standards say."""
    done = simlab("picture", KITE, "-o", tmp_path / name)

    assert done.returncode == 0, done.stderr
    assert (tmp_path / name).read_bytes().startswith(head)


def test_a_picture_of_another_kind_is_bad_input(tmp_path):
    """Only the three kinds; nothing is written."""
    done = simlab("picture", KITE, "-o", tmp_path / "k.bmp")

    assert done.returncode == edge.BAD_INPUT
    assert not list(tmp_path.iterdir())


def test_ctrl_c_ends_a_check_with_130():
    """Interrupted at work: exit code 130, one word, no traceback, no further scene."""
    arguments = [sys.executable, "-m", "simlab", "check", *[str(KITE)] * 12]
    process = subprocess.Popen(
        arguments, cwd=ROOT, stderr=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    first = process.stdout.readline()  # the first scene is printed: eleven are to come
    os.kill(process.pid, signal.SIGINT)
    rest, errors = process.communicate(timeout=60)

    assert first.startswith("The kite lantern")
    assert process.returncode == edge.INTERRUPTED
    assert "interrupted" in errors
    assert "Traceback" not in errors
    assert rest.count("The two roads agree") < 11


def test_a_reader_that_goes_away_changes_nothing():
    """`simlab check ... | head -1`: no message, and the exit code of the check."""
    done = subprocess.run(
        ["bash", "-c", f"{sys.executable} -m simlab check {KITE} | head -1; exit ${{PIPESTATUS[0]}}"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("The kite lantern")
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("encoding", ["latin-1", "ascii", "cp1252"])
def test_a_terminal_without_greek_letters_gets_question_marks(encoding):
    """Letters that the output cannot take are replaced, not fatal."""
    done = subprocess.run(
        [sys.executable, "-m", "simlab", "forces", str(KITE)],
        cwd=ROOT,
        capture_output=True,
        env={**os.environ, "PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"},
        check=False,
    )

    assert done.returncode == 0, done.stderr
    assert b"tan ?" in done.stdout


def test_a_full_disk_for_the_output_is_bad_input():
    """Output that cannot be written: a sentence and exit code 2."""
    with open("/dev/full", "w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "simlab", "forces", str(KITE)],
            cwd=ROOT,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )

    assert done.returncode == edge.BAD_INPUT
    assert "cannot be written" in done.stderr
    assert "Traceback" not in done.stderr


def test_markup_in_a_title_is_only_text(tmp_path):
    """A title such as "[red] a [/bold]" is printed as it is."""
    scene = spoiled(tmp_path, '"The kite lantern"', '"[red] a [/bold]"')
    done = simlab("check", scene)

    assert done.returncode == 0, done.stderr
    assert "[red] a [/bold]" in done.stdout


def test_a_verdict_that_was_not_announced_is_named(tmp_path):
    """Where the scene expects another verdict, the last line says so."""
    scene = spoiled(tmp_path, "asked = ", 'expect = "cannot rest"\nasked = ')
    done = simlab("check", scene)

    assert done.returncode == edge.NO_UNIQUE_ANSWER
    assert 'announces "cannot rest", but statics says "determined"' in done.stdout


def test_a_tension_that_is_a_thrust_is_called_one(tmp_path):
    """Asked for a tension that comes out as a thrust, the answer names the thrust: no bare minus."""
    scene = spoiled(tmp_path, '"thrust in spreader"', '"tension in spreader"')
    done = simlab("forces", scene)

    assert "thrust in spreader = 3W(2 tan α + 5 tan θ)/2" in done.stdout


@pytest.mark.parametrize(("sent", "code"), [("SIGINT", 130), ("SIGTERM", 143), ("SIGHUP", 129)])
def test_an_interrupted_film_leaves_what_was_there(tmp_path, sent, code):
    """Ctrl-C, an end by the system, a closed terminal while drawing: the old film untouched, no half file.

    Exit codes as shells have them: 128 and the number of the signal.
    """
    film = tmp_path / "kite.mp4"
    film.write_bytes(b"the film that was there")
    command = [sys.executable, "-m", "simlab", "film", str(KITE), "-o", str(film)]
    process = subprocess.Popen(command, cwd=ROOT, stderr=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    deadline = time.monotonic() + 60
    while not list(tmp_path.glob("*.part")) and time.monotonic() < deadline:
        time.sleep(0.05)
    time.sleep(0.5)
    os.kill(process.pid, getattr(signal, sent))
    _, errors = process.communicate(timeout=60)

    assert process.returncode == code, errors
    assert "Traceback" not in errors
    assert [film] == list(tmp_path.iterdir())
    assert film.read_bytes() == b"the film that was there"


@pytest.mark.parametrize("scene", sorted(SCENES.glob("*.toml")), ids=lambda path: path.stem)
def test_forces_fit_a_page_and_no_component_is_negative(scene):
    """At most 100 columns; no force is written with a bare minus before it; the fair question is put."""
    done = simlab("forces", scene)
    words = [line.split("  ")[-1].strip() for line in done.stdout.splitlines()]

    assert done.returncode == 0, done.stderr
    assert max(map(len, done.stdout.splitlines())) <= 100
    assert not any(line.startswith("−") or " = −" in line for line in words)
    assert "Is it a fair question?" in done.stdout


@pytest.mark.parametrize("medium", ["latex", "mathml"])
def test_forces_are_written_for_paper_and_web(medium):
    """--as latex has formulas between dollars; --as mathml is well-formed XML."""
    done = simlab("forces", KITE, "--as", medium)

    assert done.returncode == 0, done.stderr
    if medium == "latex":
        assert r"$\frac{3W\left(2\tan\alpha + 5\tan\theta\right)}{2}$" in done.stdout
    else:
        assert ElementTree.fromstring(done.stdout).tag == "article"


def test_a_frame_that_falls_out_gets_a_sentence_and_no_number(tmp_path):
    """A string that would have to push: advice, and what it would take in letters, but no newtons."""
    done = simlab("forces", spoiled(tmp_path, 'kind = "strut"', 'kind = "string"'))

    assert done.returncode == edge.NO_UNIQUE_ANSWER
    assert "goes slack" in done.stdout
    assert " N" not in "".join(done.stdout.splitlines()[1:])


@pytest.mark.parametrize(
    "flags",
    [
        ["--part", "CB"],
        ["--part", "CB", "--about", "C"],
        ["--part", "CB", "--blank"],
        ["--part", "CB", "--forces"],
        ["--apart"],
        ["--apart", "--forces"],
    ],
)
def test_parts_are_drawn(flags, tmp_path):
    """A part before, with its arms, blank, after; the frame taken apart."""
    file = tmp_path / "part.svg"
    done = simlab("picture", SCENES / "stall_trestle.toml", *flags, "-o", file)

    assert 0 == done.returncode, done.stderr
    assert "<desc" in file.read_text()


@pytest.mark.parametrize("flags", [["--blank"], ["--part", "XY"], ["--part", "CB", "--apart"]])
def test_parts_that_cannot_be_drawn_are_refused(flags, tmp_path):
    """Exit code 2, a sentence, and no file."""
    file = tmp_path / "part.svg"
    done = simlab("picture", SCENES / "stall_trestle.toml", *flags, "-o", file)

    assert 2 == done.returncode
    assert done.stderr.startswith("simlab: ")
    assert not file.exists()
