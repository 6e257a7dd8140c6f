"""From whatever a decoder returns to grey or RGB in 8 bits."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from loomfolio.sheets.records import Pixels

MOST_GREY_SPREAD = 6
"""A page is grey where the channels of no pixel differ by more than this: JPEG rounds colours by a
few levels, the faintest pencil that scanners still show as colour differs by more."""
_BAND_ROWS = 512
_RED, _GREEN, _BLUE, _ROUND, _SHIFT = 19595, 38470, 7471, 1 << 15, 16
"""Weights of ITU-R BT.601 in 1/65536."""


def grey_if_grey(rgb: Pixels) -> Pixels:
    """Return (H, W) if every pixel of the (H, W, 3) page is grey, otherwise the page as it is."""
    height, width = rgb.shape[:2]
    grey = np.empty((height, width), np.uint8)
    for top in range(0, height, _BAND_ROWS):
        band = rgb[top : top + _BAND_ROWS]
        red, green, blue = band[..., 0], band[..., 1], band[..., 2]
        spread = np.maximum(np.maximum(red, green), blue) - np.minimum(np.minimum(red, green), blue)
        if spread.max(initial=0) > MOST_GREY_SPREAD:
            return np.ascontiguousarray(rgb)
        weighted = red * np.uint32(_RED) + green * np.uint32(_GREEN) + blue * np.uint32(_BLUE)
        grey[top : top + _BAND_ROWS] = (weighted + np.uint32(_ROUND)) >> np.uint32(_SHIFT)
    return grey


def eight_bits(values: NDArray[np.uint16], *, white_is_zero: bool) -> Pixels:
    """Return 16-bit grey levels as 8-bit ones, 65535 as 255; turned round where 0 means white."""
    levels = (values >> np.uint16(8)).astype(np.uint8)
    return np.uint8(255) - levels if white_is_zero else levels
