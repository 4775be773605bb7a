"""Results as HTML tables, for notebooks; mathematics between dollar signs, as notebooks typeset it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape


def table(caption: str, headings: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """An HTML table; every text is escaped.

    >>> table("T < W", ["a"], [["$2W$"]])
    '<table><caption>T &lt; W</caption><tr><th>a</th></tr><tr><td>$2W$</td></tr></table>'
    """
    head = "".join(f"<th>{escape(heading)}</th>" for heading in headings)
    body = "".join("<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>" for row in rows)
    return f"<table><caption>{escape(caption)}</caption><tr>{head}</tr>{body}</table>"
