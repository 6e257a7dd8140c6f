"""Outlines drawn in dashes against what looks like them."""

from __future__ import annotations

import cv2
import numpy as np

from loomfolio.reading import ReaderSettings
from loomfolio.reading.parts import take_out_parts


def test_lines_between_hops_are_no_dashed_outline() -> None:
    """Rows of hops look like dashes on their level; where four make a rectangle they stay whole."""
    page = np.zeros((440, 440), np.uint8)
    for rows in (page, page.T):  # the second time turned over
        drawn = np.ascontiguousarray(rows)
        for y in (60, 380):
            for x in range(78, 370, 18):
                cv2.ellipse(drawn, (x, y), (5, 5), 0, 180, 360, 1, 2)
                cv2.line(drawn, (x + 5, y), (x + 13, y), 1, 2)
                drawn[y - 30 : y + 30, x] = 1
            cv2.line(drawn, (58, y), (73, y), 1, 2)
            cv2.line(drawn, (370, y), (382, y), 1, 2)
        np.copyto(rows, drawn)
    left = take_out_parts(page, page, ReaderSettings()).left
    assert np.array_equal(left, page)
