"""Find the ink that may be letters: what is left of the page when its long lines are taken out.

Letters are small; lines are long. Runs of ink longer than any stroke of a letter are taken out along
rows and columns, and so are the edges of the bodies that are known. Where a line ran through a letter,
the letter's ink on both sides of the line closes the cut again. What is left is cut into connected
pieces; those of a letter's size are kept.

Legend: H, W of the working image; G pieces of letter size.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.settings import ReaderSettings

U8 = NDArray[np.uint8]
I32 = NDArray[np.int32]
Box = tuple[float, float, float, float]

STROKE_MOST_MM = 4.6
"""No stroke of a letter is longer; a longer straight run is a line. Larger headings are not read."""
OUTLINE_PX = 9
"""How wide the course of an outline is taken out at 300 dpi: its pen, and how far a dragged box may lie off it."""
CUT_PX = 9
"""A line that strikes letters through is at most this wide at 300 dpi, with a px to spare on both sides."""
SIDEWAYS_PX = 3
"""How far a slanting stroke may shift to the side between both edges of the line, and as much again."""
LETTER_MOST_MM = 5.2
LETTER_LEAST_MM = 0.15
"""A smaller piece is a speck; a full stop of 1.3 mm lettering measures about 0.2 mm."""


@dataclass(frozen=True)
class LetterInk:
    """The pieces of ink that may be letters.

    Attributes
    ----------
    labels : int32, (H, W)
        The piece of each px, 0 where there is none.
    numbers : int32, (G,)
        The label of each piece.
    boxes : float64, (G, 4)
        x0, y0, x1, y1 of each piece in working px.
    at_line : bool, (G,)
        Whether each touches a line that was taken out.
    """

    labels: I32
    numbers: I32
    boxes: NDArray[np.float64]
    at_line: NDArray[np.bool_]


def find_letter_ink(mask: U8, outlines: Sequence[Box], settings: ReaderSettings) -> LetterInk:
    """Return the pieces of letter size in an ink mask, uint8 (H, W) of zeros and ones.

    `outlines` are the boxes of bodies, x0, y0, x1, y1 in working px.
    """
    lines = _long_runs(mask, settings) | _edges(mask, outlines)
    left = _closed_cuts(mask & ~lines, mask & lines)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(
        left, connectivity=8, ltype=cv2.CV_32S
    )
    size = stats[:, 2:4].max(axis=1)
    keep = (size <= settings.px(LETTER_MOST_MM)) & (size >= settings.px(LETTER_LEAST_MM))
    keep[0] = False
    numbers = np.flatnonzero(keep).astype(np.int32)
    x0, y0 = stats[:, 0].astype(np.float64), stats[:, 1].astype(np.float64)
    boxes = np.stack([x0, y0, x0 + stats[:, 2], y0 + stats[:, 3]], axis=1)
    return LetterInk(
        labels=np.asarray(labels, dtype=np.int32),
        numbers=numbers,
        boxes=boxes[numbers],
        at_line=_touching(labels, mask & lines & ~left, count)[numbers],
    )


def _touching(labels: NDArray[np.generic], lines: U8, count: int) -> NDArray[np.bool_]:
    """Return for each label whether one of its px lies beside a px of a line."""
    beside = cv2.dilate(lines, np.ones((3, 3), np.uint8)) > 0
    return np.bincount(labels[beside].astype(np.int64), minlength=count) > 0


def _long_runs(mask: U8, settings: ReaderSettings) -> U8:
    """The straight runs along rows and columns that no letter has."""
    length = round(settings.px(STROKE_MOST_MM))
    across = cv2.morphologyEx(mask, cv2.MORPH_OPEN, np.ones((1, length), np.uint8))
    down = cv2.morphologyEx(mask, cv2.MORPH_OPEN, np.ones((length, 1), np.uint8))
    return np.asarray(cv2.bitwise_or(across, down), dtype=np.uint8)


def _edges(mask: U8, outlines: Sequence[Box]) -> U8:
    """The edges of outlines, however they are drawn: the dashes of a dashed one look like `1` and `I`."""
    edges = np.zeros_like(mask)
    for x0, y0, x1, y1 in outlines:
        ends = np.rint(np.array([(x0, y0), (x1, y1)])).astype(int)
        cv2.rectangle(edges, ends[0].tolist(), ends[1].tolist(), 1, OUTLINE_PX)
    return edges


def _closed_cuts(letters: U8, lines: U8) -> U8:
    """Put back the ink of a line where letters stand on both sides of it: it struck them through."""
    back = np.zeros_like(letters)
    for kernel in (
        np.ones((CUT_PX, SIDEWAYS_PX), np.uint8),
        np.ones((SIDEWAYS_PX, CUT_PX), np.uint8),
    ):
        closed = cv2.morphologyEx(letters, cv2.MORPH_CLOSE, kernel)
        back |= np.asarray(closed, dtype=np.uint8) & lines
    return np.asarray(letters | back, dtype=np.uint8)
