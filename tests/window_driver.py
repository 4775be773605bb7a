"""A window on SDL's dummy display, driven by events: for tests of what is seen and done in it."""

from __future__ import annotations

import os

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")

from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

import numpy as np
import pygame
import pytest
from numpy.typing import NDArray

from simlab.commands.watch import texts_of
from simlab.frame.model import Frame
from simlab.frame.scene import read_scene
from simlab.pictures.marks import Point
from simlab.pictures.palette import rgb
from simlab.statics.solution import solve
from simlab.window.asking import AtOnce
from simlab.window.pane import Pane
from simlab.window.player import Player
from simlab.window.screen import Screen
from simlab.window.session import Display, Session
from simlab.window.takes import Takes
from simlab.window.words import Texts

SCENES = Path(__file__).parent.parent / "scenes"
NEAR = 40  # of 255 in each colour: edges are mixed with what is behind them
scene = lru_cache(read_scene)
OPENED: list[Screen] = []  # by the test that runs
Pixels = NDArray[np.uint8]


@pytest.fixture(autouse=True)
def display(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A display that nobody sees."""
    monkeypatch.setenv("SDL_VIDEODRIVER", "dummy")
    pygame.display.init()
    yield
    for shown in OPENED:  # one that is let go after the display would take another test's window with it
        shown.pane.close()
    OPENED.clear()
    pygame.display.quit()


def answer(frame: Frame) -> Texts:
    """What exact statics says of a frame."""
    return texts_of(solve(frame))


@lru_cache
def answer_of(name: str) -> Texts:
    """The same of a scene, worked out once."""
    return answer(scene(SCENES / f"{name}.toml"))


class Driver:
    """A window on a scene of the repository, and hands that do in it what a watcher does."""

    def __init__(
        self,
        name: str = "kite_lantern",
        size: tuple[int, int] = (960, 540),
        display: Display | None = None,
        *,
        takes: Takes | None = None,
        pane: Pane | None = None,
        seconds: float = 6.0,
        exact: bool = True,
    ) -> None:
        frame = scene(SCENES / f"{name}.toml")
        self.session = Session(Player(frame), display, takes)
        self.player = self.session.player
        texts, asking = (answer_of(name), AtOnce(answer)) if exact else (Texts(), None)
        self.screen = Screen(self.session, texts, size, asking, pane)
        OPENED.append(self.screen)
        self.play(seconds)

    def play(self, seconds: float) -> None:
        """Let time pass."""
        for _ in range(round(60 * seconds)):
            self.player.advance(1 / 60)

    def settle(self, pictures: int = 12) -> None:
        """Draw until nothing glides any more."""
        for _ in range(pictures):
            self.screen.draw()
            self.screen.look_for_answer()

    def key(self, code: int, text: str = "", mod: int = 0, times: int = 1) -> None:
        """Press a key and let it go."""
        for _ in range(times):
            for kind in (pygame.KEYDOWN, pygame.KEYUP):
                self.screen.handle(pygame.event.Event(kind, key=code, unicode=text, mod=mod, scancode=0))
            self.screen.draw()
            self.screen.look_for_answer()

    def letter(self, text: str) -> None:
        """Press a letter's key."""
        self.key(getattr(pygame, f"K_{text}"), text)

    def position(self, page: Point) -> tuple[float, float]:
        """Where the desktop has a point of the page."""
        ratio = self.screen.canvas.ratio
        (wide, high), (w, h) = self.screen.size, self.screen.pane.window.size
        return page[0] * ratio * w / wide, page[1] * ratio * h / high

    def at(self, metres: Point) -> tuple[float, float]:
        """Where the desktop has a point of the frame."""
        return self.position(self.screen.showing.view.point(metres))

    def point(self, name: str) -> Point:
        """Where a point of the frame is now [m]."""
        for body, points in self.player.plan.bodies.items():
            if name in points:
                x, y = self.player.plan.moved(body, points[name], self.player.now().poses)
                return float(x), float(y)
        raise KeyError(name)

    def move(self, to: tuple[float, float]) -> None:
        """Move the mouse to a place of the desktop."""
        self.screen.handle(pygame.event.Event(pygame.MOUSEMOTION, pos=to, rel=(0, 0), buttons=(0, 0, 0)))

    def press(self, at: tuple[float, float], button: int = 1) -> None:
        """A button goes down."""
        self.move(at)
        self.screen.handle(pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=at, button=button))

    def release(self, at: tuple[float, float], button: int = 1) -> None:
        """A button comes up."""
        self.screen.handle(pygame.event.Event(pygame.MOUSEBUTTONUP, pos=at, button=button))

    def click(self, at: tuple[float, float], button: int = 1) -> None:
        """Press and let go in one place."""
        self.press(at, button)
        self.release(at, button)
        self.screen.draw()
        self.screen.look_for_answer()

    def tag(self, name: str) -> tuple[float, float]:
        """The middle of a tag."""
        left, top, right, bottom = next(t for t in self.screen.bench.tags if t.item.name == name).rect
        return self.position(((left + right) / 2, (top + bottom) / 2))

    @property
    def said(self) -> str:
        """The line of words."""
        return next(mark.text for mark in self.screen.showing.words() if mark.name == "caption")

    @property
    def seen(self) -> Pixels:
        """What the window shows: red, green, blue, shape (height, width, 3)."""
        return np.swapaxes(pygame.surfarray.array3d(self.screen.pane.surface), 0, 1)

    def count(self, colour: str, around: tuple[float, float] | None = None, reach: int = 12) -> int:
        """How many pixels are nearly of a colour, of all or within reach of a place."""
        pixels = self.seen
        if around is not None:
            x, y = (round(v) for v in around)
            pixels = pixels[max(y - reach, 0) : y + reach, max(x - reach, 0) : x + reach]
        wanted = np.array(rgb(colour)) * 255
        return int((np.abs(pixels - wanted).max(axis=2) < NEAR).sum())
