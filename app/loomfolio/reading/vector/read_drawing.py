"""The reader of drawn pages: strokes -> lines -> contacts -> graph -> decisions -> conductors.

Nothing is guessed from ink here: where lines are, where they end, what covers what and which discs are
dots stands in the file. From the graph on the stages are those of the reader of pixels (`zigzags`,
`outlines`, `gaps`, `trace`), which ask the lines, drawn anew as a mask, where they ask for ink.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from loomfolio.basics import PxBox, WorkCancelledError
from loomfolio.reading.bodies import Body, given_bodies
from loomfolio.reading.gaps import settle_ends
from loomfolio.reading.outlines import take_out_outlines
from loomfolio.reading.parts import take_out_parts
from loomfolio.reading.records import PageSize, Reading
from loomfolio.reading.settings import ReaderSettings
from loomfolio.reading.told import is_conductor, reading_of
from loomfolio.reading.trace import Traced, trace_conductors
from loomfolio.reading.vector.coils import without_coils
from loomfolio.reading.vector.contacts import find_contacts, find_dot_contacts
from loomfolio.reading.vector.dashes import joined_dashes
from loomfolio.reading.vector.decide import decide_nodes
from loomfolio.reading.vector.graph import VectorGraph, build_vector_graph, with_exact_arms
from loomfolio.reading.vector.ink import sort_ink
from loomfolio.reading.vector.letters import letters_apart
from loomfolio.reading.vector.lines import Dot, Line
from loomfolio.reading.vector.overlays import without_overlays
from loomfolio.reading.vector.passing import bridge_exact_breaks
from loomfolio.reading.vector.shapes import (
    clear_circles,
    clear_given,
    drawn_whole,
    met_from_outside,
    without_screens,
)
from loomfolio.reading.zigzags import cut_zigzags
from loomfolio.sheets import PageDrawing

F64 = NDArray[np.float64]
U8 = NDArray[np.uint8]

CHROMA_LEAST = 30
"""Difference of the strongest and the weakest channel above which a line is not black or grey; the
file says the colour itself, so less is enough than on a scan."""


@dataclass(frozen=True)
class _Seen:
    """The lines to be joined, with what is known beside them; working px."""

    lines: list[Line]
    dots: tuple[Dot, ...]
    letter_boxes: F64
    bodies: tuple[Body, ...]


def read_drawing(
    drawing: PageDrawing,
    *,
    bodies: Sequence[PxBox] = (),
    settings: ReaderSettings,
    cancelled: Callable[[], bool],
    progress: Callable[[float], None],
) -> Reading:
    """Read the conductors of a drawn page; without strokes there are none.

    Parameters
    ----------
    drawing : PageDrawing
        What the file draws, px of the page at `drawing.dpi`.
    bodies : boxes in px of the page
        The bodies a person marked: conductors end at their edges, what is inside is not read.
    settings, cancelled, progress
        As `read_page`.

    Raises
    ------
    WorkCancelledError
        As soon as `cancelled()` is true.
    """

    def tell(share: float) -> None:
        if cancelled():
            raise WorkCancelledError
        progress(share)

    tell(0.0)
    scale = settings.working_dpi / drawing.dpi
    seen = _see(drawing, given_bodies(bodies, scale), scale, settings)
    tell(0.4)
    stroke_px = _usual_width(seen.lines)
    drawn = build_vector_graph(
        seen.lines,
        find_contacts(seen.lines, seen.bodies, settings),
        find_dot_contacts(seen.lines, seen.dots),
        seen.dots,
        stroke_px,
    )
    tell(0.7)
    size = _size(drawing, scale)
    outlined = take_out_outlines(drawn.graph, size, settings, marked=bool(bodies))
    graph = with_exact_arms(cut_zigzags(outlined.graph, settings))
    every = (*seen.bodies, *outlined.bodies)
    decisions = decide_nodes(drawn, graph, settings)
    free = settle_ends(
        graph, decisions, every, seen.letter_boxes, _mask_of(seen.lines, size), settings
    )
    free = bridge_exact_breaks(graph, decisions, free, seen.lines, seen.letter_boxes, settings)
    tell(0.9)
    traced = trace_conductors(graph, decisions, free, every, scale)
    kept = [t for t in traced if is_conductor(t, settings)]
    page = PageSize(width_px=drawing.width_px, height_px=drawing.height_px, dpi=drawing.dpi)
    looks = [(_colour_of(t, drawn), _is_dashed(t, drawn)) for t in kept]
    reading = reading_of(page, scale, kept, looks, decisions, free, every)
    tell(1.0)
    return reading


def _see(
    drawing: PageDrawing, given: tuple[Body, ...], scale: float, settings: ReaderSettings
) -> _Seen:
    """Sort the ink, take the bodies out of it, and set letters, stripes and dashes apart."""
    ink = sort_ink(drawing, scale, settings)
    lines = clear_given(ink.lines, given, settings)
    mask = _mask_of(lines, _size(drawing, scale))
    parts = met_from_outside(take_out_parts(mask, mask, settings).bodies, lines, settings)
    if given:
        # Where a person marked the bodies, only what is drawn as a whole outline is one more: lines
        # and brackets that look like one are mistaken more often than a body is forgotten.
        parts = drawn_whole(parts, lines)
    lines = clear_given(lines, parts, settings)
    ends = (*given, *parts)
    lines = joined_dashes(without_overlays(without_coils(lines, settings)), ends, settings)
    circles = [c for c in ink.circles if not any(b.distance(c.x, c.y) == 0 for b in ends)]
    dots = tuple(d for d in ink.dots if not any(b.distance(d.x, d.y) == 0 for b in ends))
    cleared = clear_circles(without_screens(lines), circles, settings)
    held = (*ends, *cleared.bodies)
    lettered = letters_apart(cleared.lines, dots, circles, held, settings)
    boxes = np.vstack([ink.letter_boxes, lettered.letter_boxes])
    return _Seen(lettered.lines, dots, boxes, held)


def _size(drawing: PageDrawing, scale: float) -> tuple[int, int]:
    """Height and width of the working image."""
    return round(drawing.height_px * scale) + 1, round(drawing.width_px * scale) + 1


def _usual_width(lines: Sequence[Line]) -> float:
    """The width of most of the line on the page; that of a thin pen where there is none."""
    if not lines:
        return 3.0
    lengths: dict[float, float] = defaultdict(float)
    for line in lines:
        lengths[round(line.width, 1)] += line.length
    return max(lengths, key=lambda width: (lengths[width], -width))


def _mask_of(lines: Sequence[Line], size: tuple[int, int]) -> U8:
    """The lines drawn as ink, uint8 (H, W) of zeros and ones; thin ones 2 px wide."""
    mask = np.zeros(size, dtype=np.uint8)
    for line in lines:
        points = np.rint((line.points - 0.5) * 16).astype(np.int32).reshape(-1, 1, 2)
        width = max(2, round(line.width))
        cv2.polylines(mask, [points], isClosed=False, color=1, thickness=width, shift=4)
    return mask


def _colour_of(traced: Traced, drawn: VectorGraph) -> str | None:
    """The colour of most of a conductor, or None where it is black or grey."""
    lengths: dict[tuple[int, int, int], float] = defaultdict(float)
    for edge in traced.edges:
        if edge in drawn.looks:
            lengths[drawn.looks[edge].colour] += drawn.looks[edge].length
    if not lengths:
        return None
    colour = max(lengths, key=lambda rgb: (lengths[rgb], rgb))
    if max(colour) - min(colour) < CHROMA_LEAST:
        return None
    return "#{:02X}{:02X}{:02X}".format(*colour)


def _is_dashed(traced: Traced, drawn: VectorGraph) -> bool:
    """Is most of a conductor dashed?"""
    looks = [drawn.looks[edge] for edge in traced.edges if edge in drawn.looks]
    dashed = sum(line.length for line in looks if line.is_dashed)
    return dashed > 0.5 * sum(line.length for line in looks)
