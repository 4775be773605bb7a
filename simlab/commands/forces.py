"""simlab forces: the exact side alone."""

from __future__ import annotations

from simlab.commands.edge import (
    Json,
    Scene,
    Set,
    code_of,
    console,
    guarded,
    put_json,
    scene_at,
)


@guarded
def command(scene: Scene, changes: Set = None, as_json: Json = False) -> int:
    """Print every force exactly, with its magnitude and direction at the shown values."""
    from simlab.commands.answers import said, unexpected
    from simlab.commands.tables import forces_table, statics_data, values_in_words
    from simlab.statics.solution import solve

    frame = scene_at(scene, changes)
    statics = solve(frame)
    if as_json:
        put_json(statics_data(statics))
    else:
        out = console()
        out.print(f"{frame.title}  {values_in_words(frame, frame.shown)}", style="bold")
        for line in said(statics):
            out.print(line)
        out.print(forces_table(statics))
        kept = [c.words for c in statics.case.holds if c.about in frame.links or c.about in frame.contacts]
        if kept and statics.verdict == "determined":
            out.print(f"All this holds while {', '.join(kept)}.")
        if unexpected(statics):
            out.print(unexpected(statics))
    return code_of(statics.verdict, frame)
