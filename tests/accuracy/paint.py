"""From the display list to pixels: vector drawing by Qt's raster engine, letters by FreeType.

No window and no Qt application is needed: strokes go to a `QImage`, letters are set by Pillow with
the font that it carries, so that a page looks the same on every machine.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QBrush, QColor, QImage, QPainter, QPen, QPolygonF

from accuracy.marks import DrawnPage, Lettering, Mark, Stroke

MM_PER_INCH = 25.4
_CAP_HEIGHT = 0.72  # of the font size
_NARROW = 0.72
_CAP_HEIGHT_PER_PX = 1 / (100.0 * _CAP_HEIGHT)  # at a font size of 100 px

Image8 = NDArray[np.uint8]


def paint(
    page: DrawnPage,
    dpi: float,
    *,
    thinnest_px: float = 0.0,
    wanted: Callable[[Mark], bool] = lambda _mark: True,
) -> Image8:
    """Return the page as RGB pixels, shape (H, W, 3); lines are never thinner than `thinnest_px`."""
    scale = dpi / MM_PER_INCH
    width, height = round(page.width_mm * scale), round(page.height_mm * scale)
    image = QImage(width, height, QImage.Format.Format_RGB32)
    image.fill(QColor(255, 255, 255))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    marks = [mark for mark in page.marks if wanted(mark)]
    for mark in marks:
        if isinstance(mark, Stroke):
            _draw_stroke(painter, mark, scale, thinnest_px)
    painter.end()
    lines = np.frombuffer(image.constBits(), np.uint8).reshape(height, image.bytesPerLine())
    pixels = lines.reshape(height, -1, 4)[:, :width, 2::-1].copy()
    _set_letters(pixels, (mark for mark in marks if isinstance(mark, Lettering)), scale)
    return pixels


def _draw_stroke(painter: QPainter, mark: Stroke, scale: float, thinnest_px: float) -> None:
    colour = QColor(*mark.colour)
    polygon = QPolygonF([QPointF(x * scale, y * scale) for x, y in mark.points])
    if mark.width_mm > 0:
        pen = QPen(colour, max(mark.width_mm * scale, thinnest_px))
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        painter.setPen(pen)
    else:
        painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QBrush(QColor(*mark.fill)) if mark.fill else QBrush(Qt.BrushStyle.NoBrush))
    if mark.closed:
        painter.drawPolygon(polygon)
    else:
        painter.drawPolyline(polygon)


def painted_width_mm(mark: Lettering) -> float:
    """Return how wide a line of letters is painted, along its direction."""
    left, _, right, _ = _font(100.0).getbbox(mark.text or " ")
    wide = (right - left) * mark.height_mm * _CAP_HEIGHT_PER_PX
    return wide * _NARROW if mark.narrow else wide


@lru_cache(maxsize=64)
def _font(size: float) -> ImageFont.FreeTypeFont:
    font = ImageFont.load_default(size)
    if not isinstance(font, ImageFont.FreeTypeFont):
        raise TypeError("Pillow was built without FreeType; install the wheel from the index")
    return font


def _set_letters(pixels: Image8, letters: Iterable[Lettering], scale: float) -> None:
    for mark in letters:
        cover = _cover(mark, scale)
        x = round(mark.at[0] * scale - cover.shape[1] / 2)
        y = round(mark.at[1] * scale - cover.shape[0] / 2)
        top, left = max(0, -y), max(0, -x)
        window = pixels[max(0, y) : y + cover.shape[0], max(0, x) : x + cover.shape[1]]
        part = cover[top : top + window.shape[0], left : left + window.shape[1], None] / 255.0
        ink = np.array(mark.colour, dtype=np.float64)
        window[:] = np.rint(window * (1 - part) + ink * part).astype(np.uint8)


def _cover(mark: Lettering, scale: float) -> Image8:
    """How much of each pixel the letters cover, 0 to 255, shape (h, w)."""
    font = _font(max(4.0, round(mark.height_mm * scale / _CAP_HEIGHT, 1)))
    left, top, right, bottom = font.getbbox(mark.text or " ")
    image = Image.new("L", (int(right - left) + 2, int(bottom - top) + 2), 0)
    ImageDraw.Draw(image).text((1 - left, 1 - top), mark.text, fill=255, font=font)
    if mark.narrow:
        image = image.resize(
            (max(1, round(image.width * _NARROW)), image.height), Image.Resampling.BILINEAR
        )
    cover = np.asarray(image)
    return np.rot90(cover).copy() if mark.turned else cover
