"""Expressions on the page: for a terminal, and for a typesetter. Any room may import it."""

from simlab.notation.latex import latex
from simlab.notation.plain import plain

__all__ = ["latex", "plain"]
