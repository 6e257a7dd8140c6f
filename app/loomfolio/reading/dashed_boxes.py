"""Outlines drawn in dashes: four rows of dashes that close to a rectangle.

Such an outline is never a conductor, whether it is the edge of a part that is shown in part (lines
end at it) or goes round some symbols (lines cross it and run on). Its dashes are taken out of the
ink where no line crosses; it is a body only where no line runs through.

Legend: H, W of the working image; rows are written for level ones, upright ones are turned over.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from loomfolio.basics import PxBox
from loomfolio.reading.bars import Bars, PageBars
from loomfolio.reading.bodies import Body
from loomfolio.reading.settings import ReaderSettings

U8 = NDArray[np.uint8]
F64 = NDArray[np.float64]

COVERED_LEAST = 0.7
"""Share of a side that its row must span: the last dash may be lost in a corner."""

INKED_LEAST = 0.85
DASHES_LEAST = 3
"""Two bars in line are also the pieces of a line between two hops."""


APART_LEAST = 0.5
"""Of the pieces of a dashed row, more than this stand apart from all other ink at both ends."""


@dataclass(frozen=True)
class _Row:
    """A level row of dashes: float64 (D, 4) boxes in order along x."""

    dashes: F64

    @property
    def span(self) -> tuple[float, float]:
        """Where the row starts and ends."""
        return float(self.dashes[0, 0]), float(self.dashes[-1, 2])

    @property
    def level(self) -> float:
        """The height of its middle."""
        return float((self.dashes[:, 1] + self.dashes[:, 3]).mean() / 2)


@dataclass(frozen=True)
class DashedBoxes:
    """The ink without the dashes of outlines, uint8 (H, W), and the bodies among the outlines."""

    left: U8
    bodies: tuple[Body, ...]


def take_out_dashed_boxes(
    mask: U8, bars: PageBars, stroke_px: float, settings: ReaderSettings
) -> DashedBoxes:
    """Find rectangles drawn in dashes in ink, uint8 (H, W) of zeros and ones, and take them out."""
    turned = np.ascontiguousarray(mask.T)
    level = [r for r in _rows(bars.level, stroke_px, settings) if _is_dashed(r, mask)]
    upright = [r for r in _rows(bars.upright, stroke_px, settings) if _is_dashed(r, turned)]
    left = mask.copy()
    reach = round(settings.px(settings.crossing_line_mm))
    bodies: list[Body] = []
    for sides in _rectangles(level, upright, settings):
        top, bottom, west, east = sides
        seen = _without_glyphs(mask, sides, settings.px(settings.glyph_max_mm))
        through = _wipe(left, seen, (top, bottom), reach)
        through += _wipe(left.T, np.ascontiguousarray(seen.T), (west, east), reach)
        if not through:
            bodies.append(_body_of(sides))
    return DashedBoxes(left, tuple(sorted(bodies, key=lambda b: b.box)))


def _rows(bars: Bars, stroke_px: float, settings: ReaderSettings) -> list[_Row]:
    """Rows of some level dashes with like gaps."""
    px = settings.px
    boxes = bars.boxes[bars.length <= px(settings.dash_max_mm)]
    follower = _followers(boxes, stroke_px, px(settings.outline_gap_mm))
    headed = set(follower.values())
    rows: list[_Row] = []
    for first in range(len(boxes)):
        if first in headed:
            continue
        chain = [first]
        while chain[-1] in follower:
            chain.append(follower[chain[-1]])
        rows += [_Row(boxes[part]) for part in _alike(boxes, chain)]
    return rows


def _is_dashed(row: _Row, mask: U8) -> bool:
    """Is there paper round the ends of most pieces? Lines between hops have their arcs there."""
    apart = 0
    for x0, y0, x1, y1 in row.dashes.astype(int).tolist():
        rows = slice(max(y0 - 2, 0), y1 + 2)
        ends = mask[rows, max(x0 - 2, 0) : x0], mask[rows, x1 : x1 + 2]
        apart += not any(end.any() for end in ends)
    return apart > APART_LEAST * len(row.dashes)


def _followers(boxes: F64, stroke_px: float, most: float) -> dict[int, int]:
    """The dash that follows each across one gap on its level; each follows one at most."""
    follower: dict[int, int] = {}
    taken: set[int] = set()
    middle = (boxes[:, 1] + boxes[:, 3]) / 2
    for k in range(len(boxes)):
        gap = boxes[:, 0] - boxes[k, 2]
        near = np.flatnonzero((gap > 0.5 * stroke_px) & (gap <= most))
        near = near[np.abs(middle[near] - middle[k]) <= 0.5 * stroke_px + 1.5]
        for j in near[np.argsort(gap[near], kind="stable")].tolist()[:1]:
            if j not in taken:
                follower[k] = j
                taken.add(j)
    return follower


def _alike(boxes: F64, chain: list[int]) -> list[list[int]]:
    """The chain, cut where a gap differs from the usual one; pieces of a dash or two are left out."""
    if len(chain) < DASHES_LEAST:
        return []
    gaps = boxes[chain[1:], 0] - boxes[chain[:-1], 2]
    usual = float(np.median(gaps))
    parts: list[list[int]] = [[chain[0]]]
    for dash, gap in zip(chain[1:], gaps.tolist(), strict=True):
        if abs(gap - usual) > 0.4 * usual + 2.0:
            parts.append([])
        parts[-1].append(dash)
    return [p for p in parts if len(p) >= DASHES_LEAST]


def _rectangles(
    level: list[_Row], upright: list[_Row], settings: ReaderSettings
) -> list[tuple[_Row, _Row, _Row, _Row]]:
    """Two level and two upright rows that close to a rectangle: top, bottom, west, east."""
    found: list[tuple[_Row, _Row, _Row, _Row]] = []
    used: set[int] = set()
    slack = settings.px(settings.outline_gap_mm)
    spans = np.array([r.span for r in level]).reshape(-1, 2)
    heights = np.array([r.level for r in level])
    for k in np.argsort(heights, kind="stable").tolist():
        if k in used:
            continue
        fits = np.abs(spans - spans[k]).max(axis=1) <= 2.0 * slack
        fits &= heights > heights[k] + settings.px(settings.outline_min_mm)
        for j in sorted(np.flatnonzero(fits).tolist(), key=lambda j: (heights[j], j)):
            sides = _closed_by(level[k], level[j], upright, settings)
            if j not in used and sides is not None:
                used |= {k, j}
                found.append((level[k], level[j], *sides))
                break
    return found


def _closed_by(
    top: _Row, bottom: _Row, upright: list[_Row], settings: ReaderSettings
) -> tuple[_Row, _Row] | None:
    """The upright rows that close two level ones to a rectangle."""
    slack = settings.px(settings.outline_gap_mm)
    low, high = min(top.span[0], bottom.span[0]), max(top.span[1], bottom.span[1])
    inside = [
        row
        for row in upright
        if row.span[0] >= top.level - 0.5 * slack
        and row.span[1] <= bottom.level + 0.5 * slack
        and row.span[1] - row.span[0] >= COVERED_LEAST * (bottom.level - top.level)
    ]
    west = [r for r in inside if abs(r.level - low) <= slack]
    east = [r for r in inside if abs(r.level - high) <= slack]
    if not west or not east:
        return None
    a = min(west, key=lambda r: abs(r.level - low))
    b = min(east, key=lambda r: abs(r.level - high))
    wide = b.level - a.level
    for row in (top, bottom):
        if row.span[1] - row.span[0] < COVERED_LEAST * wide:
            return None
        if row.span[0] < a.level - 0.5 * slack or row.span[1] > b.level + 0.5 * slack:
            return None
    return a, b


def _without_glyphs(mask: U8, sides: tuple[_Row, _Row, _Row, _Row], most: float) -> U8:
    """The ink without the small pieces inside an outline: a `1` under a pin looks like its line."""
    top, bottom, west, east = sides
    y0, y1 = int(top.dashes[:, 3].max()) + 1, int(bottom.dashes[:, 1].min()) - 1
    x0, x1 = int(west.dashes[:, 3].max()) + 1, int(east.dashes[:, 1].min()) - 1
    seen = mask.copy()
    if y1 > y0 and x1 > x0:
        inner = np.ascontiguousarray(mask[y0:y1, x0:x1])
        _, labels, stats, _ = cv2.connectedComponentsWithStats(inner, connectivity=8)
        small = stats[:, 2:4].max(axis=1) <= most
        small[0] = False
        seen[y0:y1, x0:x1][small[labels]] = 0
    return seen


def _body_of(sides: tuple[_Row, _Row, _Row, _Row]) -> Body:
    top, bottom, west, east = sides
    x0, x1 = float(west.dashes[:, 1].min()), float(east.dashes[:, 3].max())
    y0, y1 = float(top.dashes[:, 1].min()), float(bottom.dashes[:, 3].max())
    corners = ((x0 - 1, y0 - 1), (x1 + 1, y0 - 1), (x1 + 1, y1 + 1), (x0 - 1, y1 + 1))
    return Body(PxBox(x0, y0, x1, y1), corners=corners)


def _wipe(left: U8, mask: U8, rows: tuple[_Row, _Row], reach: int) -> int:
    """Take the dashes of two level rows out but where lines cross; return how many lines do.

    A line that crosses is inked all along for `reach` px on both sides; a pin's line is on one
    side, and its number inside does not touch the pen.
    """
    through = 0
    for row in rows:
        start, stop = (int(v) for v in row.span)
        crossing = np.zeros(max(stop - start, 0), dtype=bool)
        for x0, y0, x1, y1 in _with_gaps(row):
            above = mask[max(y0 - 1 - reach, 0) : max(y0 - 1, 0), x0:x1]
            below = mask[y1 + 1 : y1 + 1 + reach, x0:x1]
            if len(above) and len(below):
                both = np.minimum(above.mean(axis=0), below.mean(axis=0)) >= INKED_LEAST
                crossing[max(x0 - start, 0) : x1 - start] |= both
        through += int(np.count_nonzero(np.diff(crossing.astype(np.int8), prepend=0) == 1))
        kept = np.concatenate([[False], crossing, [False]])
        kept = kept[:-2] | kept[1:-1] | kept[2:]
        for x0, y0, x1, y1 in row.dashes.astype(int).tolist():
            view = left[max(y0 - 1, 0) : y1 + 1, x0:x1]
            view[:, ~kept[x0 - start : x1 - start]] = 0
    return through


def _with_gaps(row: _Row) -> list[tuple[int, int, int, int]]:
    """The boxes of a row's dashes and of the gaps between them."""
    boxes = [(int(a), int(b), int(c), int(d)) for a, b, c, d in row.dashes.tolist()]
    gaps = [(a[2], min(a[1], b[1]), b[0], max(a[3], b[3])) for a, b in pairwise(boxes)]
    return boxes + gaps
