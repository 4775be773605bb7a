"""What is known of forces besides the balances: limiting contacts, given tensions, elastic members.

    about to lift:        N = 0 (and F = 0)
    about to slip:        F = s * mu * N,  s = 1 along the tangent, -1 against it
    given tension:        T = given
    elastic, spring:      T = k * (length - natural), of an elastic string that is not slack
    strained members:     sum over members of  n_i * T_i/k_i = 0  for each state n of self-stress

The last is the method of forces (common practice): by virtual work the forces n, in balance without
loads, do no work on the small elongations T/k that fit together.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simlab.errors import BadInput, SimlabFault
from simlab.exact.elimination import eliminate
from simlab.exact.field import Element
from simlab.frame.model import Contact, Frame, Link, Name
from simlab.results.forces import Key
from simlab.statics.velocity import dot

if TYPE_CHECKING:
    from simlab.statics.equations import Equations


@dataclass(frozen=True)
class Law:
    """One equation: row * x + constant = 0."""

    about: Name
    row: dict[int, Element]
    constant: Element


def known(equations: Equations) -> Iterator[Law]:
    """Everything that is known of the frame's forces besides the balances."""
    yield from _of_contacts(equations)
    yield from _of_tensions(equations)
    if _strained(equations.frame):
        yield from _of_strains(equations)


# contacts


def opposing(equations: Equations, contact: Contact) -> int:
    """Whether friction along the tangent opposes (1) or helps (-1) the slipping that the question says.

    Raises BadInput where that slipping is not along the surface at all.
    """
    if contact.slips is None:
        return 1
    x, y = equations.vec(contact.normal)
    way = dot(equations.vec(contact.slips), (y, -x)).sign()
    if way == 0:
        raise BadInput(f'"{contact.name}" is to slip across its own surface: say a way along it')
    return -way


def senses(equations: Equations, chosen: Mapping[Name, int]) -> Iterator[tuple[Name, int]]:
    """Along (1) or against (-1) the tangent, for each contact about to slip; as chosen where it is open."""
    for name, contact in equations.frame.contacts.items():
        if contact.is_limiting:
            said = opposing(equations, contact)
            yield name, chosen.get(name, said) if contact.is_open else said


def _of_contacts(equations: Equations) -> Iterator[Law]:
    one, zero = equations.field.one, equations.field.zero
    for name, contact in equations.frame.contacts.items():
        key = Key.of(contact)
        push = equations.number[key, "push"]
        if contact.about_to == "lift":
            yield Law(name, {push: one}, zero)
            if contact.rough:
                yield Law(name, {equations.number[key, "rub"]: one}, zero)
        elif name in equations.senses and contact.friction is not None:
            share = equations.element(contact.friction) * -equations.senses[name]
            row = {equations.number[key, "rub"]: one, push: share}
            yield Law(name, {j: e for j, e in row.items() if not e.is_zero}, zero)


# light members


def stretched(equations: Equations, link: Link) -> Element:
    """k * (length - natural), whatever its sign."""
    if link.natural is None or link.stiffness is None:
        raise BadInput(f'"{link.name}" has a natural length, but no stiffness: give it')
    longer = equations.length(link.name) - equations.element(link.natural)
    return equations.element(link.stiffness) * longer


def is_slack(equations: Equations, link: Link) -> bool:
    """Whether an elastic string is shorter than natural at the values, so that it does not pull."""
    elastic = link.kind == "elastic string" and link.natural is not None
    return elastic and stretched(equations, link).sign() < 0


def _by_law(equations: Equations, link: Link) -> Element:
    return equations.field.zero if is_slack(equations, link) else stretched(equations, link)


def of_lengths(equations: Equations) -> Iterator[tuple[int, Element]]:
    """The unknowns that follow from a member's length, and their values."""
    for name, link in equations.frame.links.items():
        if link.natural is not None:
            tension = _by_law(equations, link)
            value = tension if link.over else tension / equations.length(name)
            yield equations.of_link(link), value


def sides_of_lengths(equations: Equations) -> Iterator[Element]:
    """What is positive while elastic strings that are taut stay so, and slack ones slack."""
    for link in equations.frame.links.values():
        if link.kind == "elastic string" and link.natural is not None:
            more = stretched(equations, link)
            yield -more if more.sign() < 0 else more


def _of_tensions(equations: Equations) -> Iterator[Law]:
    for name, link in equations.frame.links.items():
        if not link.is_given:
            continue
        row = {equations.of_link(link): equations.field.one if link.over else equations.length(name)}
        if link.tension is not None:
            yield Law(name, row, -equations.element(link.tension))
        if link.natural is not None:
            yield Law(name, dict(row), -_by_law(equations, link))


def _of_strains(equations: Equations) -> Iterator[Law]:
    """One equation for each state of self-stress of rigid and of strained members only."""
    frame, zero = equations.frame, equations.field.zero
    apart = {equations.of_link(link) for link in frame.links.values() if link.is_given}
    apart |= {number for (_, part), number in equations.number.items() if part == "rub"}
    rows = [{j: e for j, e in row.items() if j not in apart} for row in equations.rows]
    found = eliminate(equations.field, rows, len(equations.unknowns))
    equations.vanishing = found.vanishing
    if found.vanishing is not None:
        return
    yields = {equations.of_link(link): _yield(equations, link) for link in _strained(frame)}
    for state in found.null_space:
        row = {j: state[j] * give for j, give in yields.items() if j in state}
        if row:
            yield Law(str(equations.unknowns[min(row)].of), row, zero)


def _strained(frame: Frame) -> list[Link]:
    """Members strained a little from the length at which they fit."""
    return [link for link in frame.links.values() if link.stiffness is not None and not link.is_given]


def _yield(equations: Equations, link: Link) -> Element:
    """L^2/k by which densities n and q make the work n L * q L / k; 1/k for tensions."""
    if link.stiffness is None:
        raise SimlabFault(f'"{link.name}" has no stiffness')
    along = equations.along(link.name)
    size2 = equations.field.one if link.over else dot(along, along)
    return size2 / equations.element(link.stiffness)
