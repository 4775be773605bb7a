"""Asking: exact statics works beside the window, so that neither waits for the other.

A process of its own: exact work is Python's own and would hold up every picture. Only the newest question
counts; what was asked before and is not begun is never worked out.
"""

from __future__ import annotations

import copyreg
import signal
from collections.abc import Callable, Mapping
from contextlib import suppress
from multiprocessing import get_context
from multiprocessing.connection import Connection
from types import MappingProxyType
from typing import Any, Protocol

from simlab.errors import SimlabError
from simlab.frame.model import Frame
from simlab.window.words import Texts

PATIENCE = 0.1  # [s] between two looks whether an answer will still come
Solve = Callable[[Frame], Texts]  # a function that a new process can import


def _proxy(of: Mapping[Any, Any]) -> MappingProxyType[Any, Any]:
    return MappingProxyType(of)


copyreg.pickle(MappingProxyType, lambda proxy: (_proxy, (dict(proxy),)))  # a frame's tables, on their way


class Asking(Protocol):
    """Whoever answers for exact statics."""

    def ask(self, frame: Frame) -> None:
        """Ask what stands beside a frame; whatever was asked before does not matter any more."""

    def answer(self) -> Texts | None:
        """The answer to what was asked last, once, when it is there."""

    def close(self) -> None:
        """Nobody asks any more."""


class AtOnce:
    """Answers in the same breath: for frames that are solved quickly, and for tests."""

    def __init__(self, solve: Solve) -> None:
        self._solve = solve
        self._answer: Texts | None = None

    def ask(self, frame: Frame) -> None:
        """Work it out now."""
        self._answer = _answered(self._solve, frame)

    def answer(self) -> Texts | None:
        """The answer, once."""
        found, self._answer = self._answer, None
        return found

    def close(self) -> None:
        """There is nothing to end."""


class Beside:
    """Answers from a process beside the window; to be closed by `close`."""

    def __init__(self, solve: Solve) -> None:
        self._solve = solve
        self._number = 0
        self._first: Frame | None = None
        self._of_first = {1}  # numbers under which that was asked
        self._verdict: str | None = None  # on that, once it is there; "" where statics refuses it

    def _begin(self) -> None:
        """Start the process: not before it is needed, since the window opens first."""
        context = get_context("spawn")  # a copy of a process with a window open is no good on some systems
        self._line, there = context.Pipe()
        self._process = context.Process(target=_work, args=(self._solve, there), daemon=True)
        self._process.start()
        there.close()

    def ask(self, frame: Frame) -> None:
        """Send the question; it is begun as soon as the one that is worked at is done."""
        if self._first is None:
            self._first = frame
            self._begin()
        self._number += 1
        with suppress(OSError):  # whoever answered is gone: the window shows what the simulation says
            self._line.send((self._number, frame))

    def answer(self) -> Texts | None:
        """The answer to the newest question, once."""
        found: Texts | None = None
        if self._first is None:
            return None
        try:
            while self._line.poll():
                number, texts = self._line.recv()
                if number in self._of_first:
                    self._verdict = texts.verdict
                if number == self._number:
                    found = texts
        except (OSError, EOFError):
            return None
        return found

    def first(self) -> str:
        """The verdict on the first frame asked about, however long it takes; "" if there is none."""
        with suppress(OSError, EOFError):
            if self._verdict is None and self._first is not None:
                self.ask(self._first)  # once more: it may have been passed over
                self._of_first.add(self._number)
                while self._verdict is None and self._process.is_alive():
                    if self._line.poll(PATIENCE):
                        self.answer()
        return self._verdict or ""

    def close(self) -> None:
        """End the process, whatever it is at."""
        if self._first is None:
            return
        self._line.close()
        self._process.terminate()
        self._process.join()


def _work(solve: Solve, line: Connection) -> None:
    """Answer questions until the window closes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the window, which then ends this
    try:
        while True:
            number, frame = line.recv()
            while line.poll():
                number, frame = line.recv()
            line.send((number, _answered(solve, frame)))
    except (EOFError, OSError):
        return


def _answered(solve: Solve, frame: Frame) -> Texts:
    """The answer; of a frame that statics refuses, the sentence that says why."""
    try:
        return solve(frame)
    except SimlabError as error:
        return Texts(advice=str(error))
