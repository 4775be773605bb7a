"""A reel put in order: the finished film, with its chapters, captions and title. It uses PyAV."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from fractions import Fraction
from itertools import chain, pairwise
from pathlib import Path

import av
from av.container import InputContainer, OutputContainer
from av.filter import Graph
from av.filter.context import FilterContext
from av.video.frame import VideoFrame

from simlab.film.captions import TRACK_STYLE, Caption, timed_text
from simlab.film.encoder import WITHOUT_VERSIONS
from simlab.film.formats import Format
from simlab.film.words import MILLISECOND, Words


def put_in_order(reel: Path, film: Path, form: Format, words: Words, seconds: Fraction) -> None:
    """Write the pictures of a reel, `seconds` long, as a finished film in another file.

    What this kind of film cannot hold is left out. An mp4 has its index in front, so that it plays
    while it loads. The same reel and words give the same bytes.
    Raises OSError where the file cannot be written.
    """
    # To move its index FFmpeg opens a file by name; other files are better ours, since FFmpeg does not
    # say that the last bytes of its own found no room.
    by_name = "movflags" in form.ordering
    with (
        av.open(str(reel)) as source,
        film.open("wb") as disk,
        av.open(str(film) if by_name else disk, "w", form.name, dict(form.ordering)) as target,
    ):
        target.flags |= WITHOUT_VERSIONS
        if not form.told:
            _loop(reel, source, target)
            return
        target.metadata.update(words.metadata)
        pictures = target.add_stream_from_template(source.streams.video[0])
        if words.captions:
            _add(words.captions, target, form)
        for packet in source.demux(source.streams.video[0]):
            if packet.dts is not None:
                packet.stream = pictures
                target.mux(packet)
        bounds = [round(1000 * start) for start, _ in words.chapters] + [round(1000 * seconds)]
        target.set_chapters(
            [
                {
                    "id": i,
                    "start": start,
                    "end": end,
                    "time_base": MILLISECOND,
                    "metadata": {"title": title},
                }
                for i, ((start, end), (_, title)) in enumerate(
                    zip(pairwise(bounds), words.chapters, strict=True)
                )
            ]
        )


def _add(captions: Sequence[Caption], film: OutputContainer, form: Format) -> None:
    """Hand all captions to the file at once; it interleaves them with the pictures by time."""
    timed = form.name == "mp4"
    track = film.add_stream("mov_text" if timed else "webvtt")
    track.codec_context.subtitle_header = TRACK_STYLE
    track.codec_context.time_base = track.time_base = MILLISECOND
    track.metadata["language"] = "eng"
    for caption in captions:
        start, end = caption.milliseconds
        packet = av.Packet(timed_text(caption) if timed else caption.cue.encode())
        packet.stream, packet.time_base = track, MILLISECOND
        packet.pts = packet.dts = start
        packet.duration = end - start
        film.mux(packet)


def _loop(reel: Path, source: InputContainer, film: OutputContainer) -> None:
    """Write the pictures in the 256 colours that suit them best, to be shown again and again."""
    pictures = source.streams.video[0]
    colours = _palette(reel)
    graph = Graph()
    drawn = graph.add_buffer(template=pictures)
    chosen = graph.add_buffer(width=16, height=16, format=colours.format, time_base=Fraction(1))
    # no dithering: flat colours stay flat, and only what moves is written again
    nearest = graph.add("paletteuse", "dither=none:diff_mode=rectangle")
    drawn.link_to(nearest, 0, 0)
    chosen.link_to(nearest, 0, 1)
    nearest.link_to(graph.add("buffersink"))
    graph.configure()
    chosen.push(colours)
    chosen.push(None)
    loop = film.add_stream("gif", pictures.average_rate)
    loop.width, loop.height, loop.pix_fmt = pictures.width, pictures.height, "pal8"
    for frame in _through(graph, drawn, source):
        film.mux(loop.encode(frame))
    film.mux(loop.encode())


def _palette(reel: Path) -> VideoFrame:
    """The 256 colours that come nearest to all those of a reel, as a picture of 16 x 16."""
    with av.open(str(reel)) as source:
        graph = Graph()
        drawn = graph.add_buffer(template=source.streams.video[0])
        graph.link_nodes(drawn, graph.add("palettegen", "reserve_transparent=0"), graph.add("buffersink"))
        graph.configure()
        (palette,) = _through(graph, drawn, source)
        return palette


def _through(graph: Graph, entry: FilterContext, source: InputContainer) -> Iterator[VideoFrame]:
    """The pictures of a reel as they come out of a graph of filters."""
    for frame in chain(source.decode(video=0), [None]):
        entry.push(frame)
        with suppress(BlockingIOError, EOFError):
            while True:
                yield graph.vpull()
