"""What the whole test run reports: how many published problems were checked, by origin of their answers."""

from __future__ import annotations

import os
from collections import Counter

# As `simlab` itself does: threads on small matrices wait for one another, above all beside other tests.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("SYMPY_CACHE_SIZE", "20000")

import pytest

ORIGINS = ("published", "remembered", "worked out here")


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Count the passed tests that recorded a property "published": "<road>|<origin of the answer>"."""
    roads: dict[str, Counter[str]] = {}
    for report in terminalreporter.getreports("passed"):
        for name, value in report.user_properties:
            if name == "published":
                road, origin = str(value).split("|")
                roads.setdefault(road, Counter())[origin] += 1
    for road, count in sorted(roads.items()):
        told = ", ".join(f"{count[origin]} {origin}" for origin in ORIGINS)
        terminalreporter.write_line(f"published problems checked ({road}): {told}")
