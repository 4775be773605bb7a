"""simlab schema: the JSON Schema of scene files."""

from __future__ import annotations

from simlab.commands.edge import AGREE, guarded, put_json


@guarded
def command() -> int:
    """Print the JSON Schema of scene files, so that editors complete and check them."""
    from simlab.frame.scene_file import schema

    put_json(schema())
    return AGREE
