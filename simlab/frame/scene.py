"""A scene file -> a Frame. Every message that a scene author can see is made here or just below."""

from __future__ import annotations

from pathlib import Path

from simlab.errors import nearest
from simlab.frame.asked import Questions
from simlab.frame.bodies import Bodies
from simlab.frame.connections import Connections
from simlab.frame.film_table import film_wishes
from simlab.frame.loads import Loads
from simlab.frame.manuscript import Manuscript
from simlab.frame.model import Frame
from simlab.frame.quantity import Quantity
from simlab.frame.question import Name
from simlab.frame.scene_file import SceneText
from simlab.frame.soundness import check
from simlab.frame.supports import Supports


def read_scene(path: str | Path, gravity: Quantity | None = None, letter: bool = False) -> Frame:
    """Read a scene file; raises SceneError naming the file, the key, what came and what is allowed.

    gravity : a class's g [m/s^2] in place of the scene's own
    letter : whether g is a letter, so that the weights of masses are m g

    >>> read_scene("scenes/kite_lantern.toml").brace
    'spreader'
    """
    path = Path(path)
    return _frame(Manuscript(SceneText.of_file(path), gravity, letter), path.stem)


def parse_scene(
    text: str, name: str = "scene", gravity: Quantity | None = None, letter: bool = False
) -> Frame:
    """Read a scene from text, as `read_scene` does from a file."""
    return _frame(Manuscript(SceneText(text, name), gravity, letter), name)


def _frame(manuscript: Manuscript, name: Name) -> Frame:
    """The whole frame, checked."""
    entry = manuscript.entry
    points = {point: manuscript.point(point, "points", point) for point in entry.points}
    bodies = dict(Bodies(manuscript).bodies)
    tied = Connections(manuscript, bodies)
    held = Supports(manuscript, bodies, tied)
    laid = Loads(manuscript, bodies, tied)
    questions = Questions(manuscript, bodies, tied.joints, tied.links, held.supports, held.contacts)
    frame = Frame(
        name=name,
        title=entry.title,
        question=entry.question.strip(),
        source=entry.source,
        symbols=manuscript.symbols,
        points={**points, **laid.middles},
        bodies=bodies,
        joints=tied.joints,
        links=tied.links,
        contacts=held.contacts,
        supports=held.supports,
        loads=laid.loads,
        gravity=manuscript.gravity,
        has_masses=manuscript.has_masses,
        asked=tuple(questions.asked(words) for words in entry.asked),
        brace=_brace(manuscript),
        expect=entry.expect,
        given=tuple(questions.given(words) for words in entry.given),
        film=film_wishes(manuscript.text, entry.film),
    )
    check(frame, manuscript.error)
    return frame


def _brace(manuscript: Manuscript) -> Name | None:
    brace, members = manuscript.entry.brace, manuscript.entry.members
    if brace is not None and brace not in members:
        known = ", ".join(members) or "none"
        raise manuscript.error(
            f'"{brace}" is not a light member. Light members: {known}.' + nearest(brace, members),
            "",
            "brace",
        )
    return brace
