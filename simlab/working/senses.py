"""Which way each unknown acts: argued where one can, assumed where one cannot."""

from __future__ import annotations

from collections.abc import Sequence

from simlab.exact.words import product
from simlab.frame.model import Name
from simlab.frame.quantity import Quantity
from simlab.results.wording import called, series
from simlab.results.working import Words
from simlab.working.lettering import Lettering, Sense
from simlab.working.lines import Acting
from simlab.working.places import Spot
from simlab.working.search import Chain
from simlab.working.steps import Solver
from simlab.working.survey import Candidate

ONE = Quantity.of(1).expr


def argue(chain: Chain, lettering: Lettering, solver: Solver) -> dict[int, Words]:
    """Fix the sense of every unknown of a chain; the reason for each that is argued for by its equation.

    An unknown that alone stands against forces which all act the same way acts the other way. The chain
    is worked through with the senses so far; `solver` then knows the values.
    """
    reasons: dict[int, Words] = {}
    for block, finds in zip(chain.blocks, chain.finds, strict=True):
        for unknown in finds:
            _by_fold(lettering, unknown)
            _plainly(lettering, unknown, block)
        if len(block) == 1 and not lettering.sense(finds[0]).argued:
            argument = _alone(block[0], finds[0], lettering, solver)
            if argument:
                reasons[finds[0]] = argument
        names = [lettering.names[unknown] for unknown in finds]
        solver.find(block, names)
    return reasons


def _plainly(lettering: Lettering, unknown: int, block: Sequence[Candidate]) -> None:
    """Where nothing is known, a component is to the right or upwards on the part where it comes in."""
    if lettering.sense(unknown).rule != "assumed":
        return
    for one in block:
        for line in lettering.lines:
            side = line.sense_on(one.part)
            if line.unknown is not None and side and lettering.image(line.unknown) is not None:
                if lettering.left(line) != unknown:
                    continue
                (x, y), turning = lettering.way(line, side)
                if turning < 0 or y.sign() < 0 or (y.is_zero and x.sign() < 0):
                    lettering.senses[unknown] = Sense(-lettering.sense(unknown).flip, False, "assumed")
                return


def _by_fold(lettering: Lettering, unknown: int) -> None:
    """A light rod pushes if its ends come nearer together as the frame falls without it, and else pulls.

    With it gone the frame starts from rest with M a = Q; what holds it is Q = -T J, so its length
    changes at the rate J M^-1 Q = -T J M^-1 J: against the tension always.
    """
    frame, one = lettering.frame, lettering.frame.unknowns[unknown]
    if one.share != "pull" or lettering.sense(unknown).argued:
        return
    tension = frame.statics.case.forces.tensions.get(one.at)
    sign = 0.0 if tension is None else tension.number(frame.values)
    if sign:
        lettering.senses[unknown] = Sense(1 if sign > 0 else -1, True, "fold")


def _alone(candidate: Candidate, unknown: int, lettering: Lettering, solver: Solver) -> Words:
    """The sense of an unknown that alone stands against everything else in its equation; the argument."""
    name = lettering.names[unknown]
    items = solver.items(candidate)
    known = solver.algebra.put_in(items, solver.values)
    mine = next((i.coefficient for i in known if i.letter == name), None)
    others = [i for i in known if i.letter is None]
    signs = {i.coefficient.sign() for i in others} - {0}
    if mine is not None and not signs and len(known) == 1:
        letter = Quantity.symbol(name, positive=False)
        return ("Nothing else acts that way, so ", letter, " is 0.")
    if mine is None or len(signs) != 1 or any(i.letter not in (None, name) for i in known):
        return ()
    mine_too = [line for line in lettering.lines if _brings(lettering, line, unknown, candidate)]
    if any(line.factor is not None for line in mine_too):
        return ()  # its own friction is in the equation, too
    (sign,) = signs
    flip = lettering.sense(unknown).flip
    if mine.sign() == sign:
        flip = -flip
    lettering.senses[unknown] = Sense(flip, True, "alone")
    return _argument(candidate, name, sign, lettering, solver)


def _brings(lettering: Lettering, line: Acting, unknown: int, candidate: Candidate) -> bool:
    """Whether a line of action brings an unknown into an equation."""
    if line.unknown is None or not line.sense_on(candidate.part):
        return False
    image = lettering.image(line.unknown)
    place = candidate.place
    share = line.moment(place.at) if isinstance(place, Spot) else line.along(place.way)
    is_nothing = share == 0 if isinstance(share, int) else share.is_zero
    return image is not None and image[0] == unknown and not is_nothing


