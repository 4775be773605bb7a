"""The kinds of film that can be written, each by the ending of its name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from simlab.errors import BadInput

SMALLEST, LARGEST = 16, 8192  # [px] sides of a picture that every player accepts


@dataclass(frozen=True)
class Format:
    """One kind of film: what it is for, how its pictures are kept, and what is usual for it.

    size (width, height) [px] and rate [pictures/s] are its defaults; `fastest` is the highest rate;
    `told`: whether it holds a title, chapters and captions; `even`: whether its sides have to be
    even, since two by two pixels share a colour.
    """

    name: str  # of the container, as FFmpeg knows it
    codec: str
    pixels: str  # how the codec is given its pictures
    options: Mapping[str, str]  # of the codec
    ordering: Mapping[str, str]  # of the container, when the film is put in order
    size: tuple[int, int] = (1920, 1080)  # what projectors show
    rate: int = 60  # smooth for a collapse
    fastest: int = 240  # more than any screen shows
    told: bool = True
    even: bool = True


# H.264, measured at 1080p60: clean to the eye. Processor time against size: subme=1 -27 %, +5 %;
# bframes=1 -10 %, +13 % (and 0.4 dB better); weightp=0 and me=dia -10 %, +0.4 %. The offset keeps
# thin arrows in their colour.
_H264 = {
    "preset": "veryfast",
    "crf": "20",
    "x264-params": "subme=1:chroma-qp-offset=-4:bframes=1:weightp=0:me=dia",
}
# VP9, measured on the same pictures: as quick as H.264 and 2 dB better, at 1.4 times the size. AV1 was
# smaller (0.85) but took twice the time and 1 GB of memory; older players do not know it.
_VP9 = {"deadline": "realtime", "cpu-used": "8", "crf": "32", "b": "0", "row-mt": "1"}
_EXACT = {"preset": "ultrafast", "qp": "0"}  # H.264 without loss, until the palette is known

FORMATS: Mapping[str, Format] = {
    ".mp4": Format("mp4", "libx264", "yuv420p", _H264, {"movflags": "+faststart"}),
    ".webm": Format("webm", "libvpx-vp9", "yuv420p", _VP9, {}),
    # for slides: small and slow enough to load at once; its clock counts hundredths of a second
    ".gif": Format(
        "gif", "libx264rgb", "rgb24", _EXACT, {"loop": "0"}, (640, 360), 15, 50, told=False, even=False
    ),
}


def format_of(path: Path) -> Format:
    """The kind of film that a file's name says; BadInput for any other name."""
    kind = path.suffix.lower()
    if kind not in FORMATS:
        raise BadInput(
            f"{path}: films are written as {', '.join(FORMATS)}"
            + (f', not "{kind}"' if kind else "; give the name one of these endings")
        )
    return FORMATS[kind]


def check_form(form: Format, size: tuple[int, int], rate: int) -> None:
    """BadInput where a film of this kind cannot have such pictures, or so many a second."""
    for side in size:
        if (form.even and side % 2) or not SMALLEST <= side <= LARGEST:
            both = f"{'even, ' if form.even else ''}{SMALLEST} to {LARGEST}"
            raise BadInput(f"a film of {size[0]} x {size[1]} px; both must be {both}")
    if isinstance(rate, bool) or not isinstance(rate, int):
        raise BadInput(f"{rate} is no number of pictures a second; it must be a whole one")
    if not 1 <= rate <= form.fastest:
        raise BadInput(f"{rate} pictures a second; 1 to {form.fastest} are allowed in .{form.name} files")
