"""How sharp the edges of the ink are, and edges made as steep again as those of clean print.

A scan blurred by one px fills the paper between a hop and its line and rounds every corner, so that
crossings look dotted. The steepest step across an edge, as a share of the edge's whole height, tells
the blur whatever the pen's tone; what the blur took is given back by unsharp masking.

Legend: H, W of the working image.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

U8 = NDArray[np.uint8]

EDGE_LEAST = 40
"""Differences in tone that count as an edge; below lie grain and JPEG's ripples."""
EDGES_LEAST = 500
"""Fewer edges than this say nothing of the page."""
CRISP = 0.52
"""Steepest step over the height of the edge, middle of the page's edges. Clean print measures 0.73
to 0.76, photocopies 0.52 to 0.54, pages blurred by 0.5 to 1.2 px 0.37 to 0.50 (generated pages)."""
BLURRED = 0.46
"""From here on the whole amount is given back; between the two it grows evenly."""
AMOUNT = 2.0
"""How many times the difference to the blurred page is added: half as much leaves hops of office scans
closed (generated pages)."""
GRAINY_AMOUNT = 1.0
"""The same where the paper is grainy: more makes grain into ink."""
GRAINY = 28
"""Floor of ink from which on the paper is grainy: scans have 22 to 26, photos 22 to 38 (generated
pages)."""
BLUR_PX = 1.2


def edge_steepness(darkness: U8) -> float:
    """Return the steepest step of the middle edge as a share of its height, 0..1; 1 without edges.

    Every third row of the uint8 (H, W) darkness is looked at.
    """
    rows = np.ascontiguousarray(darkness[::3])
    if rows.shape[0] == 0 or rows.shape[1] < 6:
        return 1.0
    across = np.ones((1, 5), np.uint8)
    height = cv2.subtract(cv2.dilate(rows, across), cv2.erode(rows, across))
    step = np.zeros_like(rows)
    step[:, 1:] = cv2.absdiff(rows[:, 1:], rows[:, :-1])
    steepest = cv2.dilate(step, np.ones((1, 4), np.uint8))
    at = (height > EDGE_LEAST) & (step == steepest) & (step > 0)
    if np.count_nonzero(at) < EDGES_LEAST:
        return 1.0
    return float(np.median(step[at] / height[at].astype(np.float32)))


def sharpened(darkness: U8, *, floor: int) -> U8:
    """Return the uint8 (H, W) darkness with blurred edges made steep; crisp print as it is.

    `floor` is the darkness below which grain lies.
    """
    share = (CRISP - edge_steepness(darkness)) / (CRISP - BLURRED)
    most = GRAINY_AMOUNT if floor >= GRAINY else AMOUNT
    amount = most * min(max(share, 0.0), 1.0)
    if amount == 0.0:
        return darkness
    smooth = cv2.GaussianBlur(darkness, (0, 0), BLUR_PX)
    return np.asarray(cv2.addWeighted(darkness, 1.0 + amount, smooth, -amount, 0), dtype=np.uint8)
