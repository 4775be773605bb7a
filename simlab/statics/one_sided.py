"""Members that act one way only: struts push, strings pull, smooth contacts press."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from simlab.exact.field import Element
from simlab.frame.model import Name
from simlab.frame.quantity import FORCE
from simlab.results.forces import Key
from simlab.results.statics import Condition
from simlab.statics.equations import Equations
from simlab.statics.reactions import Reactions

Kind = Literal["strut", "string", "contact"]

_WRONG_WAY: dict[Kind, str] = {"strut": "pull", "string": "push", "contact": "pull"}


@dataclass(frozen=True)
class OneSided:
    """A one-sided member or contact, and the force with which it acts its own way.

    `positive` > 0: it acts so, as `does` says; = 0: it carries nothing (`idle`); < 0: it would have to
    act the other way (`fails`). `always` says that a `positive` of 0 is 0 for all values.
    """

    about: Name
    kind: Kind
    positive: Element
    does: str

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


def one_sided(reactions: Reactions) -> list[OneSided]:
    """Every one-sided member or contact whose force statics settles, in the frame's order."""
    frame = reactions.equations.frame
    found = []
    for name, link in frame.links.items():
        if name not in reactions.densities:
            continue
        if link.kind == "strut":
            found.append(OneSided(name, "strut", -reactions.tension(name), f"the strut {name} pushes"))
        elif link.kind in ("string", "elastic string"):
            found.append(OneSided(name, "string", reactions.tension(name), f"the string {name} is taut"))
    for name, contact in frame.contacts.items():
        if name in reactions.pushes and not contact.two_sided:
            does = f"the {contact.by} presses at {contact.on.point}"
            found.append(OneSided(name, "contact", reactions.push(name), does))
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


def conditions(reactions: Reactions, members: list[OneSided]) -> tuple[Condition, ...]:
    """On what the forces hold: one-sided members act the right way, roots have the sign they have here.

    A member that carries nothing whatever the letters are sets no condition; one that carries nothing
    just at the values does, and `positive` is then 0 there.
    """
    holds = [
        Condition(reactions.printed(m.positive, FORCE), m.about, m.words) for m in members if not m.always
    ]
    for link, assumed in reactions.assumptions.items():
        words = f"the length of {link} is written for this positive"
        holds += [Condition(reactions.assumed(e), link, words) for e in assumed]
    for e in reactions.equations.assumptions:
        holds.append(Condition(reactions.assumed(e), "the shape", "the shape is the one drawn"))
    return tuple(holds)
