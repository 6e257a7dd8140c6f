"""Set text apart from lines: connected pieces of ink that are small in both directions.

A glyph, a speck, a small separate symbol are all pieces of a few mm. What stays with the lines
among such small pieces: dashes of a row, stubs that a body's edge cuts or that end just before
one, and straight bars that have no glyph beside them (a bar beside a glyph is an `l`, a `1`, a
stroke between). Text that touches a line is not found here but as stubs that lead nowhere
(`graph`).

Legend: H, W of the working image; L pieces; G glyphs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from loomfolio.reading.bodies import Body
from loomfolio.reading.pieces import Pieces
from loomfolio.reading.runs import find_runs
from loomfolio.reading.settings import ReaderSettings

U8 = NDArray[np.uint8]
Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class Glyphs:
    """Ink without the small pieces, and where those are.

    Attributes
    ----------
    lines : uint8, (H, W)
        Ink that may be drawn line: 1, else 0.
    boxes : float64, (G, 4)
        x0, y0, x1, y1 of each piece taken out, in working px.
    """

    lines: U8
    boxes: NDArray[np.float64]


def set_glyphs_apart(
    pieces: Pieces,
    in_rows: Bools,
    bodies: Sequence[Body],
    stroke_px: float,
    settings: ReaderSettings,
) -> Glyphs:
    """Take the glyphs out of the ink; `in_rows`, bool (L,), are the dashes of dashed lines."""
    size = pieces.boxes[:, 2:] - pieces.boxes[:, :2]
    glyph = (size.max(axis=1) <= settings.px(settings.glyph_max_mm)) & ~in_rows
    glyph &= ~_at_bodies(pieces, bodies, stroke_px, settings)
    bar = glyph & pieces.straight & (pieces.length >= settings.px(settings.bar_min_mm))
    glyph &= ~(bar & ~_beside_glyphs(pieces, bar, glyph & ~bar))
    glyph[0] = False
    keep = (~glyph).astype(np.uint8)
    keep[0] = 0
    return Glyphs(keep[pieces.labels], pieces.boxes[glyph])


def _at_bodies(
    pieces: Pieces, bodies: Sequence[Body], stroke_px: float, settings: ReaderSettings
) -> Bools:
    """Pieces that a body's edge cuts, and lines, straight or bent, that end just before one."""
    result = np.zeros(len(pieces.area), dtype=bool)
    if not bodies:
        return result
    cut = settings.px(settings.body_edge_mm) + 1.6
    reach = settings.px(settings.body_reach_mm + settings.body_edge_mm)
    order = np.argsort(pieces.boxes[:, 0], kind="stable")
    left = pieces.boxes[order, 0]
    widest = settings.px(settings.glyph_max_mm)
    for body in bodies:
        x0, y0, x1, y1 = body.box
        low, high = np.searchsorted(left, [x0 - reach - widest, x1 + reach])
        near = order[low:high]
        near = near[pieces.small[near]]
        box = pieces.boxes[near]
        gap_x = np.maximum(np.maximum(x0 - box[:, 2], box[:, 0] - x1), 0.0)
        gap_y = np.maximum(np.maximum(y0 - box[:, 3], box[:, 1] - y1), 0.0)
        gap = np.maximum(gap_x, gap_y)
        upright = np.where(gap_x > gap_y, np.abs(pieces.way[near, 0]), np.abs(pieces.way[near, 1]))
        slim = pieces.straight[near] & (upright > 0.9)
        # Larger than any number beside a pin, and no more ink than a bent line has: a short bend.
        size = box[:, 2:] - box[:, :2]
        slim |= (size.max(axis=1) >= settings.px(settings.bent_min_mm)) & (
            pieces.area[near] <= 1.3 * stroke_px * size.sum(axis=1)
        )
        slim &= gap <= reach
        result[near[(gap <= cut) | slim]] = True
    return result


def _beside_glyphs(pieces: Pieces, bars: Bools, glyphs: Bools) -> Bools:
    """Bars that have a glyph of about their own size right beside them."""
    result = np.zeros(len(bars), dtype=bool)
    size = (pieces.boxes[:, 2:] - pieces.boxes[:, :2]).max(axis=1)
    chosen, others = np.flatnonzero(bars), np.flatnonzero(glyphs)
    if len(chosen) == 0 or len(others) == 0:
        return result
    middle = (pieces.boxes[:, :2] + pieces.boxes[:, 2:]) / 2
    tree = cKDTree(middle[others])
    for k in chosen.tolist():
        for o in others[tree.query_ball_point(middle[k], 1.6 * size[k])].tolist():
            low = np.maximum(pieces.boxes[k, :2], pieces.boxes[o, :2])
            high = np.minimum(pieces.boxes[k, 2:], pieces.boxes[o, 2:])
            gap = np.maximum(low - high, 0.0).max()
            if gap <= 0.45 * size[o] and 0.5 * size[k] <= size[o] <= 2.0 * size[k]:
                result[k] = True
                break
    return result


def usual_stroke(mask: U8, settings: ReaderSettings) -> float:
    """Return the most usual width of drawn line in px: the commonest cut through ink.

    Every third row and column of the uint8 (H, W) ink is looked at; a page without ink gets 3 px,
    the width of a usual 0.25 mm line at the working resolution.
    """
    longest = int(settings.px(settings.stroke_max_mm)) + 1
    counts = np.zeros(longest + 1, dtype=np.int64)
    for view in (mask[::3], mask.T[::3]):
        length = find_runs(np.ascontiguousarray(view)).length
        counts += np.bincount(length[length <= longest], minlength=longest + 1)
    if counts[1:].sum() == 0:
        return 3.0
    counts[:2] = 0
    peak = max(2, int(np.argmax(counts)))
    window = counts[max(1, peak - 1) : peak + 2].astype(np.float64)
    place = np.arange(max(1, peak - 1), max(1, peak - 1) + len(window))
    return float((window * place).sum() / max(window.sum(), 1.0))
