"""The head of a sheet: a cord with small lanterns, hung up along the top."""

from __future__ import annotations

from simlab.pictures.palette import GLOW, INK

WIDE, HIGH = 170.0, 9.0  # [mm]
SAG = 2.6  # [mm] of the cord between two nails
SPANS = 2
LANTERNS = 4  # on each span
CORD = 0.9  # [mm] from the garland to a lantern's cap


def garland() -> str:
    """The cord and its lanterns as an SVG document."""
    span = WIDE / SPANS
    cords = " ".join(f"M {k * span:g} 1 q {span / 2:g} {2 * SAG:g} {span:g} 0" for k in range(SPANS))
    lanterns = "".join(
        _lantern((k + (i + 1) / (LANTERNS + 1)) * span, (i + 1) / (LANTERNS + 1))
        for k in range(SPANS)
        for i in range(LANTERNS)
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE:g}mm" height="{HIGH:g}mm" '
        f'viewBox="0 0 {WIDE:g} {HIGH:g}">'
        f'<path d="{cords}" fill="none" stroke="{INK}" stroke-width="0.25"/>{lanterns}</svg>'
    )


def _lantern(x: float, along: float) -> str:
    """A lantern on its cord, `along` a span (0 to 1) that hangs as a parabola."""
    y = 1 + 4 * SAG * along * (1 - along)
    top = y + CORD
    return (
        f'<path d="M {x:.3f} {y:.3f} V {top:.3f}" stroke="{INK}" stroke-width="0.2"/>'
        f'<ellipse cx="{x:.3f}" cy="{top + 1.75:.3f}" rx="1.25" ry="1.55" fill="{GLOW}" stroke="{INK}" '
        f'stroke-width="0.2"/><rect x="{x - 0.5:.3f}" y="{top:.3f}" width="1" height="0.4" fill="{INK}"/>'
        f'<rect x="{x - 0.5:.3f}" y="{top + 3.1:.3f}" width="1" height="0.4" fill="{INK}"/>'
    )
