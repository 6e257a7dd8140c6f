"""Pictures of what the reader saw, drawn over the page: for looking, not for measuring."""

from __future__ import annotations

import colorsys

import cv2
import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.records import Reading

U8 = NDArray[np.uint8]


def draw_reading(pixels: U8, reading: Reading, *, enlarge: int = 1) -> U8:
    """Return an RGB picture, uint8 (H, W, 3): the page faded, one hue a conductor, marks on top.

    Filled circle: joined; cross: apart; red square: doubt; green box: body.
    """
    page = pixels if pixels.ndim == 3 else np.repeat(pixels[:, :, None], 3, axis=2)
    faded = (255 - (255 - page.astype(np.uint16)) // 3).astype(np.uint8)
    enlarged = cv2.resize(faded, None, fx=enlarge, fy=enlarge, interpolation=cv2.INTER_NEAREST)
    canvas = np.asarray(enlarged, dtype=np.uint8)
    thick = max(1, enlarge)
    for number, conductor in enumerate(reading.conductors):
        hue = colorsys.hsv_to_rgb((number * 0.381966) % 1.0, 1.0, 0.8)
        tone = tuple(int(255 * v) for v in hue)
        for line in conductor.lines:
            points = (np.array(line) * enlarge).round().astype(np.int32).reshape(-1, 1, 2)
            cv2.polylines(canvas, [points], isClosed=False, color=tone, thickness=thick)
            for p in (points[0, 0], points[-1, 0]):
                cv2.circle(canvas, (int(p[0]), int(p[1])), 2 * thick, tone, -1)
    _draw_marks(canvas, reading, enlarge)
    return canvas


def _draw_marks(canvas: U8, reading: Reading, enlarge: int) -> None:
    for body in reading.bodies:
        x0, y0, x1, y1 = (round(v * enlarge) for v in body.box)
        cv2.rectangle(canvas, (x0, y0), (x1, y1), (0, 160, 0), 1)
    for junction in reading.junctions:
        cv2.circle(canvas, _spot(junction.x, junction.y, enlarge), 4, (0, 0, 0), 1)
    for crossing in reading.crossings:
        spot = _spot(crossing.x, crossing.y, enlarge)
        cv2.drawMarker(canvas, spot, (0, 0, 0), cv2.MARKER_TILTED_CROSS, 9, 1)
    for doubt in reading.doubts:
        x, y = _spot(doubt.x, doubt.y, enlarge)
        cv2.rectangle(canvas, (x - 7, y - 7), (x + 7, y + 7), (255, 0, 0), 1)


def _spot(x: float, y: float, enlarge: int) -> tuple[int, int]:
    return round(x * enlarge), round(y * enlarge)
