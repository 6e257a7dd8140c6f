"""Files of drawn pages for tests, by independent writers: Pillow, OpenCV, tifffile, reportlab."""

from __future__ import annotations

import io
from pathlib import Path

import cv2
import numpy as np
import tifffile
from numpy.typing import NDArray
from PIL import Image
from reportlab.lib.pdfencrypt import StandardEncryption
from reportlab.pdfgen import canvas

POINTS_PER_MM = 72 / 25.4


def make_drawing(width_px: int = 60, height_px: int = 40) -> NDArray[np.uint8]:
    """Return grey paper with a long mark at the top left and a short one at the bottom right."""
    page = np.full((height_px, width_px), 255, np.uint8)
    page[3:6, 3 : width_px // 2] = 0
    page[3 : height_px // 2, 3:6] = 0
    page[-8:-5, -12:-5] = 100
    return page


def make_coloured(width_px: int = 60, height_px: int = 40) -> NDArray[np.uint8]:
    """Return the drawing with one line in the blue that printers use."""
    page = np.repeat(make_drawing(width_px, height_px)[..., None], 3, axis=2)
    page[20:23, 10:50] = (0, 60, 200)
    return page


def make_pdf(
    path: Path,
    *,
    size_mm: tuple[float, float] = (60.0, 40.0),
    pages: int = 1,
    colour: tuple[float, float, float] = (0, 0, 0),
    password: str | None = None,
    strength: int = 128,
) -> Path:
    """Write a PDF with reportlab: a horizontal and a vertical line and a number on each page."""
    protection = StandardEncryption(password, strength=strength) if password else None
    sheet = canvas.Canvas(
        str(path),
        pagesize=(size_mm[0] * POINTS_PER_MM, size_mm[1] * POINTS_PER_MM),
        encrypt=protection,
        invariant=True,
    )
    for number in range(1, pages + 1):
        sheet.setStrokeColorRGB(*colour)
        sheet.line(20, 20, 120, 20)
        sheet.line(20, 20, 20, 20 + 10 * number)
        sheet.drawString(30, 40, f"E{number}")
        sheet.showPage()
    sheet.save()
    return path


def with_pillow(page: NDArray[np.uint8], kind: str) -> bytes:
    room = io.BytesIO()
    Image.fromarray(page).save(room, kind, **({"lossless": True} if kind == "WEBP" else {}))
    return room.getvalue()


def with_opencv(page: NDArray[np.uint8], suffix: str) -> bytes:
    turned = page if page.ndim == 2 else page[..., ::-1]
    written, data = cv2.imencode(suffix, np.ascontiguousarray(turned))
    assert written
    return data.tobytes()


def with_tifffile(page: NDArray[np.uint8], **options: object) -> bytes:
    room = io.BytesIO()
    tifffile.imwrite(room, page, **options)
    return room.getvalue()
