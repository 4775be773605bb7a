"""simlab forces: the exact side alone."""

from __future__ import annotations

from simlab.commands.edge import (
    AGREE,
    NO_UNIQUE_ANSWER,
    Json,
    Scene,
    Set,
    console,
    guarded,
    put_json,
    scene_at,
)


@guarded
def command(scene: Scene, changes: Set = None, as_json: Json = False) -> int:
    """Print every force exactly, with its magnitude and direction at the shown values."""
    from simlab.commands.answers import answers, unexpected
    from simlab.commands.tables import forces_table, statics_data, values_in_words
    from simlab.statics.solution import solve

    frame = scene_at(scene, changes)
    statics = solve(frame)
    if as_json:
        put_json(statics_data(statics))
    else:
        out = console()
        out.print(f"{frame.title}  {values_in_words(frame, frame.shown)}", style="bold")
        out.print(statics.advice)
        if statics.verdict == "falls out":
            out.print("It would take:")
        for words, exact, value in answers(statics):
            out.print(f"  {words} = {exact} = {value}")
        out.print(forces_table(statics))
        kept = [c.words for c in statics.case.holds if c.about in frame.links or c.about in frame.contacts]
        if kept and statics.verdict == "determined":
            out.print(f"All this holds while {', '.join(kept)}.")
        if unexpected(statics):
            out.print(unexpected(statics))
    return AGREE if statics.verdict == frame.expect else NO_UNIQUE_ANSWER
