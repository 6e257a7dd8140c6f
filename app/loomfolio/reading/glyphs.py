"""Set text apart from lines: connected pieces of ink that are small in both directions.

A glyph, a speck, a small separate symbol are all pieces of a few mm. Straight slim ones (a dash, a
short wire, also an `l` or a `1`) stay with the lines; what they are shows in what lies in line
with them. Text that touches a line is not found here but as stubs that lead nowhere (`graph`).

Legend: H, W of the working image; G glyphs.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.runs import find_runs
from loomfolio.reading.settings import ReaderSettings

U8 = NDArray[np.uint8]


@dataclass(frozen=True)
class Glyphs:
    """Ink without the small pieces, and where those are.

    Attributes
    ----------
    lines : uint8, (H, W)
        Ink that may be drawn line: 1, else 0.
    boxes : float64, (G, 4)
        x0, y0, x1, y1 of each piece taken out, in working px.
    stroke_px : float
        The most usual line width on the page.
    labels : int32, (H, W)
        The connected pieces of all ink, 0 for paper.
    stats : int32, (L, 5)
        x, y, width, height, area of each piece.
    """

    lines: U8
    boxes: NDArray[np.float64]
    stroke_px: float
    labels: NDArray[np.int32]
    stats: NDArray[np.int32]


def set_glyphs_apart(mask: U8, settings: ReaderSettings) -> Glyphs:
    """Take the glyphs out of an ink mask, uint8 (H, W) of zeros and ones; an empty one has none."""
    stroke_px = usual_stroke(mask, settings)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(
        mask, connectivity=8, ltype=cv2.CV_32S
    )
    width, height, area = (stats[:, k].astype(np.float64) for k in (2, 3, 4))
    largest, smallest = np.maximum(width, height), np.minimum(width, height)
    diagonal = np.hypot(width, height)
    slim = (area <= 1.45 * stroke_px * diagonal) & (diagonal >= settings.px(settings.dash_min_mm))
    slim &= (smallest <= 2.0 * stroke_px + 1) | (area <= 1.3 * stroke_px * diagonal)
    # A short straight bar of any width: a stub of thick line fills its own long box.
    slim |= (area >= 0.85 * width * height) & (largest >= 2.2 * smallest) & (smallest >= 2)
    glyph = (largest <= settings.px(settings.glyph_max_mm)) & ~slim
    glyph[0] = False
    keep = (~glyph).astype(np.uint8)
    keep[0] = 0
    boxes = np.stack(
        [stats[:, 0], stats[:, 1], stats[:, 0] + stats[:, 2], stats[:, 1] + stats[:, 3]], axis=1
    )
    chosen = np.flatnonzero(glyph[:count])
    return Glyphs(
        keep[labels],
        boxes[chosen].astype(np.float64),
        stroke_px,
        np.asarray(labels, dtype=np.int32),
        np.asarray(stats, dtype=np.int32),
    )


def usual_stroke(mask: U8, settings: ReaderSettings) -> float:
    """Return the most usual width of drawn line in px: the commonest cut through ink.

    Every third row and column is looked at; a page without ink gets 3 px, the width of a usual
    0.25 mm line at the working resolution.
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
