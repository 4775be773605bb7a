"""What a scene asks, and what it gives besides, read into measures."""

from __future__ import annotations

import re
from collections.abc import Mapping

from simlab.errors import BadInput, nearest
from simlab.frame import expression
from simlab.frame.manuscript import Manuscript
from simlab.frame.model import Body, Contact, Joint, Link, Name, Support, Vec
from simlab.frame.points import cross, dot, minus, of_kind
from simlab.frame.quantity import FORCE, MOMENT, NUMBER, Dim, Quantity
from simlab.frame.question import Asked, AskedKind, Given

_ALLOWED = (
    'Ask for "thrust in ..." or "tension in ..." of a light member; "force at POINT on BODY" at a hinge or '
    'contact, "horizontal force at ..." or "vertical force at ..." of it; "reaction at POINT" of a '
    'support, "normal reaction at ...", "friction at ...", "coefficient of friction at ..." of a contact; '
    '"moment at POINT" built in; "least x", "greatest x", "range of x" or "x" of a letter to be found; '
    '"distance A to B", "height of A above B", "angle of AB to the horizontal" or "vertical", "angle '
    'between AB and BC"; "value of EXPRESSION".'
)
_OF_CONTACT: Mapping[str, AskedKind] = {
    "normal reaction": "normal",
    "normal force": "normal",
    "friction": "friction",
    "coefficient of friction": "coefficient",
}
_PART: Mapping[str, AskedKind] = {"": "force", "horizontal ": "across", "vertical ": "upwards"}
_OF_LETTER: Mapping[str, AskedKind] = {"least": "least", "greatest": "greatest", "range of": "range"}
_RELATION = re.compile(r"<=|>=|=")


