"""The colour of each conductor, from the page along its lines."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.ink import Ink
from loomfolio.reading.trace import Traced

U8 = NDArray[np.uint8]

CHROMA_LEAST = 45
"""Difference of the strongest and the weakest channel above which a line is not black or grey; JPEG
spoils thin black lines by up to about 30."""


def colours_of(conductors: Sequence[Traced], ink: Ink) -> list[str | None]:
    """Return `#RRGGBB` of each conductor, or None where it is black, grey, or the page is grey."""
    if ink.colour is None:
        return [None] * len(conductors)
    return [_colour_of(c, ink.darkness, ink.colour) for c in conductors]


def _colour_of(conductor: Traced, darkness: U8, colour: U8) -> str | None:
    """Median of the darker half of the px along the lines: the antialiased rim would pale it."""
    height, width = darkness.shape
    spots: list[NDArray[np.float64]] = []
    for line in conductor.lines:
        for a, b in pairwise(line):
            count = max(2, int(np.hypot(*(b - a)) / 3))
            t = np.linspace(0.05, 0.95, count)[:, None]
            spots.append(a + t * (b - a))
    where = np.vstack(spots).astype(int)
    x, y = np.clip(where[:, 0], 0, width - 1), np.clip(where[:, 1], 0, height - 1)
    dark = darkness[y, x]
    chosen = dark >= np.median(dark)
    rgb = np.median(colour[y[chosen], x[chosen]].astype(np.float64), axis=0)
    if rgb.max() - rgb.min() < CHROMA_LEAST:
        return None
    return "#{:02X}{:02X}{:02X}".format(*(round(float(v)) for v in rgb))
