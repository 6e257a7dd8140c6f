"""Connected pieces of ink and the shape of the small ones, measured all at once by their moments.

Length and width of a piece are those of the straight bar that has its moments and its area; a
piece is straight where its sideways spread is no more than such a bar's.

Legend: H, W of the working image; L pieces, piece 0 being the paper.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

U8 = NDArray[np.uint8]
F64 = NDArray[np.float64]


@dataclass(frozen=True)
class Pieces:
    """All connected pieces of ink.

    Attributes
    ----------
    labels : int32, (H, W)
        The piece of each px, 0 for paper.
    boxes : float64, (L, 4)
        x0, y0, x1, y1 of each.
    area : float64, (L,)
    small : bool, (L,)
        Measured: no larger than asked for. The rest of the arrays holds for these alone.
    centre, way : float64, (L, 2)
        Middle between the two tips, and the unit direction along the piece.
    length, width : float64, (L,)
    straight : bool, (L,)
    """

    labels: NDArray[np.int32]
    boxes: F64
    area: F64
    small: NDArray[np.bool_]
    centre: F64
    way: F64
    length: F64
    width: F64
    straight: NDArray[np.bool_]


def find_pieces(mask: U8, small_px: float) -> Pieces:
    """Find the connected pieces of an ink mask, uint8 (H, W) of zeros and ones.

    Pieces up to `small_px` wide and high are measured; a mask without ink has the paper alone.
    """
    count, labels, stats, _ = cv2.connectedComponentsWithStats(
        mask, connectivity=8, ltype=cv2.CV_32S
    )
    small = stats[:, 2:4].max(axis=1) <= small_px
    small[0] = False
    sums = _moments(np.asarray(labels, dtype=np.int32), small, count)
    area = np.maximum(sums[0], 1.0)
    cx, cy = sums[1] / area, sums[2] / area
    xx, yy, xy = sums[3] / area - cx * cx, sums[4] / area - cy * cy, sums[5] / area - cx * cy
    angle = 0.5 * np.arctan2(2 * xy, xx - yy)
    half_sum, half_gap = (xx + yy) / 2, np.hypot((xx - yy) / 2, xy)
    # 1/12 px^2 is the spread of a single px over its own square.
    length = np.sqrt(12 * (half_sum + half_gap + 1 / 12))
    spread = np.sqrt(12 * (np.maximum(half_sum - half_gap, 0.0) + 1 / 12))
    width = area / length
    x0, y0 = stats[:, 0].astype(np.float64), stats[:, 1].astype(np.float64)
    boxes = np.stack([x0, y0, x0 + stats[:, 2], y0 + stats[:, 3]], axis=1)
    return Pieces(
        labels=np.asarray(labels, dtype=np.int32),
        boxes=boxes,
        area=stats[:, 4].astype(np.float64),
        small=small,
        centre=np.stack([cx, cy], axis=1),
        way=np.stack([np.cos(angle), np.sin(angle)], axis=1),
        length=length,
        width=width,
        straight=small & (spread <= 1.35 * width + 0.6) & (length >= 1.6 * width),
    )


def _moments(labels: NDArray[np.int32], small: NDArray[np.bool_], count: int) -> list[F64]:
    """Sums of 1, x, y, xx, yy, xy over each small piece, px centres: six times float64 (L,)."""
    ink = np.flatnonzero(labels)
    owner = labels.ravel()[ink]
    chosen = small[owner]
    ink, owner = ink[chosen], owner[chosen]
    y, x = np.divmod(ink, labels.shape[1])
    fx, fy = x + 0.5, y + 0.5
    weights = (None, fx, fy, fx * fx, fy * fy, fx * fy)
    return [np.bincount(owner, weights=w, minlength=count).astype(np.float64) for w in weights]
