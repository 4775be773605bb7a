"""Sheets: what stands on them, as HTML that needs nothing else, and as PDF that is read back by pypdf."""

from __future__ import annotations

import io
import os
import re
import shutil
import subprocess
from base64 import b64decode
from dataclasses import replace
from html import unescape
from itertools import pairwise
from math import radians, tan
from pathlib import Path
from xml.etree import ElementTree

import pypdf
import pytest
from typer.testing import CliRunner

from simlab.commands.cli import app
from simlab.commands.sheet_parts import sheet_of
from simlab.frame.scene import read_scene
from simlab.pictures import paper
from simlab.pictures.palette import GREY, INK, contrast
from simlab.results.conventions import HOUSE, Conventions
from simlab.sheet.press import pdf
from simlab.sheet.sheet import Sheet
from simlab.sheet.web import html
from simlab.statics.shape import find

SCENES = Path(__file__).parent.parent / "scenes"
TRESTLE = SCENES / "stall_trestle.toml"
HTML = "{http://www.w3.org/1999/xhtml}"
MATHS = "{http://www.w3.org/1998/Math/MathML}"
SVG = "{http://www.w3.org/2000/svg}"
CHROMIUM = shutil.which("chromium")
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-pdf-header-footer",
)
# Sizes in points: ISO 216, ANSI/ASME Y14.1.
A4 = (210 / 25.4 * 72, 297 / 25.4 * 72)
LETTER = (8.5 * 72, 11 * 72)
# By hand: moments of the whole about A give 49W/20 at B, of CB about C then T × 3 cos = 13W/4 × 3 sin,
# at W = 30 N and 25 degrees.
TENSION = f"{13 / 4 * 30 * tan(radians(25)):.1f} N"


def sheet_at(path: Path, conventions: Conventions = HOUSE) -> Sheet:
    """The sheet of a scene file."""
    frame = read_scene(path)
    return sheet_of(find(frame), conventions.of(frame), path.read_text())


@pytest.fixture(scope="module")
def trestle() -> Sheet:
    """The sheet of the stall trestle."""
    return sheet_at(TRESTLE)


@pytest.fixture(scope="module")
def document(trestle) -> ElementTree.Element:
    """Both sheets as one web page, read as XML."""
    return ElementTree.fromstring(html(trestle, "both"))


def text_of(content: bytes) -> str:
    """All words of a PDF, single spaces between them."""
    pages = pypdf.PdfReader(io.BytesIO(content)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def size_of(content: bytes) -> tuple[float, float]:
    """Width and height of a PDF's first page [points]."""
    box = pypdf.PdfReader(io.BytesIO(content)).pages[0].mediabox
    return float(box.width), float(box.height)


# HTML


def test_the_page_needs_nothing_from_anywhere(trestle):
    """No address but the names of XML's namespaces; every picture and the style are in the file."""
    text = html(trestle, "both")
    addresses = set(re.findall(r"https?://[^\"' )<]+", text))
    sources = re.findall(r"(?:src|href|url)\s*[=(]\s*[\"']?([^\"' )]{5})", text)

    assert addresses == {tag.strip("{}") for tag in (HTML, MATHS)}
    assert set(sources) == {"data:"}
    assert "@import" not in text
    assert "<script" not in text


def test_the_page_is_in_order(document):
    """Language, one title, headings that go down one level at a time, mathematics in MathML."""
    levels = [
        int(one.tag[-1]) for one in document.iter() if re.fullmatch(rf"{re.escape(HTML)}h\d", one.tag)
    ]

    assert document.attrib["lang"] == "en"
    assert [one.text for one in document.iter(f"{HTML}title")] == ["The stall trestle"]
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))
    assert len(list(document.iter(f"{MATHS}mfrac"))) > 10


def test_every_picture_says_what_it_shows(document):
    """Each has its own words, and is a drawing of paths on white that needs nothing else."""
    pictures = list(document.iter(f"{HTML}img"))
    alts = [picture.attrib["alt"] for picture in pictures]

    assert len(pictures) >= len(("question", "blank", "before", "after"))
    assert len(set(alts)) == len(alts)
    assert all(len(alt.split()) > 3 for alt in alts)
    for picture in pictures:
        root = ElementTree.fromstring(b64decode(picture.attrib["src"].partition(",")[2]))
        assert root.tag == f"{SVG}svg"
        assert list(root.iter(f"{SVG}path"))
        assert not list(root.iter(f"{SVG}image"))


