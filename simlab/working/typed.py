"""Equations that a teacher names: "CB about C", "whole vertically", "AB along AB"."""

from __future__ import annotations

from difflib import get_close_matches

from simlab.errors import BadInput
from simlab.results.wording import called
from simlab.results.working import Method
from simlab.working import parts
from simlab.working.places import Direction, Spot
from simlab.working.survey import Candidate, Survey

SQUARE = ("square to ", "perpendicular to ")
LEVEL = ("horizontally", "across", "level")
UPRIGHT = ("vertically", "upwards", "upright")
FORM = "write PART about POINT, along ROD, perpendicular to ROD, horizontally or vertically"


def read(survey: Survey, text: str) -> Candidate:
    """The equation that a line names; raises BadInput with what is wrong, and what there is."""
    words = " ".join(text.split())
    for word in (*LEVEL, *UPRIGHT):
        if words.endswith(f" {word}"):
            return equation(survey, words[: -len(word) - 1], along=word, text=text)
    part, found, place = words.partition(" about ")
    if found:
        return equation(survey, part, about=place, text=text)
    for way in ("along ", *SQUARE):
        part, found, place = words.partition(f" {way}")
        if found:
            return equation(survey, part, along=f"{way}{place}", text=text)
    raise BadInput(f'"{text}" is no equation: {FORM}')


def equation(
    survey: Survey, part: str, *, about: str | None = None, along: str | None = None, text: str = ""
) -> Candidate:
    """The equation of a part, about a point or along a direction."""
    nodes = part_named(survey, part, text)
    method: Method = "moments" if about is not None else "resolving"
    place: Spot | Direction = spot(survey, about) if about is not None else direction(survey, along or "")
    found = survey.one(nodes, method, place)
    if found is None:
        said = parts.in_words(survey.frame, nodes)
        raise BadInput(f"{_where(text)}no unknown force is in that equation of {said}: it says nothing")
    return found


def part_named(survey: Survey, part: str, text: str = "") -> parts.Nodes:
    """A part by the names of what is in it; raises BadInput where there is none."""
    nodes = parts.given(survey.frame, part)
    if nodes is None:
        near = _near(part, survey.frame.nodes)
        raise BadInput(f'{_where(text)}there is no part "{part}". {_parts(survey)}{near}')
    return nodes


def _where(text: str) -> str:
    return f'"{text}": ' if text else ""


def _parts(survey: Survey) -> str:
    names = ", ".join(survey.frame.nodes)
    return f'Parts are "whole", and any of {names} (several with commas between)'


def _near(name: str, names: list[str]) -> str:
    near = get_close_matches(name, names, n=1)
    return f'. Did you mean "{near[0]}"?' if near else ""


def spot(survey: Survey, name: str) -> Spot:
    """A point by its name; the centre of a body by "middle of AB"."""
    plain = name.strip().removeprefix("the ")
    for one in survey.spots:
        if plain in (one.name, one.words, one.words.removeprefix("the ")):
            return one
    names = [one.name or one.words.removeprefix("the ") for one in survey.spots]
    raise BadInput(f'there is no point "{name}". Points are {", ".join(names)}{_near(plain, names)}')


def direction(survey: Survey, words: str) -> Direction:
    """A direction: horizontally, vertically, along or square to a rod or light member."""
    plain = " ".join(words.split())
    if plain in LEVEL:
        return survey.directions[0]
    if plain in UPRIGHT:
        return survey.directions[1]
    is_square = plain.startswith(SQUARE)
    name = plain.removeprefix("along ").removeprefix(SQUARE[0]).removeprefix(SQUARE[1])
    head = "perpendicular to " if is_square else "along "
    for one in survey.directions:
        if one.words in (f"{head}{name}", f"{head}{called(name)}"):
            return one
    body, link = survey.frame.frame.bodies.get(name), survey.frame.frame.links.get(name)
    if body is not None or link is not None:  # level or upright itself
        level = _is_level(survey, name)
        return survey.directions[0 if level != is_square else 1]
    names = [one.words for one in survey.directions]
    raise BadInput(
        f'there is no direction "{words}". Directions are {", ".join(names)}{_near(plain, names)}'
    )


def _is_level(survey: Survey, name: str) -> bool:
    frame = survey.frame
    if name in frame.frame.links:
        return frame.along(name)[1].is_zero
    a, b = (frame.vec(end) for end in frame.frame.bodies[name].outline[:2])
    return (b[1] - a[1]).is_zero
