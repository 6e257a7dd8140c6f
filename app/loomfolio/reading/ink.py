"""From the pixels of a page to ink and paper: light from the paper around, ink from its darkness.

Pixels -> darkness below the paper around (every channel by itself, so that yellow on white is dark
in blue) -> blurred edges made steep (`sharpness`) -> ink where darkness is above a floor and a fair
share of the darkest ink beside it. All of it in the *working image*, the page brought to about 300
dpi, so that later stages see lines of known size.

Legend: H, W rows and columns of the working image.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.settings import ReaderSettings
from loomfolio.reading.sharpness import sharpened

U8 = NDArray[np.uint8]


@dataclass(frozen=True)
class Ink:
    """Ink of a page in the working image.

    Attributes
    ----------
    mask : uint8, (H, W)
        1 where there is ink, else 0.
    darkness : uint8, (H, W)
        Darkness below the paper around, 0 on paper.
    colour : uint8, (H, W, 3) or None
        The working image in RGB, where the page has colour.
    scale : float
        Working px per px of the given page.
    """

    mask: U8
    darkness: U8
    colour: U8 | None
    scale: float


def find_ink(pixels: U8, *, dpi: float, settings: ReaderSettings) -> Ink:
    """Tell ink from paper.

    Parameters
    ----------
    pixels : uint8, (h, w) or (h, w, 3)
        The page, grey or RGB. A page without any px, or of one even tone, has no ink.
    dpi : float
        Its resolution; decides how far it is enlarged or reduced.
    """
    scale = _working_scale(pixels, dpi, settings)
    page = _resized(pixels, scale)
    colour = page if page.ndim == 3 and _has_colour(page) else None
    darkness = _darkness(page, settings)
    floor = _floor_above_noise(darkness, settings)
    if scale <= 1.0:
        # An enlarged page is soft from being enlarged, whatever its print.
        darkness = sharpened(darkness, floor=floor)
    around = cv2.dilate(darkness, np.ones((3, 3), np.uint8))
    near = cv2.convertScaleAbs(around, alpha=settings.ink_share)
    limit = cv2.max(near, np.full_like(near, floor))
    mask = np.asarray(cv2.compare(darkness, limit, cv2.CMP_GE), dtype=np.uint8) & np.uint8(1)
    return Ink(mask=mask, darkness=darkness, colour=colour, scale=scale)


def _working_scale(pixels: U8, dpi: float, settings: ReaderSettings) -> float:
    """Working px per given px: none for a page that is near the working resolution anyway."""
    scale = min(settings.working_dpi / max(dpi, 1.0), settings.largest_enlargement)
    pixels_max = 80e6
    area = pixels.shape[0] * pixels.shape[1]
    if area * scale * scale > pixels_max:
        scale = min(scale, max(1.0, (pixels_max / area) ** 0.5))
    return 1.0 if 0.88 < scale < 1.15 else scale


def _resized(pixels: U8, scale: float) -> U8:
    if scale == 1.0:
        return pixels
    height, width = pixels.shape[:2]
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    how = cv2.INTER_CUBIC if scale > 1 else cv2.INTER_AREA
    return np.asarray(cv2.resize(pixels, size, interpolation=how), dtype=np.uint8)


def _has_colour(page: U8) -> bool:
    """Tell whether there is more colour than a grey scan stored as RGB has."""
    sample = page[::3, ::3]
    spread = sample.max(axis=2).astype(np.int16) - sample.min(axis=2)
    return int(np.count_nonzero(spread > 48)) > 30


def _darkness(page: U8, settings: ReaderSettings) -> U8:
    """Darkness below the paper around; the darkest channel counts."""
    if page.ndim == 2:
        return _below_paper(page, settings)
    parts = [_below_paper(np.ascontiguousarray(page[:, :, c]), settings) for c in range(3)]
    return np.asarray(cv2.max(cv2.max(parts[0], parts[1]), parts[2]), dtype=np.uint8)


def _below_paper(channel: U8, settings: ReaderSettings) -> U8:
    """Estimate the paper on a small copy (brightest around, smoothed), and measure below it."""
    step = 8
    height, width = channel.shape
    small_size = (max(1, width // step), max(1, height // step))
    small = cv2.resize(channel, small_size, interpolation=cv2.INTER_AREA)
    reach = max(3, int(settings.px(settings.paper_window_mm) / step) | 1)
    paper = cv2.dilate(small, np.ones((reach, reach), np.uint8))
    paper = cv2.erode(paper, np.ones((reach, reach), np.uint8))
    paper = cv2.blur(paper, (reach, reach))
    full = cv2.resize(paper, (width, height), interpolation=cv2.INTER_LINEAR)
    return np.asarray(cv2.subtract(full, channel), dtype=np.uint8)


def _floor_above_noise(darkness: U8, settings: ReaderSettings) -> int:
    """The floor of ink: above what the paper's own grain reaches."""
    counts = np.bincount(darkness[::2, ::2].ravel(), minlength=256).astype(np.float64)
    paper = counts[1:128]
    if paper.sum() == 0:
        return settings.ink_floor
    # Grain of the paper: where 97 % of the faint px lie, if most of the page is faint.
    share = np.cumsum(counts[:128]) / counts.sum()
    grain = int(np.searchsorted(share, 0.80))
    return int(min(max(settings.ink_floor, 3.0 * grain + 8), 70))