def test_pupils_do_not_see_the_answers(trestle):
    """Neither the values nor a word of the solution is on their sheet; their answers have a rule each."""
    page = html(trestle, "pupils")
    root = ElementTree.fromstring(page)
    blanks = [one for one in root.iter(f"{HTML}p") if one.attrib.get("class") == "blanks"]

    for word in (TENSION, "simulat", "Moments", "Worked"):
        assert word not in page
        assert word in html(trestle, "teacher")
    assert len(blanks) == 1 + len(read_scene(TRESTLE).asked)
    assert len(list(root.iter(f"{HTML}hr"))) == trestle.task.lines


def test_both_is_one_after_the_other(trestle):
    """The pupils' sheet begins it; the teacher's follows on a new sheet of paper, the caution on each."""
    page = html(trestle, "both")
    pupils, _, teacher = page.partition('<div class="break">')

    assert "Name" in pupils
    assert "for the teacher" in teacher
    assert pupils.count("licensed engineer") == teacher.count("licensed engineer") == 1


def test_the_teacher_sees_both_roads(trestle):
    """Exact and simulated beside each other in three figures, how far they agree, and what that proves."""
    text = unescape(re.sub(r"<[^>]+>", " ", html(trestle, "teacher")))

    assert len(re.findall(re.escape(TENSION), text)) >= len(("answer", "exact", "simulated"))
    assert re.search(r"agree to \d+ figures", text)
    assert "not the model" in text


def test_words_can_be_read_on_white():
    """WCAG 2.2, 1.4.3: at least 4.5 : 1."""
    assert min(contrast(colour, "#FFFFFF") for colour in (INK, GREY)) >= 4.5


def test_a_title_may_have_any_letters(trestle):
    """What means something to XML or to typst stands for itself."""
    odd = replace(trestle, title='A & B <#$ "x" _5 %_ `\\ @y')

    assert ElementTree.fromstring(html(odd)).findtext(f".//{HTML}h1") == odd.title
    assert odd.title in text_of(pdf(odd, "pupils")).replace("“", '"').replace("”", '"')


# PDF


@pytest.mark.parametrize(("size", "points"), [("a4", A4), ("letter", LETTER)])
def test_a_pdf_has_its_papers_size(trestle, size, points):
    """A4 and Letter; a title and a language for screen readers, no date, and the words of the question."""
    content = pdf(trestle, "teacher", paper=size)
    reader = pypdf.PdfReader(io.BytesIO(content))

    assert content.startswith(b"%PDF-")
    assert size_of(content) == pytest.approx(points, abs=0.5)
    assert reader.metadata is not None
    assert reader.metadata.title == trestle.title
    assert reader.metadata.creation_date is None
    assert reader.trailer["/Root"]["/Lang"] == "en"
    assert "A market stall stands on a trestle" in text_of(content)
    assert TENSION in text_of(content)


def test_a_pdf_for_both_has_the_pages_of_each(trestle):
    """As many pages as the two sheets have; the pupils' tell no answer."""
    counts = {who: len(pypdf.PdfReader(io.BytesIO(pdf(trestle, who))).pages) for who in ("pupils", "both")}

    assert 2 <= counts["pupils"] <= 3
    assert counts["pupils"] < counts["both"] <= 9
    assert TENSION not in text_of(pdf(trestle, "pupils"))


def test_the_same_sheet_gives_the_same_bytes(trestle):
    """No date, no chance."""
    assert pdf(trestle) == pdf(trestle)
    assert html(trestle) == html(trestle)


def test_space_is_ruled_squared_or_none(trestle):
    """What pupils write on: rules, a drawing of squares, or nothing."""
    ruled, squared, none = (html(trestle, "pupils", space) for space in ("ruled", "squared", "none"))

    assert "<hr/>" in ruled
    assert "<pattern" in squared
    assert "<hr/>" not in squared + none
    assert "Working" not in none
    assert pdf(trestle, "pupils", "squared") != pdf(trestle, "pupils", "ruled")


# other questions


