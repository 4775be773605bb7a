"""Members that act one way only: struts push, strings pull, smooth contacts press."""

from __future__ import annotations

from dataclasses import dataclass

from simlab.exact.field import Element
from simlab.frame.model import Name
from simlab.frame.quantity import FORCE
from simlab.results.statics import Condition
from simlab.statics.reactions import Reactions


@dataclass(frozen=True)
class OneSided:
    """What a one-sided member must do: `positive` > 0. `fails`: it would have to do the opposite."""

    about: Name
    kind: str  # "strut", "string" or "contact"
    positive: Element
    words: str

    @property
    def fails(self) -> bool:
        """Whether it would have to act the wrong way at the values."""
        return self.positive.sign() < 0


def one_sided(reactions: Reactions) -> list[OneSided]:
    """Every one-sided member or contact whose force statics settles, in the frame's order."""
    frame = reactions.equations.frame
    found = []
    for name, link in frame.links.items():
        if name not in reactions.densities:
            continue
        if link.kind == "strut":
            found.append(OneSided(name, "strut", -reactions.tension(name), f"the strut {name} pushes"))
        elif link.kind == "string":
            found.append(OneSided(name, "string", reactions.tension(name), f"the string {name} is taut"))
    for name, contact in frame.contacts.items():
        if name in reactions.pushes:
            words = f"the {contact.by} presses at {contact.on.point}"
            found.append(OneSided(name, "contact", reactions.push(name), words))
    return found


def conditions(reactions: Reactions, members: list[OneSided]) -> tuple[Condition, ...]:
    """On what the forces hold: one-sided members act the right way, roots have the sign they have here."""
    holds = [Condition(reactions.printed(m.positive, FORCE), m.about, m.words) for m in members]
    for link, assumed in reactions.assumptions.items():
        words = f"the length of {link} is written for this positive"
        holds += [Condition(reactions.assumed(e), link, words) for e in assumed]
    for e in reactions.equations.assumptions:
        holds.append(Condition(reactions.assumed(e), "the shape", "the shape is the one drawn"))
    return tuple(holds)
