"""Is it a fair question? What it leaves unsaid, what it does not need, where a slip goes unseen."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import combinations
from math import hypot

from simlab.errors import BadInput
from simlab.exact.field import Field
from simlab.exact.form import textbook
from simlab.frame.model import GROUND, Body, Frame, Name, Place, Vec
from simlab.frame.quantity import Quantity
from simlab.results.fairness import Fairness, Placed, Unstated, Unused
from simlab.results.statics import Statics
from simlab.statics.blind import blind
from simlab.statics.one_sided import named

# Words with which a question says it, in whatever form (common practice, no source).
SMOOTH = r"smooth|frictionless|no friction|without friction"
HINGED = rf"{SMOOTH}|free(ly)?\b|pin.?joint|pinned"
UNIFORM = r"uniform|centre of (mass|gravity)|centroid|acts at|weighs? .* at"
LIGHT = r"light|weightless|massless|negligible|no weight|without weight|weights? of the .* neglect"
UPRIGHT = r"vertical plane|upright plane|plane is vertical|(level|horizontal|flat) (table|plane)"
SYMMETRIC = r"symmetr"
ROUGH = r"rough|friction"
_NUMBER = re.compile(r"(?<![\w.])\d+(?:\.\d+)?")
_FACTOR = re.compile(
    r"(?<![\w.])\d+(?:\.\d+)?(?:/\d+)?\*?(?!(?:m|cm|mm|kg|g|N|kN)\b)[A-Za-z]\w?\b"  # 4a, 2p, 4*ay
    r"|\^ ?\d+|/\d+|\bg (?:=|is) \d+(?:\.\d+)?"  # x^2, a/4, g = 9.8
)
_SCALES = tuple(Fraction(10) ** power for power in (-3, -2, 0, 2, 3))  # mm, cm, kN
HELD = r"notch|pinned|hinged to|jointed to|fixed to|attached|rough|friction"


def fairness(statics: Statics, scene: str = "") -> Fairness:
    """Every remark on a question; `scene` is the text of its scene file, where numbers are looked for.

    Expects the question in English; looks for words, not for meaning.
    """
    frame = statics.frame
    return Fairness(
        tuple(_unstated(frame)),
        tuple(_placed(frame)),
        tuple(_unused(statics, scene)),
        blind(statics, _says(frame, SYMMETRIC)),
    )


def _says(frame: Frame, pattern: str) -> bool:
    return re.search(pattern, " ".join(frame.question.lower().split())) is not None


def _unstated(frame: Frame) -> Iterator[Unstated]:
    if any(j.kind == "pin" and len(j.bodies) > 1 for j in frame.joints.values()) and not _says(
        frame, HINGED
    ):
        yield Unstated("smooth", "the hinges")
    touching = [contact for contact in frame.contacts.values() if not contact.rough]
    if touching and not _says(frame, SMOOTH):
        yield Unstated("smooth", _named(frame, (contact.by for contact in touching)))
    if len(touching) < len(frame.contacts) and not _says(frame, ROUGH):
        rough = [contact for contact in frame.contacts.values() if contact.rough]
        yield Unstated("rough", _named(frame, (contact.by for contact in rough)))
    if any(map(_is_uniform, frame.bodies.values())) and not _says(frame, UNIFORM):
        yield Unstated("uniform", "the rods")
    light = [named(link) for link in frame.links.values()]
    light += [f"the rod {name}" for name, body in frame.bodies.items() if body.is_light]
    if light and not _says(frame, LIGHT):
        yield Unstated("light", ", ".join(light))
    if not _says(frame, UPRIGHT):
        yield Unstated("in a vertical plane", "all of it")


def _named(frame: Frame, names: Iterable[Name]) -> str:
    """Supports as a reader names them, and bodies by their names."""
    words = (f"the {name.replace('_', ' ')}" if name in frame.supports else name for name in names)
    return ", ".join(dict.fromkeys(words))


def _is_uniform(body: Body) -> bool:
    """Whether a heavy rod's centre is half-way."""
    if body.is_light or body.kind != "rod":
        return False
    (ax, ay), (bx, by) = body.outline
    two = Quantity.of(2)
    gaps = ax + bx - two * body.centre[0], ay + by - two * body.centre[1]
    return all(gap.expr.expand() == 0 for gap in gaps)


