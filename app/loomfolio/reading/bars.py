"""Straight level and upright bars of ink, with whatever hangs on them left out of account.

A bar is what an opening with a long thin kernel leaves: a side of a bracket, a dash of an outline,
a piece of line. All that follows is written for level bars; upright ones are the level ones of the
page turned over its diagonal.

Legend: H, W of the working image; B bars.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.settings import ReaderSettings

U8 = NDArray[np.uint8]
F64 = NDArray[np.float64]

PENS_LEAST = 2.2
"""A short bar is at least so many usual pens long: outlines are drawn with up to 1.5 of them, and
what is no longer than its own pen is wide would be found both ways."""


@dataclass(frozen=True)
class Bars:
    """Level bars of a mask: float64 (B, 4) `boxes` of x0, y0, x1, y1; sorted by x0, then y0."""

    boxes: F64

    @property
    def length(self) -> F64:
        """How long each bar is in px."""
        return np.asarray(self.boxes[:, 2] - self.boxes[:, 0])

    @property
    def width(self) -> F64:
        """How high each is, its slant included."""
        return np.asarray(self.boxes[:, 3] - self.boxes[:, 1])


@dataclass(frozen=True)
class PageBars:
    """The level bars of a page, and its upright ones as the level ones of the page turned over."""

    level: Bars
    upright: Bars

    @property
    def turned(self) -> PageBars:
        """The same of the page turned over its diagonal."""
        return PageBars(self.upright, self.level)


def bars_of_page(mask: U8, stroke_px: float, settings: ReaderSettings) -> PageBars:
    """Find the bars of an ink mask, uint8 (H, W), that are longer than any pen is wide."""
    px = settings.px
    least, widest = (
        max(px(settings.dash_min_mm), PENS_LEAST * stroke_px),
        px(settings.stroke_max_mm),
    )
    level = find_bars(mask, least_px=least, widest_px=widest)
    turned = np.ascontiguousarray(mask.T)
    return PageBars(level, find_bars(turned, least_px=least, widest_px=widest))


def find_bars(mask: U8, *, least_px: float, widest_px: float) -> Bars:
    """Find the level bars of at least some length and at most some width in ink, uint8 (H, W)."""
    kernel = np.ones((1, max(2, round(least_px))), dtype=np.uint8)
    opened = cv2.morphologyEx(mask, cv2.MORPH_OPEN, kernel, borderValue=0)
    _, _, stats, _ = cv2.connectedComponentsWithStats(opened, connectivity=8, ltype=cv2.CV_32S)
    stats = stats[1:].astype(np.float64)
    x0, y0, w, h = stats[:, 0], stats[:, 1], stats[:, 2], stats[:, 3]
    boxes = np.stack([x0, y0, x0 + w, y0 + h], axis=1)
    # The slant of a skewed page makes a long bar higher by up to a twentieth of its length.
    boxes = boxes[h <= widest_px + 0.05 * w]
    return Bars(boxes[np.lexsort((boxes[:, 1], boxes[:, 0]))])
