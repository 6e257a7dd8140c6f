"""From ink in mm to the scan of a printed page: skew, the pen, the lens, the paper, and a small grey file.

Everything is drawn four times as fine as the scan and averaged. The skew turns every point about the
middle of the page, so that a position on the plan has one exact position on the scan (`Skew.turned`),
which is where the marks go. The grain of the paper comes from the raw bits of a fixed generator, whose
stream numpy guarantees, so that the same plan gives the same pixels.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageChops, ImageDraw, ImageFilter

from drawing.shapes import Area, Disc, Ink, Lettering, Stroke, face_for_cap, letter_places
from loomfolio.basics import MM_PER_INCH, MmPoint

Grey = npt.NDArray[np.uint8]

PAGE_MM = (297.0, 210.0)
"""A4, lying."""

_FINER = 4
_BLUR_PX_PER_DPI = 0.55 / 200
_PAPER_GREY = 249
_INK_GREY = 28
_LEVELS = 16
_SPECK_DARKER, _SPECKS_ABOVE = 17, 0.9975
_INK_UNEVEN = 26
_SHADOW_DARKER, _SHADOW_MM = 21, 2.4


@dataclass(frozen=True, slots=True)
class Skew:
    """How a page lay on the glass: turned about its middle, clockwise where positive."""

    degrees: float

    def turned(self, point: MmPoint) -> MmPoint:
        """Return where a point of the plan lies on the scan."""
        x, y = point.x - PAGE_MM[0] / 2, point.y - PAGE_MM[1] / 2
        cosine, sine = (f(math.radians(self.degrees)) for f in (math.cos, math.sin))
        return MmPoint(
            PAGE_MM[0] / 2 + x * cosine - y * sine, PAGE_MM[1] / 2 + x * sine + y * cosine
        )


def page_size_px(dpi: int) -> tuple[int, int]:
    """Return width and height of the scan in px."""
    width, height = (round(side * dpi / MM_PER_INCH) for side in PAGE_MM)
    return width, height


class Plate:
    """The printed page at four times the scan's resolution, 0 ink and 255 paper."""

    def __init__(self, *, dpi: int, skew: Skew) -> None:
        width, height = page_size_px(dpi)
        self._image = Image.new("L", (width * _FINER, height * _FINER), 255)
        self._pen = ImageDraw.Draw(self._image)
        self._skew = skew
        self._px_per_mm = dpi * _FINER / MM_PER_INCH

    def print_all(self, inks: Iterable[Ink]) -> None:
        """Print in the order given; what comes later lies on top."""
        for ink in inks:
            match ink:
                case Stroke():
                    self._stroke(ink)
                case Area():
                    self._pen.polygon([self._px(point) for point in ink.points], fill=ink.grey)
                case Disc():
                    self._disc(self._px(ink.centre), ink.radius_mm * self._px_per_mm, ink.grey)
                case Lettering():
                    self._letter(ink)

    def scanned(self) -> Image.Image:
        """Return the page at the scan's own resolution, still without blur and grain."""
        return self._image.reduce(_FINER)

    def _px(self, point: MmPoint) -> tuple[float, float]:
        turned = self._skew.turned(point)
        return turned.x * self._px_per_mm - 0.5, turned.y * self._px_per_mm - 0.5

    def _disc(self, centre: tuple[float, float], radius: float, grey: int) -> None:
        x, y = centre
        self._pen.ellipse((x - radius, y - radius, x + radius, y + radius), fill=grey)

    def _stroke(self, stroke: Stroke) -> None:
        half = stroke.width_mm * self._px_per_mm / 2
        for points in _dashes(stroke):
            corners = [self._px(point) for point in points]
            for a, b in itertools.pairwise(corners):
                self._segment(a, b, half)
            for corner in corners[1:-1]:
                self._disc(corner, half, 0)

    def _segment(self, a: tuple[float, float], b: tuple[float, float], half: float) -> None:
        length = math.dist(a, b)
        if length == 0:
            return
        x, y = (b[0] - a[0]) / length * half, (b[1] - a[1]) / length * half
        self._pen.polygon(
            [
                (a[0] - y, a[1] + x),
                (b[0] - y, b[1] + x),
                (b[0] + y, b[1] - x),
                (a[0] + y, a[1] - x),
            ],
            fill=0,
        )

    def _letter(self, text: Lettering) -> None:
        """Print a text on a patch of its own, whose middle is where the text hangs, and turn that."""
        if not text.text:
            return
        cap = text.cap_mm * self._px_per_mm
        bold = round(cap * 0.038) if text.is_bold else 0
        places, length = letter_places(text)
        left = {"left": 0.0, "centre": length / 2, "right": length}[text.align]
        reach = math.ceil(max(left, length - left) * self._px_per_mm + cap)
        tall = math.ceil(cap * 1.2 + reach * abs(math.sin(math.radians(self._skew.degrees))))
        patch = Image.new("L", (2 * reach, 2 * tall), 0)
        pen, font = ImageDraw.Draw(patch), face_for_cap(cap)
        for letter, place_mm in zip(text.text, places, strict=True):
            at = (reach + (place_mm - left) * self._px_per_mm, tall + cap / 2)
            pen.text(at, letter, fill=255, font=font, anchor="ls", stroke_width=bold)
        if text.is_turned:
            patch = patch.transpose(Image.Transpose.ROTATE_90)
        patch = patch.rotate(-self._skew.degrees, Image.Resampling.BICUBIC)
        x, y = self._px(text.at)
        corner = (round(x) - patch.width // 2, round(y) - patch.height // 2)
        self._image.paste(0, (*corner, corner[0] + patch.width, corner[1] + patch.height), patch)


def _dashes(stroke: Stroke) -> Iterable[tuple[MmPoint, ...]]:
    """Yield the unbroken pieces of a stroke."""
    if stroke.dash_mm is None:
        yield stroke.points
        return
    ink, gap = stroke.dash_mm
    for a, b in itertools.pairwise(stroke.points):
        length = a.distance_mm(b)
        count = max(1, round((length + gap) / (ink + gap)))
        pitch = (length + gap) / count
        for number in range(count):
            start, end = number * pitch, number * pitch + pitch - gap
            yield _along(a, b, start / length), _along(a, b, end / length)


def _along(a: MmPoint, b: MmPoint, part: float) -> MmPoint:
    return MmPoint(a.x + (b.x - a.x) * part, a.y + (b.y - a.y) * part)


def scan(plate: Plate, *, dpi: int, seed: int) -> Grey:
    """Return the scan of a printed page.

    Returns
    -------
    uint8 array (H, W), at most 16 different greys, 0 black
    """
    blurred = plate.scanned().filter(ImageFilter.GaussianBlur(_BLUR_PX_PER_DPI * dpi))
    page = np.asarray(blurred, dtype=np.float32)
    height, width = page.shape
    tone = _INK_GREY + page / 255 * (_PAPER_GREY - _INK_GREY)
    ink_share = 1 - page / 255
    tone += ink_share**3 * _cloud(height, width, seed=seed, cell_px=round(dpi / 50)) * _INK_UNEVEN
    tone -= _specks(height, width, seed=seed + 1) * (1 - ink_share)
    tone -= _gutter(width, dpi) * (0.8 + 0.4 * _noise(height, width, seed=seed + 2))
    step = 255 / (_LEVELS - 1)
    levels = np.clip(np.rint(tone / step), 0, _LEVELS - 1)
    return np.asarray(np.rint(levels * step), dtype=np.uint8)


def _noise(height: int, width: int, *, seed: int) -> npt.NDArray[np.float32]:
    """Even noise in 0..1, from raw bits, one byte a pixel."""
    count = (height * width + 7) // 8
    raw = np.random.PCG64(seed).random_raw(count).view(np.uint8)[: height * width]
    return (raw.reshape(height, width) / np.float32(255)).astype(np.float32)


def _cloud(height: int, width: int, *, seed: int, cell_px: int) -> npt.NDArray[np.float32]:
    """Soft noise in -0.5..0.5: how thick the ink lies."""
    cells = _noise(height // cell_px + 2, width // cell_px + 2, seed=seed)
    small = Image.fromarray(np.rint(cells * 255).astype(np.uint8))
    large = small.resize((width, height), Image.Resampling.BICUBIC)
    return np.asarray(np.asarray(large) / 255 - 0.5, dtype=np.float32)


def _specks(height: int, width: int, *, seed: int) -> npt.NDArray[np.float32]:
    """The grain of the paper: a few in a thousand pixels a shade darker, in fibres of two or three."""
    dots = Image.fromarray(
        (_noise(height, width, seed=seed) > _SPECKS_ABOVE).astype(np.uint8) * 255
    )
    fibres = ImageChops.lighter(dots, ImageChops.offset(dots, 1, 0))
    fibres = ImageChops.lighter(fibres, ImageChops.offset(dots, 1, 1))
    return np.asarray(np.asarray(fibres) / 255 * _SPECK_DARKER, dtype=np.float32)


def _gutter(width: int, dpi: int) -> npt.NDArray[np.float32]:
    """The shadow where the page left the glass, along its left edge."""
    mm = np.arange(width, dtype=np.float32) * np.float32(MM_PER_INCH / dpi)
    return np.asarray(_SHADOW_DARKER * np.exp(-mm / _SHADOW_MM), dtype=np.float32)


def save_scan(page: Grey, path: Path, *, dpi: int) -> None:
    """Write a scan as a PNG of 16 greys, four bits a pixel, with its resolution."""
    step = 255 / (_LEVELS - 1)
    image = Image.fromarray(np.rint(page / step).astype(np.uint8)).convert("L")
    indexed = Image.new("P", image.size)
    indexed.putdata(image.tobytes())
    palette = [round(level * step) for level in range(_LEVELS) for _ in range(3)]
    indexed.putpalette(palette)
    indexed.save(path, optimize=True, bits=4, dpi=(dpi, dpi))
