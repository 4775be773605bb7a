"""What a film tells of a frame: both roads, the showing, the release, the working, as one story."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simlab.commands.edge import class_at
from simlab.commands.shapes import drawn_as_asked

if TYPE_CHECKING:
    from rich.progress import Progress

    from simlab.film.story import Story
    from simlab.results import Comparison, Findings, Reading
    from simlab.results.conventions import Conventions


def tell(
    findings: Findings,
    progress: Progress,
    conventions: Conventions | None = None,
    chain: int | None = None,
    beside: Findings | None = None,
) -> tuple[Story, Comparison, Reading]:
    """Both roads, the showing, the release, the working of a frame in its first shape, as a story.

    beside : the same frame at other values, to be shown beside it
    """
    from simlab.commands.closing import closing_answers, in_figures
    from simlab.commands.film_prevented import prevented_motion
    from simlab.commands.film_twins import two_values
    from simlab.commands.film_working import told_working
    from simlab.comparison import compare
    from simlab.film.story import Story
    from simlab.simulation.release import hang, release
    from simlab.simulation.settle import settle

    task = progress.add_task("settling", total=1.0)
    statics = findings.shapes[0]
    frame = statics.frame
    own = class_at(None) if conventions is None else conventions.of(frame)
    reading = settle(frame)
    comparison = compare(statics, reading)
    progress.update(task, completed=1.0)
    task = progress.add_task("letting gravity on", total=1.0)
    hanging = hang(frame, progress=lambda share: progress.update(task, completed=share))
    falling = None
    if frame.brace is not None and statics.verdict == "determined":
        task = progress.add_task(f"taking the {frame.brace} away", total=1.0)
        falling = release(frame, progress=lambda share: progress.update(task, completed=share))
    sound = comparison.agreement == "agree" and statics.verdict == "determined"
    worked = None
    if sound and chain is not None:
        progress.add_task("working it out", total=None)
        worked = told_working(findings, own, chain)
    story = Story(
        frame,
        frame.shown,
        hanging,
        falling,
        statics.verdict,
        statics.case.freedom.rest,
        statics.advice,
        statics.case.forces if sound else None,
        closing_answers(findings, reading.forces, own) if sound and reading.forces else (),
        in_figures(frame, comparison.largest) if sound else comparison.advice,
        drawn_as_asked(findings),
        own,
        worked,
        prevented_motion(statics, own) if sound else None,
        None if beside is None else two_values(statics, beside.shapes[0], falling, own),
    )
    return story, comparison, reading
