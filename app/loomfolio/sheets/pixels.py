"""From whatever a decoder returns to grey or RGB in 8 bits."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from loomfolio.sheets.records import Pixels

MOST_GREY_SPREAD = 6
"""A page is grey where the channels of no pixel differ by more than this: JPEG rounds colours by a
few levels, the faintest pencil that scanners still show as colour differs by more."""
_BAND_ROWS = 512


def grey_if_grey(rgb: Pixels) -> Pixels:
    """Return (H, W) if every pixel of the (H, W, 3) page is grey, otherwise a copy of the page.

    Grey is weighed as ITU-R BT.601 says. A coloured page is known at its first coloured band.
    """
    height, width = rgb.shape[:2]
    grey = np.empty((height, width), np.uint8)
    for top in range(0, height, _BAND_ROWS):
        band = np.ascontiguousarray(rgb[top : top + _BAND_ROWS])
        red, green, blue = cv2.split(band)
        spread = cv2.subtract(
            cv2.max(cv2.max(red, green), blue), cv2.min(cv2.min(red, green), blue)
        )
        if spread.max(initial=0) > MOST_GREY_SPREAD:
            return np.array(rgb)
        grey[top : top + _BAND_ROWS] = cv2.cvtColor(band, cv2.COLOR_RGB2GRAY)
    return grey


def eight_bits(values: NDArray[np.uint16], *, white_is_zero: bool) -> Pixels:
    """Return 16-bit grey levels as 8-bit ones, 65535 as 255; turned round where 0 means white."""
    levels = (values >> np.uint16(8)).astype(np.uint8)
    return np.uint8(255) - levels if white_is_zero else levels
