"""What the README shows is what the commands print; what it links to is there.

python tests/house_docs.py     writes the outputs anew
"""

from __future__ import annotations

import re
import shlex

import pytest
from command_line import ROOT, simlab

README = ROOT / "README.md"
BLOCK = re.compile(r"```console\n\$ (simlab [^\n]*)\n(.*?)```", re.DOTALL)
# Differences between the roads are rounding: other processors round otherwise.
ROUNDING = re.compile(r"\d\.\de[-+]\d\d|agree to \d+ figures")


def output_of(command: str) -> str:
    """What a command prints, without trailing spaces and empty lines."""
    done = simlab(*shlex.split(command)[1:])
    lines = [line.rstrip() for line in (done.stdout + done.stderr).splitlines()]
    return "\n".join(line for line in lines if line) + "\n"


@pytest.mark.parametrize(("command", "shown"), BLOCK.findall(README.read_text()))
def test_the_readme_shows_real_output(command, shown):
    """Every output in the README is what its command prints, up to the last bits of rounding."""
    assert ROUNDING.sub("#", output_of(command)) == ROUNDING.sub("#", shown)


def test_the_readme_begins_with_the_job_in_one_paragraph():
    """The paragraph under the title says what simlab does, before anything else."""
    title, paragraph, *_ = README.read_text().split("\n\n")

    assert title == "# simlab"
    assert paragraph.startswith("simlab does the whole job")


def test_the_readme_shows_the_flagship_scene_as_it_is():
    """The scene in the README is the file."""
    assert f"```toml\n{(ROOT / 'scenes' / 'kite_lantern.toml').read_text()}```" in README.read_text()


def test_the_readme_shows_the_class_file_as_it_is():
    """The class file in the README is the one that its output is of."""
    assert f"```toml\n{(ROOT / 'classes' / 'harbour_school.toml').read_text()}```" in README.read_text()


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md"])
def test_links_lead_somewhere(page):
    """Every relative link of a page leads to a file of the repository."""
    for target in re.findall(r"\]\(([^)#]+)\)", (ROOT / page).read_text()):
        if "://" not in target:
            assert (ROOT / target).exists(), target


def test_the_caution_is_said():
    """README and films say that this is no basis for building or hanging anything."""
    from simlab.results.wording import CAUTION

    assert "licensed engineer" in README.read_text()
    assert "No basis for building or hanging anything" in CAUTION


def write() -> None:
    """Put the present outputs, and the flagship scene, into the README."""
    text = BLOCK.sub(lambda m: f"```console\n$ {m[1]}\n{output_of(m[1])}```", README.read_text())
    scene = (ROOT / "scenes" / "kite_lantern.toml").read_text()
    whole = re.compile(r"```toml\n.*?```", re.DOTALL)
    README.write_text(whole.sub(lambda _: f"```toml\n{scene}```", text, count=1))


if __name__ == "__main__":
    write()
