"""What friction does at each rough contact of which the coefficient is given: |F| <= mu * N."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from simlab.exact.assumption import has_one_sign
from simlab.exact.field import Element
from simlab.frame.model import Contact, Name
from simlab.frame.quantity import FORCE, NUMBER
from simlab.results.statics import Condition
from simlab.statics.laws import opposing
from simlab.statics.reactions import Reactions

OPEN = (
    "It can rest, but statics alone does not settle every force: how much friction acts depends on how it "
    "was put there."
)
NOT_TOGETHER = (
    "Every force has one value; but no one motion would make all these contacts slip at once, each "
    "against its friction."
)
TOO_LITTLE = (
    "It cannot rest so: whatever the friction, some contact would slip or lift. Ask for the least "
    "coefficient of friction, or change the angle."
)


@dataclass(frozen=True)
class Grip:
    """The friction that a rough contact takes, and what it could give.

    `push` is the size of the normal force, `rub` that of the friction; `coefficient` is given.
    """

    contact: Contact
    push: Element
    rub: Element
    coefficient: Element

    @property
    def spare(self) -> Element:
        """mu * N - |F|: negative where it slips, 0 where it is about to."""
        return self.coefficient * self.push - self.rub

    @property
    def at(self) -> Name:
        """The point at which it rubs."""
        return self.contact.on.point


def grips(reactions: Reactions) -> list[Grip]:
    """Every rough contact of a given coefficient whose forces statics settles, but limiting ones."""
    found = []
    for name, contact in reactions.equations.frame.contacts.items():
        known = name in reactions.pushes and name in reactions.rubs
        if contact.friction is not None and contact.about_to is None and known:
            push, rub = reactions.push(name), reactions.rub(name)
            if contact.two_sided:
                push = positive(push)
            mu = reactions.equations.element(contact.friction)
            found.append(Grip(contact, push, positive(rub), mu))
    return found


def positive(force: Element) -> Element:
    """The size of a force along a line, with the sign that it has at the values."""
    return -force if force.sign() < 0 else force


def conditions(reactions: Reactions, found: Iterable[Grip]) -> Iterator[Condition]:
    """That friction is enough: mu*N - |F| > 0, and mu*N + |F| > 0 too where F may turn round."""
    for grip in found:
        words = f"friction at {grip.at} is enough"
        if grip.spare.sign() == 0:
            words = f"{words} (here it is about to slip)"
        elif grip.spare.sign() < 0:
            words = f"{words} (here it is not)"
        spares = [grip.spare]
        if not has_one_sign(grip.rub):
            spares.append(grip.coefficient * grip.push + grip.rub)
        for spare in spares:
            yield Condition(reactions.printed(spare, FORCE), grip.contact.name, words)


def of_slipping(reactions: Reactions, found: Iterable[Grip]) -> str:
    """What it would take at each contact that slips."""
    return " ".join(_slips(reactions, grip) for grip in found)


def _slips(reactions: Reactions, grip: Grip) -> str:
    if grip.push.sign() <= 0:
        return f"Nothing presses at {grip.at}, so that no friction can hold it: there it slips."
    least = reactions.printed(grip.rub / grip.push, NUMBER)
    return (
        f"It slips at {grip.at}: to rest it would take a coefficient of friction of at least {least.plain}."
    )


def of_limit(found: Iterable[Grip]) -> str:
    """Contacts at which friction is just enough; to be put after another sentence."""
    return "".join(f" At {grip.at} friction is only just enough: it is about to slip." for grip in found)


def helping(reactions: Reactions) -> list[Contact]:
    """Rings about to slip where friction would have to help that slipping."""
    return [
        contact
        for name, contact in reactions.equations.frame.contacts.items()
        if contact.is_limiting
        and contact.slips is not None
        and name in reactions.rubs
        and reactions.rubs[name].sign() * opposing(reactions.equations, contact) < 0
    ]


def of_helping(contacts: Iterable[Contact]) -> str:
    """Friction on the wrong side."""
    return " ".join(
        f"At {contact.on.point} friction would have to help the slipping: it would slip the other way."
        for contact in contacts
    )
