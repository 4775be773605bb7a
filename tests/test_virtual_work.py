"""Virtual work, an independent exact road: the same expressions as the balance equations give."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from published.entries import read_entries
from published.frames import truss
from scenes_at_rest import AT_REST
from small_frames import frame as small

from simlab.errors import BadInput
from simlab.frame.model import Contact, Frame, Link, Load, Place
from simlab.frame.quantity import FORCE, LENGTH, MOMENT, Quantity
from simlab.frame.scene import read_scene
from simlab.statics.solution import solve
from simlab.statics.virtual_work import agrees, by_virtual_work

SCENES = sorted((Path(__file__).parent.parent / "scenes").glob("*.toml"))


def published_frames() -> dict[str, Frame]:
    """The published problems with light members that the tests can build, in the shape that is given."""
    from published_statics import COVERED, frame

    return {entry.id: frame(entry.id) for entry in COVERED}


FRAMES = published_frames()
WITH_MEMBERS = [name for name, frame in FRAMES.items() if frame.links]


@pytest.mark.parametrize("frame", AT_REST.values(), ids=AT_REST)
def test_scenes_have_the_same_tensions_on_both_exact_roads(frame: Frame) -> None:
    """Every light member of every scene whose tension is not given, equal as elements of one field."""
    same = agrees(frame, frame.shown, solve(frame))

    assert set(same) == {name for name, link in frame.links.items() if not link.is_given}
    assert all(same.values())


@pytest.mark.parametrize("name", WITH_MEMBERS)
def test_published_problems_have_the_same_tensions_on_both_exact_roads(name: str) -> None:
    """Every light member whose tension is unique, in letters."""
    frame = FRAMES[name]
    solved = solve(frame)
    same = agrees(frame, frame.shown, solved)

    assert set(same) == {n for n in solved.case.forces.tensions if not frame.links[n].is_given}
    assert all(same.values()), same


def test_enough_published_problems_are_compared() -> None:
    """Of 102 entries at least these have light members in a given shape."""
    assert len(read_entries()) == 102
    assert len(WITH_MEMBERS) >= 35


def braced(seed: int) -> Frame:
    """A random fan of heavy rods from one hinge, neighbouring ends joined by light rods; two loads."""
    chance = np.random.default_rng(seed)
    n = int(chance.integers(2, 6))
    xs = np.sort(1 + chance.choice(20, n, replace=False))
    points = {"O": (0.0, 0.0)}
    heights = np.sort(1 + chance.choice(9, n, replace=False))[::-1]  # no two rods in one line
    points |= {c: (float(x), float(y)) for c, x, y in zip("ABCDE"[:n], xs, heights, strict=True)}
    rods = {f"O{c}": (f"O{c}", float(chance.integers(1, 9))) for c in list(points)[1:]}
    names = list(points)[1:]
    members = {a + b: ("light rod", a + b) for a, b in pairwise(names)}
    loads = {names[0]: ("force", (3.0, -2.0)), names[-1]: ("weight", (5.0,))}
    return small(points, rods, members, hooks="O", floors={names[0]: (0.0, 1.0)}, loads=loads)


@pytest.mark.parametrize("seed", range(12))
def test_random_fans_of_rods_have_the_same_tensions(seed: int) -> None:
    """Heavy rods about one hinge, ends joined by light rods, one end on a floor (seeded)."""
    frame = braced(seed)
    solved = solve(frame)
    same = agrees(frame, frame.shown, solved)

    assert len(same) == len(frame.links)
    assert all(same.values())


@pytest.mark.parametrize("seed", range(30))
def test_random_trusses_have_the_same_tensions(seed: int) -> None:
    """Light rods between random nodes: where statics settles a tension, so does virtual work (seeded)."""
    chance = np.random.default_rng(1000 + seed)
    n = int(chance.integers(4, 8))
    places: set[tuple[int, int]] = set()
    while len(places) < n:
        places.add((int(chance.integers(0, 6)), int(chance.integers(0, 6))))
    nodes = {chr(65 + i): (str(x), str(y)) for i, (x, y) in enumerate(sorted(places))}
    pairs = [a + b for a in nodes for b in nodes if a < b]
    members = " ".join(sorted(str(m) for m in chance.choice(pairs, 2 * n - 3, replace=False)))
    names = list(nodes)
    held = ({"at": names[0], "kind": "pin"}, {"at": names[-1], "kind": "pin"})[: int(chance.integers(1, 3))]
    frame = truss("random", nodes, members, held, {names[1]: ("2", "-3"), names[2]: ("1", "1")}, {})
    solved = solve(frame)
    if not solved.case.freedom.carried:
        for link in frame.links:
            found = by_virtual_work(frame, frame.shown, link)
            assert found.force is None
        return

    assert all(agrees(frame, frame.shown, solved).values())
    for link in set(frame.links) - set(solved.case.forces.tensions):
        found = by_virtual_work(frame, frame.shown, link)
        assert found.force is None
        assert "nothing moves" in found.reason


def value(frame: Frame, of: str, part: str = "tension") -> object:
    """The force by virtual work as a sympy number; its terms add up to it."""
    found = by_virtual_work(frame, frame.shown, of, part)
    assert found.force is not None, found.reason
    assert (sum(term.size.expr * term.by.expr for term in found.terms) - found.force.expr).equals(0)
    return found.force.expr


def test_a_cantilever_bears_the_moment_of_its_loads() -> None:
    """Weight 6 N at the middle of 2 m, 5 N at the end: M = 6*1 + 5*2 and upwards 11 (any handbook)."""
    frame = small(
        {"A": (0.0, 0.0), "B": (2.0, 0.0)},
        {"AB": ("AB", 6.0)},
        built_in="A",
        loads={"B": ("weight", (5.0,))},
    )
    assert value(frame, "A", "moment") == 16
    assert value(frame, "A", "upwards") == 11
    assert value(frame, "A", "across") == 0
    with pytest.raises(BadInput, match="moment of A"):
        by_virtual_work(frame, frame.shown, "B", "normal")


def ladder(**contact: object) -> Frame:
    """A ladder of 20 N on a rough floor at A, a smooth wall at B, its slope 4 to 3."""
    frame = small(
        {"A": (-3.0, 0.0), "B": (0.0, 4.0)},
        {"AB": ("AB", 20.0)},
        floors={"A": (0.0, 2.0), "B": (-1.0, 0.0)},
    )
    floor = replace(frame.contacts["floor A at A"], rough=True, **contact)
    return replace(frame, contacts={**frame.contacts, floor.name: floor})


def test_a_ladder_needs_half_its_weight_times_the_cotangent() -> None:
    """F = (W/2) cot = 20/2*3/4, towards the wall; N = W; the wall pushes as much (any textbook)."""
    assert value(ladder(), "floor A at A", "friction") == Quantity.of(15).expr / 2
    assert value(ladder(), "floor A at A", "normal") == 20
    assert value(ladder(), "floor B at B", "normal") == Quantity.of(15).expr / 2


def test_a_ladder_about_to_slip_is_held_along_its_whole_reaction() -> None:
    """With mu = cot/2 = 3/8, slipping outwards, the normal part is W still; the other way nothing fits."""
    third = Quantity.of(3) / Quantity.of(8)
    outwards = Quantity.of(-1), Quantity.zero()
    limiting = ladder(friction=third, about_to="slip", slips=outwards)
    assert value(limiting, "floor A at A", "normal") == 20

    unsaid = ladder(friction=third, about_to="slip")
    assert "which way" in by_virtual_work(unsaid, unsaid.shown, "floor B at B", "normal").reason
    inwards = ladder(friction=third, about_to="slip", slips=(Quantity.of(1), Quantity.zero()))
    found = by_virtual_work(inwards, inwards.shown, "floor A at A", "normal")
    assert found.force is None
    assert "move the frame" in found.reason


def test_a_string_over_a_peg_has_one_tension() -> None:
    """A level rod of 8 N and 6 m hung by both ends over a peg 4 m above: T = (W/2)/(4/5) (any textbook)."""
    frame = small({"A": (-3.0, 0.0), "B": (3.0, 0.0), "P": (0.0, 4.0)}, {"AB": ("AB", 8.0)}, hooks="P")
    string = Link("s", "string", (Place("AB", "A"), Place("AB", "B")), over=(Place("P", "P"),))
    frame = replace(frame, links={"s": string})
    assert value(frame, "s") == 5


def test_couples_and_given_tensions_do_work() -> None:
    """Rod of 4 m on a hinge, floor at its end: 4 N = 8/2 + 12/4 - 3 with a couple and a string of 3 N."""
    frame = small(
        {"O": (0.0, 0.0), "A": (4.0, 0.0), "P": (4.0, 5.0)},
        {"OA": ("OA", 8.0)},
        hooks="OP",
        floors={"A": (0.0, 1.0)},
    )
    couple = Load("couple", "couple", Place("OA", "O"), (Quantity.of(-12, MOMENT),))
    ends = Place("OA", "A"), Place("P", "P")
    tight = replace(frame, loads={"couple": couple}, links={"s": Link("s", "string", ends, tension=q(3))})
    stiffness, natural = Quantity.of(3, (1, -1, 0)), Quantity.of(4, LENGTH)
    spring = Link("s", "spring", ends, natural=natural, stiffness=stiffness)

    assert value(tight, "floor A at A", "normal") == 4
    assert value(replace(tight, links={"s": spring}), "floor A at A", "normal") == 4


def test_one_body_on_another_moves_with_it() -> None:
    """A light lever on a hinge at O bears a rod's end at its far end: half the rod's weight goes over."""
    frame = small(
        {"O": (0.0, 0.0), "A": (2.0, 0.0), "B": (5.0, 0.0), "S": (1.0, 0.0)},
        {"OA": ("OAS", 0.0), "AB": ("AB", 6.0)},
        hooks="OB",
        floors={"S": (0.0, 1.0)},
    )
    joints = {n: j for n, j in frame.joints.items() if n != "A"}
    up = Quantity.zero(), Quantity.of(1)
    contact = Contact("AB on OA", Place("AB", "A"), "OA", up)
    frame = replace(frame, joints=joints, contacts={**frame.contacts, contact.name: contact})

    assert value(frame, "AB on OA", "normal") == 3
    assert value(frame, "floor S at S", "normal") == 6  # 3 N at 2 m, borne at 1 m


def test_a_redundant_member_is_refused_with_the_reason() -> None:
    """A square of light rods with both diagonals: no motion changes one length alone."""
    nodes = {"A": ("0", "0"), "B": ("1", "0"), "C": ("1", "1"), "D": ("0", "1")}
    held = ({"at": "A", "kind": "pin"}, {"at": "B", "kind": "pin"})
    frame = truss("square", nodes, "BC CD DA AC BD", held, {"C": ("1", "0")}, {})
    found = by_virtual_work(frame, frame.shown, "AC")

    assert found.force is None
    assert "only together" in found.reason


def test_a_frame_the_same_on_both_sides_moves_alike_on_both() -> None:
    """Hung from one hook, it could swing as it spreads; the motion told is the even one."""
    frame = read_scene(next(path for path in SCENES if path.stem == "kite_lantern"))
    terms = {t.load: t.by for t in by_virtual_work(frame, frame.shown, "spreader").terms}

    assert terms["KL"] == terms["KR"]
    assert terms["LB"] == terms["RB"]


def q(newtons: int) -> Quantity:
    """A force."""
    return Quantity.of(newtons, FORCE)
