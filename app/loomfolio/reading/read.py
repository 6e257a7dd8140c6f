"""The reader's pipeline: pixels -> ink -> lines -> graph -> decisions -> conductors.

Each stage is a pure function of the one before (`ink`, `glyphs`, `bodies`, `strokes`, `graph`,
`junctions`, `gaps`, `trace`); this module runs them in order, asks between them whether the work
was called off, and brings the result back to the px of the given page.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from loomfolio.basics import PxBox, PxPoint, WorkCancelledError
from loomfolio.reading.blobs import InkView
from loomfolio.reading.bodies import Body, find_rings, given_bodies, without_bodies
from loomfolio.reading.colour import colours_of
from loomfolio.reading.combs import cut_combs
from loomfolio.reading.dashes import find_dashes, inked
from loomfolio.reading.gaps import FreeEnds, part_stems, settle_ends
from loomfolio.reading.glyphs import set_glyphs_apart, usual_stroke
from loomfolio.reading.graph import build_graph
from loomfolio.reading.hops import Hop, take_out_hops
from loomfolio.reading.ink import find_ink
from loomfolio.reading.junctions import Decision, Place, Question, decide_junctions
from loomfolio.reading.outlines import take_out_outlines
from loomfolio.reading.parts import take_out_parts
from loomfolio.reading.pieces import find_pieces
from loomfolio.reading.records import (
    Conductor,
    Crossing,
    Doubt,
    Junction,
    Outline,
    PageSize,
    Reading,
)
from loomfolio.reading.second_look import second_look
from loomfolio.reading.settings import ReaderSettings
from loomfolio.reading.strays import take_out_strays
from loomfolio.reading.strokes import Strokes, find_strokes
from loomfolio.reading.surround import find_surround, on_sheet
from loomfolio.reading.trace import Traced, trace_conductors
from loomfolio.reading.zigzags import cut_zigzags

READER_VERSION = "19"
"""Part of every cache key: a reading made by another version of the reader is made again."""


USUAL_SETTINGS = ReaderSettings()


def never() -> bool:
    """Nobody calls the work off."""
    return False


def ignore(share: float) -> None:
    """Nobody watches the progress."""
    del share


def read_page(
    pixels: NDArray[np.uint8],
    *,
    dpi: float,
    bodies: Sequence[PxBox] = (),
    settings: ReaderSettings = USUAL_SETTINGS,
    cancelled: Callable[[], bool] = never,
    progress: Callable[[float], None] = ignore,
) -> Reading:
    """Read the conductors of one page.

    Parameters
    ----------
    pixels : uint8, (H, W) grey or (H, W, 3) RGB
        The page, top-left origin. A page without ink gives a reading without conductors.
    dpi : float
        Its resolution.
    bodies : boxes in px of the page
        The bodies a person marked: conductors end at their edges, what is inside is not read.
    settings : ReaderSettings
        Tolerances; the usual ones by default.
    cancelled, progress : callables
        `cancelled()` is asked several times a second; `progress(share)` hears 0..1.

    Raises
    ------
    WorkCancelledError
        As soon as `cancelled()` is true.
    """
    tell = _Teller(cancelled, progress)
    tell(0.0)
    ink = find_ink(pixels, dpi=dpi, settings=settings)
    tell(0.2)
    given = given_bodies(bodies, ink.scale)
    edge_px = settings.px(settings.body_edge_mm)
    outside = without_bodies(ink.mask, given, edge_px, settings.px(settings.body_pen_mm))
    parts = take_out_parts(outside, ink.mask, settings)
    ends = (*given, *parts.bodies)
    seen = _see_lines(parts.left, ink.darkness, ends, settings, tell)
    every = (*ends, *seen.rings)
    lines, strokes, stroke_px = seen.lines, seen.strokes, seen.stroke_px
    tell(0.7)
    outlined = take_out_outlines(
        build_graph(strokes, every, stroke_px, settings), lines.shape, settings, marked=bool(given)
    )
    graph = cut_combs(cut_zigzags(outlined.graph, settings), settings)
    every = (*every, *outlined.bodies)
    graph = take_out_strays(graph, every, seen.glyph_boxes, settings)
    tell(0.8)
    view = InkView(lines, ink.darkness, settings.ink_share)
    decisions = part_stems(graph, decide_junctions(graph, view, seen.hops, settings), settings)
    free = settle_ends(graph, decisions, every, seen.glyph_boxes, lines, settings)
    traced = trace_conductors(graph, decisions, free, every, ink.scale)
    kept = [t for t in traced if _is_conductor(t, settings)]
    colours = colours_of(kept, ink)
    tell(0.95)
    page = PageSize(width_px=pixels.shape[1], height_px=pixels.shape[0], dpi=dpi)
    reading = _in_page_px(page, ink.scale, kept, colours, decisions, free, every)
    asked = second_look(
        ink.mask.view(np.bool_), reading=reading, settings=settings, cancelled=cancelled
    )
    reading = reading.model_copy(update={"doubts": (*reading.doubts, *asked)})
    reading = on_sheet(reading, find_surround(pixels))
    tell(1.0)
    return reading


@dataclass(frozen=True)
class _Lines:
    """What is known of the ink before any line is joined to another."""

    lines: NDArray[np.uint8]
    strokes: Strokes
    rings: tuple[Body, ...]
    glyph_boxes: NDArray[np.float64]
    stroke_px: float
    hops: tuple[Hop, ...]


def _see_lines(
    outside: NDArray[np.uint8],
    darkness: NDArray[np.uint8],
    given: Sequence[Body],
    settings: ReaderSettings,
    tell: _Teller,
) -> _Lines:
    """Set glyphs, dashes, rings and hops apart; hops first, for they break a line like dashes."""
    stroke_px = usual_stroke(outside, settings)
    pieces = find_pieces(outside, settings.px(settings.dash_max_mm))
    dashes = find_dashes(pieces, outside, settings)
    glyphs = set_glyphs_apart(pieces, dashes.in_rows, given, stroke_px, settings)
    seen = _seen(glyphs.lines, glyphs.boxes, stroke_px, settings)
    tell(0.45)
    hopped = take_out_hops(seen.lines, darkness, seen.strokes, stroke_px, settings)
    if hopped.hops:
        tell(0.5)
        outside = (outside & ~(seen.lines & ~hopped.lines)) | hopped.lines
        pieces = find_pieces(outside, settings.px(settings.dash_max_mm))
        dashes = find_dashes(pieces, outside, settings)
        glyphs = set_glyphs_apart(pieces, dashes.in_rows, given, stroke_px, settings)
    elif len(dashes.strips) == 0:
        return seen
    tell(0.6)
    lines = inked(glyphs.lines, dashes.strips)
    return _seen(lines, glyphs.boxes, stroke_px, settings, hopped.hops)


def _seen(
    lines: NDArray[np.uint8],
    glyph_boxes: NDArray[np.float64],
    stroke_px: float,
    settings: ReaderSettings,
    hops: tuple[Hop, ...] = (),
) -> _Lines:
    """Take the rings out, and find the strokes of what is left."""
    rings = find_rings(lines, stroke_px, settings)
    left = without_bodies(lines, rings, 1.0)
    return _Lines(left, find_strokes(left, settings), rings, glyph_boxes, stroke_px, hops)


class _Teller:
    """Tells the progress and stops the work where it was called off."""

    def __init__(self, cancelled: Callable[[], bool], progress: Callable[[float], None]) -> None:
        self.cancelled, self.progress = cancelled, progress

    def __call__(self, share: float) -> None:
        if self.cancelled():
            raise WorkCancelledError
        self.progress(share)


def _is_conductor(traced: Traced, settings: ReaderSettings) -> bool:
    """A conductor has ends, and is long enough to be drawn on purpose."""
    least = settings.pin_line_min_mm if traced.at_bodies else settings.conductor_min_mm
    return traced.ends > 0 and traced.length >= settings.px(least)


def _in_page_px(
    page: PageSize,
    scale: float,
    kept: Sequence[Traced],
    colours: Sequence[str | None],
    decisions: dict[int, Decision],
    free: FreeEnds,
    bodies: Sequence[Body],
) -> Reading:
    """Bring everything that belongs to a kept conductor to px of the given page."""
    edges = {e for t in kept for e in t.edges}
    every = [decisions[n] for n in sorted(decisions)]
    bridges = [b for b in free.bridges if b.a[0] in edges]
    junctions = [p for d in every for p in d.junctions]
    crossings = [p for d in every for p in d.crossings] + [
        b.crossing for b in bridges if b.crossing
    ]
    doubts = [p for d in every for p in d.doubts] + [b.doubt for b in bridges if b.doubt]
    doubts += list(free.doubts)
    used = set(free.at_body.values())
    return Reading(
        page=page,
        conductors=tuple(
            Conductor(
                id=number,
                lines=tuple(_polyline(line, scale) for line in t.lines),
                stroke_px=round(t.width / scale, 2),
                colour=colour,
            )
            for number, (t, colour) in enumerate(zip(kept, colours, strict=True), 1)
        ),
        junctions=tuple(Junction(**_at(p, scale), kind=p.kind) for p in junctions),
        crossings=tuple(Crossing(**_at(p, scale), kind=p.kind) for p in crossings),
        bodies=tuple(
            Outline(box=PxBox(*(round(v / scale, 2) for v in b.box)))
            for k, b in enumerate(bodies)
            if b.given or k in used
        ),
        doubts=tuple(Doubt(**_at(p, scale), kind=p.kind, taken=p.taken) for p in doubts),
    )


def _at(place: Place[Any] | Question, scale: float) -> dict[str, float]:
    return {"x": round(place.x / scale, 2), "y": round(place.y / scale, 2)}


def _polyline(line: NDArray[np.float64], scale: float) -> tuple[PxPoint, ...]:
    return tuple(PxPoint(round(float(x) / scale, 2), round(float(y) / scale, 2)) for x, y in line)
