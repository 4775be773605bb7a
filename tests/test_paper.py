"""Pictures as files: SVG, PDF and PNG."""

from __future__ import annotations

import io
import os
import re
import xml.etree.ElementTree as ET
import zlib

import numpy as np
import pytest
from PIL import Image
from seen import SCENES

from simlab.errors import BadInput
from simlab.frame.scene import read_scene
from simlab.pictures import paper
from simlab.pictures.picture import Picture, picture

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def kite() -> Picture:
    """The kite lantern as the question gives it."""
    return picture(read_scene(SCENES / "kite_lantern.toml"))


def test_svg_is_xml_with_a_group_for_every_mark(kite):
    """It parses, its ids are unique, every mark has its group, and text is outlines."""
    root = ET.fromstring(kite.svg())
    ids = [element.attrib["id"] for element in root.iter() if "id" in element.attrib]

    assert root.tag == f"{SVG}svg"
    assert root.attrib["width"].endswith("pt")
    assert len(ids) == len(set(ids))
    assert {"KL", "KR", "LB", "RB", "spreader", "hinge-L", "name-K"} <= set(ids)
    assert not list(root.iter(f"{SVG}text"))
    assert not list(root.iter(f"{SVG}image"))


def test_svg_and_pdf_are_the_same_every_time(kite):
    """No date, no random id: equal marks, equal files."""
    assert kite.svg() == kite.svg()
    assert kite.pdf() == kite.pdf()
    assert "dc:date" not in kite.svg()
    assert b"CreationDate" not in kite.pdf()


def test_pdf_is_one_a4_page_of_paths(kite):
    """The page is 297 x 210 mm, and its content is paths: no fonts, no pictures."""
    content = kite.pdf()
    (box,) = re.findall(rb"/MediaBox \[ ([\d. ]+) \]", content)
    streams = [zlib.decompress(s) for s in re.findall(rb"stream\r?\n(.*?)\r?\nendstream", content, re.S)]

    assert content.startswith(b"%PDF-1.4")
    assert content.rstrip().endswith(b"%%EOF")
    assert [float(v) / 72 * 25.4 for v in box.split()] == pytest.approx([0, 0, 297, 210], abs=0.01)
    assert b" re\n" in streams[0] or b" l\n" in streams[0]
    assert b"BT" not in b" ".join(streams).split()
    assert b"/Subtype /Image" not in content


def test_png_holds_the_pixels(kite):
    """Read back by Pillow, the file has the canvas's own pixels."""
    with Image.open(io.BytesIO(kite.png(270))) as image:
        assert (np.asarray(image) == kite.pixels(270)[..., :3]).all()


@pytest.mark.parametrize("name", ["a.svg", "b.pdf", "c.PNG"])
def test_write_goes_by_the_name(kite, tmp_path, name):
    """Each kind of file begins as its kind does, and nothing else is left in the folder."""
    kite.write(tmp_path / name)
    start = {"svg": b"<?xml", "pdf": b"%PDF", "PNG": b"\x89PNG"}[name[2:]]

    assert (tmp_path / name).read_bytes().startswith(start)
    assert os.listdir(tmp_path) == [name]


@pytest.mark.parametrize("name", ["a.gif", "a", "missing/a.svg"])
def test_names_that_cannot_be_written_are_bad_input(kite, tmp_path, name):
    """Another kind of file or a missing folder: a message that names the file."""
    with pytest.raises(BadInput, match=r"a"):
        kite.write(tmp_path / name)

    assert os.listdir(tmp_path) == []


def test_a_failed_write_leaves_the_old_file_as_it_was(kite, tmp_path, monkeypatch):
    """When the disk is full, the old file stays and no part of the new one."""
    target = tmp_path / "kite.svg"
    target.write_text("old")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(paper.os, "replace", full)
    with pytest.raises(BadInput, match="No space left on device"):
        kite.write(target)

    assert target.read_text() == "old"
    assert os.listdir(tmp_path) == ["kite.svg"]


def test_a_notebook_shows_the_svg(kite):
    """The display hook of notebooks gives the SVG."""
    assert kite._repr_svg_() == kite.svg()