def test_what_cannot_rest_has_a_sheet_too(tmp_path):
    """The question, room to work, and the sentence that simlab forces prints; exit code 3."""
    scene = tmp_path / "folds.toml"
    scene.write_text(FOLDS)
    done = CliRunner().invoke(app, ["sheet", str(scene), "-o", str(tmp_path / "folds.html")])
    forces = CliRunner().invoke(app, ["forces", str(scene)]).output

    assert done.exit_code == 3
    assert "The frame cannot rest in this shape" in forces
    assert "The frame cannot rest in this shape" in (tmp_path / "folds.html").read_text()


FOLDS = """
title = "Two rods"
question = "Two rods AB, BC hang. (a) Find the force at B. (b) Say why."
source = "our own"
asked = ["force at B on BC"]
[symbols]
W = { meaning = "weight", shown = "2 N" }
[points]
A = ["0", "0"]
B = ["1 m", "0"]
C = ["2 m", "0"]
[rods]
AB = { ends = ["A", "B"], weight = "W" }
BC = { ends = ["B", "C"], weight = "W" }
[supports]
wall = { kind = "fixed hinge", at = "A" }
"""


def test_something_to_be_found_has_its_answer():
    """By hand: N at the wall is 4 mu W/(1 + mu^2), and moments about A give 3a + 3y = 6a (tan + mu) N/W."""
    push = 4 * 0.4 / (1 + 0.4**2)
    furthest = 2 * (tan(radians(60)) + 0.4) * push - 1
    sheet = sheet_at(SCENES / "shed_ladder.toml")
    text = unescape(re.sub(r"<[^>]+>", " ", html(sheet, "teacher")))

    assert f"{furthest:.2f} m" in text.replace("\u00a0", " ")
    assert "on the point of slipping at A and B" in text


def test_a_class_has_its_words():
    """A class that says bar and compression reads them on its sheet."""
    conventions = Conventions(rod="bar", thrust="compression")
    text = html(sheet_at(SCENES / "kite_lantern.toml", conventions), "both")

    assert "Find the compression in the spreader" in text
    assert "thrust" not in unescape(re.sub(r"<[^>]+>", " ", text))


# files


@pytest.mark.parametrize("name", ["a.docx", "a", "missing/a.pdf", "."])
def test_other_names_are_bad_input(tmp_path, name):
    """Another kind of file, a missing folder, a folder: exit code 2 before anything is solved."""
    done = CliRunner().invoke(app, ["sheet", str(TRESTLE), "-o", str(tmp_path / name)])

    assert done.exit_code == 2
    assert "Traceback" not in done.output
    assert os.listdir(tmp_path) == []


def test_a_failed_write_keeps_the_old_sheet(tmp_path, monkeypatch):
    """When the disk is full, the old file stays and no part of the new one."""
    target = tmp_path / "trestle.html"
    target.write_text("old")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(paper.os, "replace", full)
    done = CliRunner().invoke(app, ["sheet", str(TRESTLE), "-o", str(target), "--for", "pupils"])

    assert done.exit_code == 2
    assert target.read_text() == "old"
    assert os.listdir(tmp_path) == ["trestle.html"]


@pytest.mark.skipif(CHROMIUM is None, reason="needs chromium")
@pytest.mark.parametrize(("size", "points"), [("a4", A4), ("letter", LETTER)])
def test_a_browser_prints_it(trestle, tmp_path, size, points):
    """Chromium prints it on the paper it says, with mathematics, in a number of pages near the PDF's."""
    page, printed = tmp_path / "sheet.html", tmp_path / "sheet.pdf"
    page.write_text(html(trestle, "both", paper=size))
    command = [
        str(CHROMIUM),
        *FLAGS,
        f"--user-data-dir={tmp_path / 'profile'}",
        f"--print-to-pdf={printed}",
    ]
    subprocess.run([*command, page.as_uri()], check=True, capture_output=True, timeout=120)
    content = printed.read_bytes()

    assert size_of(content) == pytest.approx(points, abs=1.0)
    assert TENSION in text_of(content)
    pages = len(pypdf.PdfReader(io.BytesIO(content)).pages)
    assert abs(pages - len(pypdf.PdfReader(io.BytesIO(pdf(trestle, "both", paper=size))).pages)) <= 2