def _argument(candidate: Candidate, name: Name, sign: int, lettering: Lettering, solver: Solver) -> Words:
    """'Only X can balance T here, so it acts to the left.'"""
    balances = solver.balances
    letter = Quantity.symbol(name, positive=False)
    line, side = next(
        (line, side) for line, side, action in balances.actions(candidate.part) if action.letter == name
    )
    against: dict[str, Quantity | None] = {}
    for term in balances.equation(candidate).terms:
        action = term.action
        if action.letter is not None and action.letter != name:
            if not solver.values[action.letter].is_zero:
                against[str(action.size)] = action.size
        elif action.letter is None and _is_weight(lettering, action.what):
            against["the weights" if {"the weight", "the weights"} & set(against) else "the weight"] = None
        elif action.letter is None:
            against[str(action.size)] = action.size
    if "the weights" in against:
        against.pop("the weight", None)
    listed = _listed(against)
    many = len(against) > 1 or "the weights" in against
    way = lettering.sense_words(line, side)
    tension = lettering.sense(lettering.left(line)).flip > 0
    so = f"it acts {way}" if way else f"it is a {'tension' if tension else 'thrust'}"
    if isinstance(candidate.place, Spot):
        turn, back = ("anticlockwise", "clockwise") if sign > 0 else ("clockwise", "anticlockwise")
        verb = "turn" if many else "turns"
        about = f"About {candidate.place.words}, "
        only = f" {verb} it {turn}; only "
        return (about, *listed, only, letter, f" can turn it back, {back}, so {so}.")
    return ("Only ", letter, " can balance ", *listed, f", so {so}.")


def _is_weight(lettering: Lettering, what: object) -> bool:
    load = lettering.frame.frame.loads.get(str(what))
    return load is None or load.kind == "weight"


def _listed(names: dict[str, Quantity | None]) -> Words:
    """'W', 'the weights', 'T and the weight'."""
    return tuple(series([name if letter is None else letter for name, letter in names.items()]))


def reason(lettering: Lettering, line: Acting, side: int) -> Words:
    """The sentence that introduces a letter, as it acts on one side of its line."""
    frame, unknown = lettering.frame, lettering.left(line)
    one, sense = frame.unknowns[unknown], lettering.sense(unknown)
    letter = Quantity.symbol(lettering.names[unknown], positive=False)
    what, way = lettering.words(line, side), lettering.sense_words(line, side)
    name = called(line.what)
    let: Words = ("Let ", letter, f" be {what}")
    match sense.rule:
        case "string":
            return (*let, f": {name} can only pull, inwards at both its ends.")
        case "strut":
            return (*let, f": {name} is only placed there, so it can only push, outwards at both ends.")
        case "fold":
            is_thrust = sense.flip < 0
            end = "nearer together" if is_thrust else "further apart"
            does = "pushes them apart" if is_thrust else "pulls them together"
            along = ". It is light, so the forces at its ends are along it. "
            return (*let, f"{along}Without it, as the frame falls, its ends would come {end}: it {does}.")
        case "light":
            held = f": {name} is light and held at two points only"
            return (*let, f"{held}, so the forces on it are along it.")
        case "smooth":
            contact = frame.frame.contacts[line.what]
            how = "it can only push" if contact.rough else "it is smooth and can only push"
            return (*let, f": {how}, so this acts {way}.", *_slipping(lettering, line, side))
        case "alone":
            return (*let, ".", *_slipping(lettering, line, side))
    if one.share == "moment":
        return (*let, f"; take it {way}.")
    return (*let, f". Which way it acts is not obvious; take it {way}.")


def _slipping(lettering: Lettering, line: Acting, side: int) -> Words:
    """Of a contact about to slip: which way friction acts, and that it is as large as it can be."""
    found = lettering.rubbing(line, side)
    if found is None:
        return ()
    factor, way = found
    name = Quantity.symbol(lettering.names[lettering.left(line)], positive=False)
    size = Quantity(product(ONE, [(factor.expr, ONE), (name.expr, ONE)]))
    head = f" It is about to slip there, so friction acts {way} and is as large as it can be: "
    if factor.expr == 1:
        return (head, "as large as ", name, ".")
    return (head, size, ".")
