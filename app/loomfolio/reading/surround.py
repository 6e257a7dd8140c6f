"""What lies round the sheet: the desk under a photographed page, the black rim of a copier's glass.

It is a dark ground, wider than any line, that reaches the rim of the picture. Its edge against the paper
is no line and the grain in it no ink: what was read there is left out of the reading.

Legend: H, W of the page.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.records import Conductor, Reading

U8 = NDArray[np.uint8]

STEP = 8
"""The page is looked at in squares of this many px."""
CALM = 20
"""Tones within 3 x 3 squares of one ground, its grain and the soft edge of a shadow; the edge of a sheet on
a desk and lines on paper are steeper."""
DARKER = 0.88
"""The ground's tone against that of the sheet just beyond its edge."""
EDGE = 3
"""Squares from the calm ground to the clean sheet: the edge itself, and a square on either side."""
SQUARES_LEAST = 16


def find_surround(page: U8) -> U8 | None:
    """Return what lies round the sheet, uint8 (H, W), 1 there; None where the page fills the picture.

    `page` is grey (H, W) or RGB (H, W, 3).
    """
    height, width = page.shape[:2]
    size = (max(1, width // STEP), max(1, height // STEP))
    small = cv2.resize(page, size, interpolation=cv2.INTER_AREA)
    grey = np.asarray(small if small.ndim == 2 else small.min(axis=2), dtype=np.uint8)
    square = np.ones((3, 3), np.uint8)
    calm = (cv2.subtract(cv2.dilate(grey, square), cv2.erode(grey, square)) <= CALM).astype(
        np.uint8
    )
    _, labels, stats, _ = cv2.connectedComponentsWithStats(calm, connectivity=4)
    rim = np.unique(np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]]))
    around = np.zeros(grey.shape, np.uint8)
    for label in rim[rim > 0].tolist():
        ground = (labels == label).astype(np.uint8)
        if stats[label, 4] >= SQUARES_LEAST and _is_darker_than_beyond(grey, ground):
            around |= ground
    if not around.any():
        return None
    around = _grown(around, EDGE)
    return np.asarray(
        cv2.resize(around, (width, height), interpolation=cv2.INTER_NEAREST), dtype=np.uint8
    )


def on_sheet(reading: Reading, surround: U8 | None) -> Reading:
    """Return a reading without what lies wholly in the surround, uint8 (H, W) in px of its page."""
    if surround is None:
        return reading

    def is_off(x: float, y: float) -> bool:
        row, column = min(max(int(y), 0), len(surround) - 1), min(max(int(x), 0), width - 1)
        return bool(surround[row, column])

    def is_kept(conductor: Conductor) -> bool:
        return not all(is_off(p.x, p.y) for line in conductor.lines for p in line)

    width = surround.shape[1]
    return reading.model_copy(
        update={
            "conductors": tuple(c for c in reading.conductors if is_kept(c)),
            "junctions": tuple(j for j in reading.junctions if not is_off(j.x, j.y)),
            "crossings": tuple(c for c in reading.crossings if not is_off(c.x, c.y)),
            "doubts": tuple(d for d in reading.doubts if not is_off(d.x, d.y)),
        }
    )


def _is_darker_than_beyond(grey: U8, ground: U8) -> bool:
    """Tell whether a ground lies under a lighter sheet, by the squares on either side of its edge."""
    inside = grey[(ground > 0) & (cv2.erode(ground, np.ones((3, 3), np.uint8)) == 0)]
    beyond = grey[(_grown(ground, EDGE + 1) > 0) & (_grown(ground, EDGE) == 0)]
    if len(inside) == 0 or len(beyond) == 0:
        return False
    return float(np.median(inside)) < DARKER * float(np.median(beyond))


def _grown(squares: U8, by: int) -> U8:
    return np.asarray(cv2.dilate(squares, np.ones((2 * by + 1, 2 * by + 1), np.uint8)), np.uint8)