def _placed(frame: Frame) -> Iterator[Placed]:
    """What the ends of struts need on sloping rods; rods alike are named once."""
    said = _says(frame, HELD)
    for name, link in frame.links.items():
        told: list[Quantity] = []
        for place in link.ends:
            body = frame.bodies.get(place.body)
            if link.kind != "strut" or body is None or body.kind != "rod":
                continue
            friction = _least_friction(frame, body, *(_position(frame, end) for end in link.ends))
            if friction is not None and not friction.is_zero and friction not in told:
                told.append(friction)
                yield Placed(name, body.name, friction, said)


def _position(frame: Frame, place: Place) -> Vec:
    """Where a place is."""
    if place.body in frame.bodies:
        return frame.bodies[place.body].points[place.point]
    return frame.points[place.point if place.body == GROUND else frame.joints[place.body].point]


def _least_friction(frame: Frame, rod: Body, start: Vec, end: Vec) -> Quantity | None:
    """The tangent of the angle between a strut from start to end and the rod's normal.

    mu >= |d . r| / |d x r|   for the directions d of the strut and r of the rod; None for a strut along it.
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    (ax, ay), (bx, by) = rod.outline
    along, across = (q.expr for q in (dx * (bx - ax) + dy * (by - ay), dx * (by - ay) - dy * (bx - ax)))
    try:
        field = Field.containing([along, across], {n: v.expr for n, v in frame.shown.items()})
        pull, push = field.element(along), field.element(across)
        if push.sign() == 0:
            return None
        slope = pull / push
        return Quantity(textbook(slope if slope.sign() >= 0 else -slope))
    except BadInput:
        return None


def _unused(statics: Statics, scene: str) -> Iterator[Unused]:
    frame = statics.frame
    told = statics.answers or statics.found
    if statics.verdict == "determined" and told and not statics.only_here and not frame.found:
        names = set().union(*(answer.names for answer in statics.answers.values()))
        for root in statics.found.values():  # an answer may be no more than an equation
            names |= {name for side in root.equation for name in side.names}
            names |= set() if root.exact is None else root.exact.names
        for name in frame.symbols:
            if name not in names:
                is_there = re.search(rf"\b{name}\b", _without_symbols(scene)) if scene else True
                yield Unused(name, "drops out" if is_there else "is used nowhere")
    if scene:
        elsewhere = f"{scene.replace(frame.question, '')} {' '.join(_distances(frame))}"
        for number in numbers_unused(frame.question, elsewhere):
            yield Unused(number, "is used nowhere")


def _distances(frame: Frame) -> Iterator[str]:
    """The distances of named points that are decimals: a question may give lengths that points imply."""
    places = [
        tuple(part.number(frame.shown) for part in point)
        for point in frame.points.values()
        if not any(part.names for part in point)
    ]
    for (ax, ay), (bx, by) in combinations(places, 2):
        for size in (hypot(bx - ax, by - ay), abs(bx - ax), abs(by - ay)):
            yield f"{size:.6f}".rstrip("0").rstrip(".")


def _without_symbols(scene: str) -> str:
    """The scene without its table of letters and its question: where letters are used."""
    kept, inside = [], False
    for line in re.sub(r'"""(.|\n)*?"""', "", scene).splitlines():
        if re.match(r"\s*\[[a-z]", line):
            inside = line.strip() == "[symbols]"
        if not inside and not line.startswith(("title", "asked")):
            kept.append(line)
    return "\n".join(kept)


def numbers_unused(question: str, elsewhere: str) -> tuple[str, ...]:
    """Numbers of the question that the rest of the scene has not, in the same or in another unit.

    >>> numbers_unused("A rod of 6 kg and length 50 cm, at 40 degrees.", 'mass = "6 kg", a = "0.5 m"')
    ('40',)
    """
    known = {Fraction(number) for number in _NUMBER.findall(elsewhere)}
    wide = {number * scale for number in known for scale in _SCALES}
    question = _FACTOR.sub(" ", question)  # the 4 of 4a, the 2 of x^2, the 9.8 of g = 9.8
    found = (number for number in _NUMBER.findall(question) if Fraction(number) not in wide)
    return tuple(dict.fromkeys(found))