class Questions:
    """Reads the phrases of `asked` and `given` of one scene."""

    def __init__(
        self,
        manuscript: Manuscript,
        bodies: Mapping[Name, Body],
        joints: Mapping[Name, Joint],
        links: Mapping[Name, Link],
        supports: Mapping[Name, Support],
        contacts: Mapping[Name, Contact],
    ) -> None:
        self.manuscript = manuscript
        self.bodies = bodies
        self.joints = joints
        self.links = links
        self.supports = supports
        self.contacts = contacts

    def asked(self, words: str) -> Asked:
        """One phrase of `asked`."""
        return self._force(words) or self._of_letter(words) or self._value(words, "asked")

    def given(self, words: str) -> Given:
        """One phrase of `given`: left = right, left <= right or left >= right."""
        relation = _RELATION.findall(words)
        if len(relation) != 1:
            message = (
                f'"{words}" is no condition. Write "tension in rope = T", or <= or >= between two things.'
            )
            raise self.manuscript.error(message, "", "given")
        left, right = (side.strip() for side in _RELATION.split(words))
        force, value = self._force(left), self._expression(right, "given")
        if force is not None:
            if relation[0] == ">=":
                turned: Mapping[AskedKind, AskedKind] = {"thrust": "tension", "tension": "thrust"}
                if force.measure not in turned:
                    message = f'"{words}": only <= or = can be said of a {force.measure}.'
                    raise self.manuscript.error(message, "", "given")
                force = Asked(left, turned[force.measure], force.at)
                value = -value
            dim = {"coefficient": NUMBER, "moment": MOMENT}.get(force.measure, FORCE)
            value = self._like(words, value, dim)
        else:
            quantity = self._expression(left, "given")
            try:
                quantity - value  # the two must be alike
            except BadInput as error:
                raise self.manuscript.error(f'"{words}": {error}', "", "given") from None
            if relation[0] == ">=":
                quantity, value = -quantity, -value
            force = Asked(left, "value", "", value=quantity)
        return Given(words, force, "=" if relation[0] == "=" else "<=", value)

    def _like(self, words: str, value: Quantity, dim: Dim) -> Quantity:
        try:
            return of_kind(value, dim)
        except BadInput as error:
            raise self.manuscript.error(f'"{words}": {error}', "", "given") from None

    def _force(self, words: str) -> Asked | None:
        """A force, or a part or ratio of forces; None if the phrase speaks of none that is there."""
        member = re.fullmatch(r"(thrust|tension) (?:in|of) (.+)", words)
        if member and member[2] in self.links:
            return Asked(words, "thrust" if member[1] == "thrust" else "tension", member[2])
        force = re.fullmatch(r"(|horizontal |vertical )force at (.+) on (.+)", words)
        if force:
            return self._on_body(words, _PART[force[1]], force[2], force[3])
        part = re.fullmatch(r"(horizontal |vertical )reaction at (.+)", words)
        if part:
            whole = self._force(f"reaction at {part[2]}")
            return None if whole is None else Asked(words, _PART[part[1]], whole.at)
        moment = re.fullmatch(r"moment at (.+)", words)
        if moment and moment[1] in self.joints and self.joints[moment[1]].kind == "built-in":
            return Asked(words, "moment", moment[1], self.joints[moment[1]].bodies[1])
        touch = re.fullmatch(
            r"(normal reaction|normal force|friction|coefficient of friction) at (.+)", words
        )
        if touch:
            contact = self._contact(touch[2])
            return None if contact is None else Asked(words, _OF_CONTACT[touch[1]], contact)
        reaction = re.fullmatch(r"reaction at (.+)", words)
        if reaction:
            held = [s for s in self.supports.values() if reaction[1] in s.points]
            if len(held) == 1:
                i = held[0].points.index(reaction[1])
                return Asked(words, "reaction", held[0].joints_or_contacts[i])
            contact = self._contact(reaction[1])
            return None if contact is None else Asked(words, "reaction", contact)
        return None

    def _on_body(self, words: str, measure: AskedKind, at: str, on: str) -> Asked | None:
        if at in self.joints and on in self.joints[at].bodies:
            return Asked(words, measure, at, on)
        touching = [
            c.name
            for c in self.contacts.values()
            if at in (c.on.point, c.name) and on in (c.on.body, c.by) and on in self.bodies
        ]
        return Asked(words, measure, touching[0], on) if len(touching) == 1 else None

    def _contact(self, words: str) -> Name | None:
        """The contact meant by its name, its support's, its point, or "P on AB"; None if there is none."""
        point, _, body = words.partition(" on ")
        found = [
            contact.name
            for contact in self.contacts.values()
            if words in (contact.name, contact.by)
            or (point == contact.on.point and (not body or body in (contact.on.body, contact.by)))
        ]
        if len(found) > 1:
            message = f'"{words}" may be any of: {", ".join(found)}. Say "at {found[0]}".'
            raise self.manuscript.error(message, "", "asked")
        return found[0] if found else None

    def _of_letter(self, words: str) -> Asked | None:
        """A bound of a letter to be found."""
        bound = re.fullmatch(r"(least|greatest|range of) (.+)", words)
        if bound is None:
            return None
        name = bound[2]
        symbol = self.manuscript.symbols.get(name)
        if symbol is None or not symbol.found:
            letters = [n for n, s in self.manuscript.symbols.items() if s.found]
            raise self.manuscript.error(
                f'"{words}": {name} is no letter to be found. Letters to be found: '
                f'{", ".join(letters) or "none"} (give one by between = ["...", "..."] in [symbols]).'
                + nearest(name, letters),
                "",
                "asked",
            )
        return Asked(words, _OF_LETTER[bound[1]], name)

    def _value(self, words: str, key: str) -> Asked:
        """An expression in the letters, distances and angles."""
        written = words.removeprefix("value of ")
        if written == words and words not in self.manuscript.symbols and not _MEASURED.match(words):
            raise self.manuscript.error(f'"{words}" asks for nothing here. {_ALLOWED}', "", key)
        return Asked(
            words,
            "value",
            written if written in self.manuscript.symbols else "",
            value=self._expression(written, key),
        )

    def _expression(self, words: str, key: str) -> Quantity:
        """An expression in which distances and angles of the frame may stand."""
        letters = dict(self.manuscript.letters)

        def letter(match: re.Match[str]) -> str:
            name = f"measured_{len(letters)}"
            letters[name] = self._measured(match[0], key)
            return f"({name})"

        try:
            return expression.read(_MEASURED.sub(letter, words), letters)
        except BadInput as error:
            raise self.manuscript.error(f'"{words}": {error}', "", key) from None

    def _measured(self, words: str, key: str) -> Quantity:
        """A distance, a height or an angle, exactly."""
        between = _DISTANCE.fullmatch(words)
        if between:
            for name in between.groups():
                self.manuscript.point(self.manuscript.declared(name, "", key), "", key)
            return self.manuscript.points.distance(between[1], between[2])
        height = _HEIGHT.fullmatch(words)
        if height:
            a, b = (
                self.manuscript.point(self.manuscript.declared(n, "", key), "", key)
                for n in height.groups()
            )
            return a[1] - b[1]
        two = _BETWEEN.fullmatch(words)
        if two:
            return self._angle_between(two[1], two[2], key)
        one = _ANGLE.fullmatch(words)
        if one is None:
            raise self.manuscript.error(f'"{words}" measures nothing. {_ALLOWED}', "", key)
        a, b = self._ends(one[1], key)
        across, up = (self._positive(part) for part in minus(b, a))
        if one[2] == "vertical":
            across, up = up, across
        if self.manuscript.number(across) == 0:
            return Quantity.pi() / Quantity.of(2)
        return (up / across).function("atan")

    def _angle_between(self, first: Name, second: Name, key: str) -> Quantity:
        """The angle at the point that two lines share, from their ends."""
        ends, others = self._named_ends(first, key), self._named_ends(second, key)
        shared = [name for name in ends if name in others]
        if len(shared) != 1:
            message = f'"angle between {first} and {second}": they share no end.'
            raise self.manuscript.error(message, "", key)
        point, far, other = (
            self.manuscript.point(n, "", key)
            for n in (
                shared[0],
                *(n for n in ends if n != shared[0]),
                *(n for n in others if n != shared[0]),
            )
        )
        a, b = minus(far, point), minus(other, point)
        across = self._positive(cross(a, b))
        if self.manuscript.number(across) == 0:
            return Quantity.zero() if self.manuscript.number(dot(a, b)) > 0 else Quantity.pi()
        return Quantity.pi() / Quantity.of(2) - (dot(a, b) / across).function("atan")

    def _named_ends(self, name: Name, key: str) -> tuple[Name, Name]:
        if name in self.manuscript.entry.rods:
            return self.manuscript.entry.rods[name].ends
        if name in self.links:
            first, second = (place.point for place in self.links[name].ends)
            return first, second
        pairs = [(name[:i], name[i:]) for i in range(1, len(name))]
        for a, b in pairs:  # "AC": the line of the points A and C
            if a in self.manuscript.entry.points and b in self.manuscript.entry.points:
                return a, b
        known = [*self.manuscript.entry.rods, *self.links]
        raise self.manuscript.error(
            f'"{name}" is no rod or light member, and not two points.' + nearest(name, known), "", key
        )

    def _ends(self, name: Name, key: str) -> tuple[Vec, Vec]:
        a, b = (self.manuscript.point(end, "", key) for end in self._named_ends(name, key))
        return a, b

    def _positive(self, quantity: Quantity) -> Quantity:
        return -quantity if self.manuscript.number(quantity) < 0 else quantity


_POINT = r"[^\W_][\w']*"
_DISTANCE = re.compile(rf"distance ({_POINT}) to ({_POINT})")
_HEIGHT = re.compile(rf"height of ({_POINT}) above ({_POINT})")
_ANGLE = re.compile(r"angle of ([^()+*/^=<>]+?) to the (horizontal|vertical)")
_BETWEEN = re.compile(rf"angle between ({_POINT}) and ({_POINT})")
_MEASURED = re.compile(
    "|".join(re.sub(r"\((?!\?)", "(?:", p.pattern) for p in (_DISTANCE, _HEIGHT, _ANGLE, _BETWEEN))
)
