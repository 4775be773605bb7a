"""Labels of the window: they hold still while arrows come and go, and nothing of them jumps."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from test_window_screen import screen
from window_driver import Driver, display

from simlab.pictures.marks import Label
from simlab.pictures.succession import FADE, FASTEST
from simlab.window.screen import RATE

assert display  # the display that nobody sees, for each test here


def test_labels_do_not_fly_from_the_frame_to_one_rod_alone():
    """One rod alone is another picture: at once each label stands where it stays."""
    shown = Driver("kite_lantern", (640, 360)).screen
    for _ in range(40):
        shown.draw()
    for body in ("LB", None):
        shown.player.isolate(body)
        shown.draw()
        first = dict(shown.shown[1])
        assert len(first) > 5
        for _ in range(5):
            shown.draw()
        assert shown.shown[1] == first


def test_labels_hold_still_while_arrows_come_and_go(monkeypatch):
    """Arrows off, on again, then the brace out: no label changes its seat, jumps, or comes all at once."""
    shown = screen((640, 360))
    follow, seen = shown._succession.follow, []

    def watched(marks, camera, within=None):
        drawn, placement = follow(marks, camera, within)
        words = [mark for mark in drawn if isinstance(mark, Label) and mark.sides]
        seen.append({m.name: (m.opacity, *placement[m.name][:3]) for m in words})
        return drawn, placement

    monkeypatch.setattr(shown._succession, "follow", watched)
    for press in (lambda: None, shown.player.arrows_on_or_off, shown.player.arrows_on_or_off):
        press()
        for _ in range(25):
            shown.player.advance(1 / RATE)
            shown.draw()
    shown.player.release_or_restore()
    for _ in range(40):
        shown.player.advance(1 / RATE)
        shown.draw()

    assert len({name for words in seen for name in words}) > 5
    for before, now in pairwise(seen):
        for name in {*before, *now}:
            was, (there, x, y, seat) = before.get(name), now.get(name, (0.0, 0.0, 0.0, -1))
            assert abs(there - (was[0] if was else 0.0)) <= 1 / (FADE * RATE) + 1e-9
            if was and there:
                assert was[3] == seat
                assert np.hypot(was[1] - x, was[2] - y) <= FASTEST / RATE
