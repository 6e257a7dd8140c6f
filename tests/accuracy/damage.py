"""The ways in which a page arrives spoiled. Each returns the image and where its points went.

Sizes are in px at the resolution of the damage. Positions follow the project: the centre of the
first pixel is at (0.5, 0.5); OpenCV's warps put it at (0, 0), which `_warped` makes good.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

import cv2
import numpy as np
from numpy.typing import NDArray

from accuracy.paint import Image8

Points = NDArray[np.float64]
Mapping = Callable[[Points], Points]
Spoiler = Callable[[Image8, Random], tuple[Image8, Mapping]]
Field = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Damage:
    """One row of the table."""

    dpi: float
    spoil: Spoiler
    thinnest_px: float = 0.0
    may_be_one_bit: bool = False


def _same(points: Points) -> Points:
    return points


def _clean(image: Image8, _rng: Random) -> tuple[Image8, Mapping]:
    return image, _same


def _noise(rng: Random, shape: tuple[int, int], grain_px: float) -> Field:
    """Smooth noise with mean 0 and deviation 1 whose blobs are about `grain_px` wide, (H, W)."""
    source = np.random.default_rng(rng.getrandbits(64))
    small = (max(2, int(shape[0] / grain_px)) + 2, max(2, int(shape[1] / grain_px)) + 2)
    coarse = source.standard_normal(small, dtype=np.float32)
    return cv2.resize(coarse, (shape[1], shape[0]), interpolation=cv2.INTER_CUBIC)


def _turned(image: Image8, degrees: float) -> tuple[Image8, Mapping]:
    """Turn the sheet about its middle on a ground that grows so that no corner is lost."""
    high, wide = image.shape[:2]
    matrix = cv2.getRotationMatrix2D((wide / 2, high / 2), degrees, 1.0)
    cos, sin = abs(matrix[0, 0]), abs(matrix[0, 1])
    new_wide, new_high = int(wide * cos + high * sin) + 1, int(wide * sin + high * cos) + 1
    matrix[:, 2] += ((new_wide - wide) / 2, (new_high - high) / 2)
    return _warped(image, np.vstack([matrix, [0, 0, 1]]), (new_wide, new_high))


def _warped(
    image: Image8, matrix: NDArray[np.float64], size: tuple[int, int], ground: int = 255
) -> tuple[Image8, Mapping]:
    """Warp by a 3x3 matrix that maps positions of the project (pixel centres at one half)."""
    half = np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, 1.0]])
    inner = np.linalg.inv(half) @ matrix @ half
    out = cv2.warpPerspective(
        image, inner, size, flags=cv2.INTER_CUBIC, borderValue=(ground, ground, ground)
    )

    def mapping(points: Points) -> Points:
        if not len(points):
            return points
        return cv2.perspectiveTransform(points.reshape(1, -1, 2), matrix).reshape(-1, 2)

    return out, mapping


def _blurred(image: Image8, sigma: float) -> Image8:
    return cv2.GaussianBlur(image, (0, 0), sigma)


def _through_jpeg(image: Image8, quality: int) -> Image8:
    done, data = cv2.imencode(".jpg", image, [cv2.IMWRITE_JPEG_QUALITY, quality])
    if not done:
        raise RuntimeError("the JPEG encoder refused the page")
    return cv2.imdecode(data, cv2.IMREAD_UNCHANGED)


def _lit(image: Image8, factor: Field) -> Image8:
    """Multiply the brightness by a field, (H, W)."""
    lit = image.astype(np.float32)
    lit *= factor[:, :, None] if image.ndim == 3 else factor
    return np.clip(lit, 0, 255).astype(np.uint8)


def _grained(image: Image8, rng: Random, deviation: float) -> Image8:
    """Add sensor noise."""
    source = np.random.default_rng(rng.getrandbits(64))
    grain = source.standard_normal(image.shape[:2], dtype=np.float32) * deviation
    noisy = image.astype(np.float32)
    noisy += grain[:, :, None] if image.ndim == 3 else grain
    return np.clip(noisy, 0, 255).astype(np.uint8)


def _specks(image: Image8, rng: Random, count: int, largest_px: float) -> None:
    """Set dark and light specks into the image in place."""
    high, wide = image.shape[:2]
    for _ in range(count):
        at = (rng.randrange(wide) * 16, rng.randrange(high) * 16)
        radius = int(16 * rng.uniform(0.5, largest_px / 2))
        shade = rng.randint(0, 120) if rng.random() < 0.7 else 255
        cv2.circle(image, at, radius, (shade, shade, shade), -1, cv2.LINE_AA, 4)


def _slight(image: Image8, rng: Random) -> tuple[Image8, Mapping]:
    turned, mapping = _turned(image, rng.uniform(-0.5, 0.5))
    return _through_jpeg(_blurred(turned, rng.uniform(0.5, 0.9)), 85), mapping


def _spread(image: Image8, rng: Random) -> Image8:
    """Let the ink run or shrink by up to one pixel across a line."""
    change = rng.choice([-1.0, -0.6, 0.0, 0.6, 1.0])
    if change == 0:
        return image
    cross = cv2.getStructuringElement(cv2.MORPH_CROSS, (3, 3))
    # a cross of 3 moves each edge by one pixel; half of that changes the line's width by one
    moved = cv2.erode(image, cross) if change > 0 else cv2.dilate(image, cross)
    share = abs(change) / 2
    return cv2.addWeighted(moved, share, image, 1 - share, 0)


def _office(image: Image8, rng: Random) -> tuple[Image8, Mapping]:
    turned, mapping = _turned(image, rng.uniform(-2.5, 2.5))
    page = _spread(_blurred(turned, rng.uniform(0.6, 1.0)), rng)
    ground = 0.93 + 0.05 * _noise(rng, page.shape[:2], max(page.shape) / 3).clip(-2, 1.2)
    page = _lit(page, ground)
    _specks(page, rng, rng.choice([100, 400, 900]), 4.0)
    page = _grained(page, rng, rng.uniform(2, 6))
    return _through_jpeg(page, rng.choice([60, 70, 80])), mapping


def _in_grey(image: Image8, darkest: int) -> Image8:
    """As a copier sees colours: by their darkest part, and darker where the print is faint."""
    grey = image.min(axis=2) if image.ndim == 3 else image
    low = int(grey.min())
    if low <= darkest:
        return grey
    stretched = 255 - (255 - grey.astype(np.float32)) * ((255 - darkest) / max(255 - low, 1))
    return np.clip(stretched, 0, 255).astype(np.uint8)


def _photocopy(image: Image8, rng: Random) -> tuple[Image8, Mapping]:
    turned, mapping = _turned(_in_grey(image, 40), rng.uniform(-1.2, 1.2))
    page = _blurred(turned, rng.uniform(0.7, 1.1))
    page = _spread(page, rng)
    page = _with_breaks(page, rng)
    page = _with_blotches(page, rng)
    page = _with_fold(page, rng)
    _specks(page, rng, rng.choice([300, 900, 1800]), 5.0)
    # a copier is hard: grey becomes nearly black or white
    hard = 255 / (1 + np.exp(-(np.arange(256) - rng.uniform(120, 150)) / 18.0))
    page = cv2.LUT(page, hard.astype(np.uint8))
    page = _grained(_blurred(page, 0.6), rng, 4)
    return _through_jpeg(page, 75), mapping


def _with_breaks(page: Image8, rng: Random) -> Image8:
    """Lose short pieces of thin lines where the toner did not hold; thick ink stays."""
    field = _noise(rng, page.shape[:2], rng.uniform(5, 8))
    weak = _noise(rng, page.shape[:2], 300)  # some regions copy worse than others
    lost = (field > 2.6 - 0.35 * weak.clip(-1, 1)).astype(np.uint8)
    ink = (page.min(axis=2) if page.ndim == 3 else page) < 160
    thick = cv2.morphologyEx(ink.astype(np.uint8), cv2.MORPH_OPEN, np.ones((5, 5), np.uint8))
    lost &= 1 - cv2.dilate(thick, np.ones((3, 3), np.uint8))
    keep = cv2.GaussianBlur(lost.astype(np.float32), (0, 0), 0.7)
    if page.ndim == 3:
        keep = keep[:, :, None]
    return (page + (255 - page.astype(np.float32)) * keep.clip(0, 1)).astype(np.uint8)


def _with_blotches(page: Image8, rng: Random) -> Image8:
    """Grey clouds of toner through which the lines can still be seen."""
    high, wide = page.shape[:2]
    shade = np.zeros((high, wide), np.float32)
    for _ in range(rng.randint(3, 9)):
        at = (rng.randrange(wide), rng.randrange(high))
        axes = (rng.randint(8, 60), rng.randint(8, 60))
        cv2.ellipse(shade, at, axes, rng.uniform(0, 180), 0, 360, rng.uniform(0.15, 0.45), -1)
    shade = cv2.GaussianBlur(shade, (0, 0), 5) * (1 + 0.25 * _noise(rng, (high, wide), 6))
    return _lit(page, (1 - shade.clip(0, 0.5)).astype(np.float32))


def _with_fold(page: Image8, rng: Random) -> Image8:
    """The shadow of a fold across the sheet, with a light crease in its middle."""
    high, wide = page.shape[:2]
    upright = rng.random() < 0.5
    length = wide if upright else high
    middle = length * rng.uniform(0.35, 0.65)
    far = (np.arange(length) - middle).astype(np.float32)
    line = 1 - rng.uniform(0.15, 0.4) * np.exp(-((far / rng.uniform(15, 60)) ** 2))
    field = np.broadcast_to(line[None, :] if upright else line[:, None], (high, wide))
    page = _lit(page, field)
    crease = (np.abs(far) < 1.2) & (rng.random() < 0.6)
    if upright:
        page[:, crease] = page[:, crease] // 2 + 110
    else:
        page[crease] = page[crease] // 2 + 110
    return page


def _photo(image: Image8, rng: Random) -> tuple[Image8, Mapping]:
    high, wide = image.shape[:2]
    curled, curl_map = _curled(image, rng)
    reach = 0.02  # how far a corner moves, as a share of the longer side
    corners = np.array([(0, 0), (wide, 0), (wide, high), (0, high)], np.float32)
    pad = reach * max(wide, high)
    moved = (
        corners
        + pad
        + np.array(
            [(rng.uniform(-1, 1) * pad, rng.uniform(-1, 1) * pad) for _ in range(4)], np.float32
        )
    )
    matrix = cv2.getPerspectiveTransform(corners, moved.astype(np.float32))
    size = (int(wide + 2 * pad), int(high + 2 * pad))
    desk = rng.choice(
        [255, 255, 180, 120, 70]
    )  # what lies round the sheet; 255 where it is cut off
    page, flat_map = _warped(curled, matrix.astype(np.float64), size, desk)
    light = 0.82 + 0.09 * _noise(rng, page.shape[:2], max(page.shape) / 2.5).clip(-2, 1.6)
    page = _lit(_blurred(page, rng.uniform(0.7, 1.2)), light * _shadow(rng, page.shape[:2]))
    page = _grained(page, rng, rng.uniform(3, 7))
    return _through_jpeg(page, rng.choice([75, 85, 92])), lambda points: flat_map(curl_map(points))


def _curled(image: Image8, rng: Random) -> tuple[Image8, Mapping]:
    """Bend the sheet a little, as a page that does not lie flat."""
    high, wide = image.shape[:2]
    rise = rng.uniform(-0.006, 0.006) * high
    phase = rng.uniform(0, 1)

    def bend(x: NDArray[np.float64]) -> NDArray[np.float64]:
        return rise * np.sin(np.pi * (x / wide + phase))

    columns = np.arange(wide, dtype=np.float64)
    map_x = np.broadcast_to(columns.astype(np.float32), (high, wide))
    rows = np.arange(high, dtype=np.float32)[:, None]
    map_y = rows - bend(columns + 0.5).astype(np.float32)[None, :]
    out = cv2.remap(
        image, np.ascontiguousarray(map_x), map_y, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE
    )

    def mapping(points: Points) -> Points:
        moved = points.copy()
        moved[:, 1] += bend(points[:, 0])
        return moved

    return out, mapping


def _shadow(rng: Random, shape: tuple[int, int]) -> Field:
    """The soft edge of a shadow thrown over part of the sheet, (H, W)."""
    high, wide = shape
    ys, xs = np.mgrid[0:high:16, 0:wide:16].astype(np.float32)
    angle = rng.uniform(0, 2 * np.pi)
    far = (xs - wide * rng.uniform(0.2, 0.8)) * np.cos(angle) + (
        ys - high * rng.uniform(0.2, 0.8)
    ) * np.sin(angle)
    soft = rng.uniform(30, 200)
    dark = 1 - rng.uniform(0.1, 0.4) / (1 + np.exp(-(far / soft).clip(-30, 30)))
    return cv2.resize(dark.astype(np.float32), (wide, high), interpolation=cv2.INTER_LINEAR)


DAMAGES: dict[str, Damage] = {
    "clean": Damage(300, _clean, may_be_one_bit=True),
    "slight": Damage(300, _slight),
    "office": Damage(300, _office, may_be_one_bit=True),
    "photocopy": Damage(300, _photocopy, may_be_one_bit=True),
    "photo": Damage(300, _photo),
    "clean150": Damage(150, _clean, may_be_one_bit=True),
    "screenshot": Damage(110, _clean, thinnest_px=1.0),
}
