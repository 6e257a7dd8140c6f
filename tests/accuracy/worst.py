"""A picture of what went wrong on a page: green what should be joined, red what was joined to it."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from accuracy.paint import Image8
from accuracy.scans import Scan
from accuracy.score import Score, WrongNet
from loomfolio.reading import Reading

_TRUE = (30, 160, 30)
_READ = (230, 120, 0)
_STRANGER = (220, 0, 0)
_DOUBT = (150, 0, 200)
_FADE = 0.45  # how dark the page stays under the marks
_CROP_PX = 900  # a fault is shown with at most this much round it


def draw_faults(scan: Scan, reading: Reading, score: Score, folder: Path) -> None:
    """Write the page with all its faults, and a close-up of each of the first six."""
    folder.mkdir(parents=True, exist_ok=True)
    page = _faded(scan.pixels)
    for doubt in reading.doubts:
        cv2.circle(page, (round(doubt.x), round(doubt.y)), 14, _DOUBT, 2, cv2.LINE_AA)
    whole = page.copy()
    name = f"{scan.damage}-{scan.seed:04d}"
    for wrong in score.wrong:
        _draw_fault(whole, scan, reading, wrong)
    _save(folder / f"{name}.png", whole)
    for number, wrong in enumerate(score.wrong[:6]):
        close = page.copy()
        _draw_fault(close, scan, reading, wrong)
        silent = "silent-" if wrong.silent else ""
        _save(folder / f"{name}-{number}-{silent}{wrong.fault}.png", _crop(close, scan, wrong))


def _faded(pixels: Image8) -> Image8:
    colour = pixels if pixels.ndim == 3 else cv2.cvtColor(pixels, cv2.COLOR_GRAY2RGB)
    return (255 - (255 - colour.astype(np.float32)) * _FADE).astype(np.uint8)


def _draw_fault(page: Image8, scan: Scan, reading: Reading, wrong: WrongNet) -> None:
    for conductor in wrong.conductors:
        for line in reading.conductors[conductor].lines:
            points = np.array([(round(p[0]), round(p[1])) for p in line], np.int32)
            cv2.polylines(page, [points], False, _READ, 5, cv2.LINE_AA)
    for x0, y0, x1, y1 in scan.truth.net_lines[wrong.net]:
        cv2.line(page, (round(x0), round(y0)), (round(x1), round(y1)), _TRUE, 2, cv2.LINE_AA)
    for terminal in scan.truth.nets[wrong.net]:
        _ring(page, scan.truth.terminals[terminal], _TRUE)
    for terminal in wrong.missing:
        _ring(page, scan.truth.terminals[terminal], _STRANGER, 20)
    for terminal in wrong.strangers:
        _ring(page, scan.truth.terminals[terminal], _STRANGER)


def _ring(
    page: Image8, at: NDArray[np.float64], colour: tuple[int, int, int], radius: int = 11
) -> None:
    cv2.circle(page, (round(at[0]), round(at[1])), radius, colour, 3, cv2.LINE_AA)


def _crop(page: Image8, scan: Scan, wrong: WrongNet) -> Image8:
    """The part of the page with the fault: round what is missing or strange, else the whole net."""
    odd = [*wrong.missing, *wrong.strangers] or list(scan.truth.nets[wrong.net])
    points = np.vstack([scan.truth.terminals[odd], scan.truth.net_lines[wrong.net].reshape(-1, 2)])
    low = np.maximum(points.min(axis=0) - 40, 0).astype(int)
    high = np.minimum(points.max(axis=0) + 40, page.shape[1::-1]).astype(int)
    if (high - low).max() > 3 * _CROP_PX:
        middle = scan.truth.terminals[odd[0]]
        low = np.maximum(middle - _CROP_PX, 0).astype(int)
        high = np.minimum(middle + _CROP_PX, page.shape[1::-1]).astype(int)
    return page[low[1] : high[1], low[0] : high[0]]


def _save(path: Path, page: Image8) -> None:
    cv2.imwrite(str(path), np.ascontiguousarray(page[:, :, ::-1]))
