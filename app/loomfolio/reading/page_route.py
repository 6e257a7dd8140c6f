"""Which way a page is read: from its pixels, from what its file draws, or from both.

- *pixels*: a picture file, a scan inside a PDF, a page with more in it than is read stroke by stroke, and
  a page on which strokes run into a picture: only the pixels show how the two meet.
- *strokes*: a page that was written as a drawing.
- *both*: pictures stand beside what is drawn; each is read its own way.

The words that the file itself writes come along on every way.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from loomfolio.basics import MM_PER_INCH, PxBox
from loomfolio.reading.read import USUAL_SETTINGS, ignore, never, read_page
from loomfolio.reading.records import Conductor, Reading, Route, Text
from loomfolio.reading.settings import ReaderSettings
from loomfolio.reading.vector import PAPER_DARKNESS, read_drawing
from loomfolio.reading.words import read_words
from loomfolio.sheets import PageDrawing

U8 = NDArray[np.uint8]

DRAWING_VERSION = "2"
"""Part of every cache key beside `READER_VERSION`: the reader of what is drawn, and this choice."""
PICTURE_LEAST_MM = 15.0
"""A picture smaller than this one way is a mark or a logo and holds no diagram."""
MOST_POINTS = 250_000
"""Pages with more corners in their strokes are read from pixels, whose cost does not grow with them."""
ENTERS_MM = 0.5
"""A stroke that reaches no farther into a picture only frames it."""
HIDDEN_CONFIDENCE = 0.8
"""Of words that the file hides under a picture: another program recognised them there."""


@dataclass(frozen=True)
class _Plan:
    """The way of a page, and on the way by both the area of its pictures, px of the page."""

    route: Route
    pictures: Any = None


def read_any_page(
    pixels: Callable[[], U8],
    drawing: PageDrawing | None,
    *,
    dpi: float,
    bodies: Sequence[PxBox] = (),
    settings: ReaderSettings = USUAL_SETTINGS,
    cancelled: Callable[[], bool] = never,
    progress: Callable[[float], None] = ignore,
) -> Reading:
    """Read one page the way that its file allows; `Reading.route` says which it was.

    The words that the file writes are told; those in its pictures `with_recognised_words` adds.

    Parameters
    ----------
    pixels : () -> uint8, (H, W) or (H, W, 3)
        The page as pixels; asked for only where they are needed.
    drawing : PageDrawing or None
        What the file draws, px of the same page; None for a picture file.
    dpi, bodies, settings, cancelled, progress
        As `read_page`.

    Raises
    ------
    WorkCancelledError
        As soon as `cancelled()` is true.
    """
    plan = _plan(drawing, dpi)
    if drawing is None or plan.route == "pixels":
        reading = read_page(
            pixels(),
            dpi=dpi,
            bodies=bodies,
            settings=settings,
            cancelled=cancelled,
            progress=progress,
        )
        return reading if drawing is None else _with(reading, drawing, "pixels")
    half = 0.2 if plan.route == "both" else 1.0
    drawn = read_drawing(
        _outside(replace(drawing, dpi=dpi), plan.pictures),
        bodies=bodies,
        settings=settings,
        cancelled=cancelled,
        progress=lambda share: progress(half * share),
    )
    if plan.route == "strokes":
        return _with(drawn, drawing, "strokes")
    seen = read_page(
        _only(pixels(), plan.pictures),
        dpi=dpi,
        bodies=bodies,
        settings=settings,
        cancelled=cancelled,
        progress=lambda share: progress(half + (1 - half) * share),
    )
    return _with(_together(drawn, seen), drawing, "both")


def with_recognised_words(
    reading: Reading,
    pixels: Callable[[], U8],
    *,
    bodies: Sequence[PxBox] = (),
    settings: ReaderSettings = USUAL_SETTINGS,
    cancelled: Callable[[], bool] = never,
) -> Reading:
    """Return a reading with the words that stand in pixels added to those that its file writes.

    A page read from its strokes alone has none to add, and its pixels are not asked for. Parameters as
    of `read_any_page`, whose reading this takes.

    Raises
    ------
    WorkCancelledError
        As soon as `cancelled()` is true.
    """
    if reading.route == "strokes":
        return reading
    outlines = [*bodies, *(outline.box for outline in reading.bodies)]
    found = read_words(
        pixels(), dpi=reading.page.dpi, bodies=outlines, settings=settings, cancelled=cancelled
    )
    fresh = [text for text in found if not _is_told(text, reading.texts)]
    return reading.model_copy(update={"texts": (*reading.texts, *fresh)})


def _is_told(text: Text, known: Sequence[Text]) -> bool:
    """Does a word of the file itself stand where this one was recognised?"""
    x, y = (text.box.x0 + text.box.x1) / 2, (text.box.y0 + text.box.y1) / 2
    return any(
        k.confidence >= 1.0 and k.box.x0 <= x <= k.box.x1 and k.box.y0 <= y <= k.box.y1
        for k in known
    )


def _plan(drawing: PageDrawing | None, dpi: float) -> _Plan:
    if drawing is None or sum(len(s.points) for s in drawing.strokes) > MOST_POINTS:
        return _Plan("pixels")
    pictures = _picture_area(drawing, dpi)
    strokes = [
        shapely.linestrings(s.points)
        for s in drawing.strokes
        if s.colour.darkness >= PAPER_DARKNESS
    ]
    if pictures is None:
        return _Plan("strokes")
    inner = shapely.buffer(pictures, -ENTERS_MM * dpi / MM_PER_INCH)
    shapely.prepare(inner)
    within = shapely.intersects(inner, strokes) if strokes else np.zeros(0, np.bool_)
    if not strokes or bool(within.all()):
        return _Plan("pixels")
    across = within & ~shapely.covered_by(strokes, shapely.buffer(pictures, 1.0))
    return _Plan("pixels") if bool(across.any()) else _Plan("both", pictures)


def _picture_area(drawing: PageDrawing, dpi: float) -> Any:
    """The area of pictures that may hold a diagram; the strips of one scan count as one picture."""
    if not drawing.pictures:
        return None
    boxes = [shapely.box(*picture.box) for picture in drawing.pictures]
    joined = shapely.buffer(shapely.union_all(shapely.buffer(boxes, 1.0, join_style="mitre")), -1.0)
    least = PICTURE_LEAST_MM * dpi / MM_PER_INCH
    parts = []
    for part in shapely.get_parts(joined):
        x0, y0, x1, y1 = shapely.bounds(part)
        if min(x1 - x0, y1 - y0) >= least:
            parts.append(part)
    return shapely.union_all(parts) if parts else None


def _outside(drawing: PageDrawing, pictures: Any) -> PageDrawing:
    """The drawing without the strokes that lie on a picture: they are read with its pixels."""
    if pictures is None:
        return drawing
    wide = shapely.buffer(pictures, 1.0)
    kept = [
        s for s in drawing.strokes if not shapely.covered_by(shapely.linestrings(s.points), wide)
    ]
    return replace(drawing, strokes=tuple(kept))


def _only(page: U8, pictures: Any) -> U8:
    """The page with white paper all round its pictures."""
    white = np.full_like(page, 255)
    for part in shapely.get_parts(pictures):
        x0, y0, x1, y1 = (int(v) for v in np.rint(shapely.bounds(part)))
        area = np.s_[max(y0, 0) : max(y1, 0), max(x0, 0) : max(x1, 0)]
        white[area] = page[area]
    return white


def _together(drawn: Reading, seen: Reading) -> Reading:
    """Both readings as one; the conductors are numbered on."""
    count = len(drawn.conductors)
    moved = tuple(
        Conductor.model_validate({**c.model_dump(), "id": count + c.id}) for c in seen.conductors
    )
    bodies = dict.fromkeys((*drawn.bodies, *seen.bodies))
    return drawn.model_copy(
        update={
            "conductors": (*drawn.conductors, *moved),
            "junctions": (*drawn.junctions, *seen.junctions),
            "crossings": (*drawn.crossings, *seen.crossings),
            "bodies": tuple(bodies),
            "doubts": (*drawn.doubts, *seen.doubts),
        }
    )


def _with(reading: Reading, drawing: PageDrawing, route: Route) -> Reading:
    """The reading with its way and with the words that the file writes."""
    texts = tuple(
        Text(
            text=word.text,
            box=PxBox(*(round(edge, 2) for edge in word.box)),
            confidence=HIDDEN_CONFIDENCE if word.is_hidden else 1.0,
        )
        for word in drawing.words
        if word.text
    )
    return reading.model_copy(update={"route": route, "texts": (*texts, *reading.texts)})
