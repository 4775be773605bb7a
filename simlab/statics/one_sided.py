"""Members that act one way only: struts push, strings pull, smooth contacts press."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from simlab.exact.field import Element
from simlab.frame.model import Link, Name
from simlab.results.forces import Key
from simlab.statics.equations import Equations
from simlab.statics.laws import is_slack, stretched
from simlab.statics.reactions import Reactions

Kind = Literal["strut", "string", "elastic string", "contact"]

# Names that say by themselves what a light member is.
NOUNS = {
    *("bar", "brace", "cable", "chain", "cord", "elastic", "guy", "lanyard", "line", "post", "prop", "rod"),
    *("rope", "spar", "spreader", "spring", "stay", "strap", "string", "strut", "thread", "tie", "wire"),
}
_WRONG_WAY: dict[Kind, str] = {
    "strut": "pull",
    "string": "push",
    "elastic string": "push",
    "contact": "pull",
}


@dataclass(frozen=True)
class OneSided:
    """A one-sided member or contact, and the force with which it acts its own way.

    `positive` > 0: it acts so, as `does` says; = 0: it carries nothing (`idle`); < 0: it would have to
    act the other way (`fails`). `always` says that a `positive` of 0 is 0 for all values. `called`: what a
    reader calls it.
    """

    about: Name
    kind: Kind
    positive: Element
    does: str
    called: str

    @property
    def fails(self) -> bool:
        """Whether it would have to act the wrong way at the values."""
        return self.positive.sign() < 0

    @property
    def idle(self) -> bool:
        """Whether it carries nothing at the values."""
        return self.positive.sign() == 0

    @property
    def always(self) -> bool:
        """Whether it carries nothing whatever the letters are (as far as they are still in it)."""
        return self.positive.is_zero

    @property
    def words(self) -> str:
        """The condition in words, which a reader may find after "while"."""
        if self.fails:
            return f"{self.does} (here it would have to {_WRONG_WAY[self.kind]})"
        return f"{self.does} or, as here, carries no force" if self.idle else self.does


def named(link: Link) -> str:
    """What a reader calls a member: "the rope", "the wall tie", but "the string AC", "the string left"."""
    words = link.name.replace("_", " ")
    return f"the {words}" if words.split()[-1] in NOUNS else f"the {link.kind} {words}"


def one_sided(reactions: Reactions) -> list[OneSided]:
    """Every one-sided member or contact whose force statics settles, in the frame's order."""
    frame = reactions.equations.frame
    found = []
    for name, link in frame.links.items():
        if name not in reactions.densities:
            continue
        called = named(link)
        match link.kind:
            case "elastic string" if is_slack(reactions.equations, link):
                spare = -stretched(reactions.equations, link)
                found.append(OneSided(name, "elastic string", spare, f"{called} is slack", called))
            case "strut":
                found.append(OneSided(name, "strut", -reactions.tension(name), f"{called} pushes", called))
            case "string" | "elastic string" as kind:
                found.append(OneSided(name, kind, reactions.tension(name), f"{called} is taut", called))
    for name, contact in frame.contacts.items():
        if name in reactions.pushes and not contact.two_sided:
            at = f"contact at {contact.on.point}"
            found.append(OneSided(name, "contact", reactions.push(name), f"there is {at}", f"the {at}"))
    return found


def unknowns_of(equations: Equations, members: Iterable[OneSided]) -> frozenset[int]:
    """The numbers of their unknowns."""
    links = {member.about for member in members if member.kind != "contact"}
    contacts = {member.about for member in members if member.kind == "contact"}
    return frozenset(
        number
        for number, unknown in enumerate(equations.unknowns)
        if (unknown.part in ("push", "rub") and isinstance(unknown.of, Key) and unknown.of.at in contacts)
        or unknown.of in links
    )
