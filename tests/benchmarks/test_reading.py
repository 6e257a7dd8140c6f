"""Reading a page, beside the general-purpose chain on the same page: see the ratio of the two.

The chain is an adaptive threshold and a thinning of the whole page, the first two steps of the usual
way from pixels to lines; its third, the graph of the thinned lines, would cost more than both.
"""

from __future__ import annotations

import tracemalloc
from functools import cache
from random import Random

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from pytest_benchmark.fixture import BenchmarkFixture
from skimage.morphology import skeletonize

from loomfolio.basics import PxBox
from loomfolio.reading import Reading, read_page
from support.drawn_page import DrawnPage

A4 = (297.0, 210.0)
RESOLUTIONS = pytest.mark.parametrize("dpi", [150, 300])


@cache
def make_page(dpi: int) -> tuple[NDArray[np.uint8], tuple[PxBox, ...]]:
    """An A4 page of two columns of modules with forty routed lines between them, and its boxes."""
    rng = Random(7)
    page = DrawnPage(*A4, dpi=dpi)
    boxes = [(20.0, 15.0, 60.0, 195.0), (237.0, 15.0, 277.0, 195.0)]
    for box in boxes:
        page.box(*box)
    # The rows of the two sides lie between each other: no line runs over another.
    left, right = [20 + 4.2 * k for k in range(40)], [22.1 + 4.2 * k for k in range(40)]
    rng.shuffle(right)
    for number, (a, b) in enumerate(zip(left, right, strict=True)):
        lane = 75 + 3.7 * number
        page.line((60, a), (lane, a), (lane, b), (237, b))
        page.text((62, a - 0.5), f"{number}", 1.8)
    return page.pixels, tuple(page.boxes(*boxes))


def _chain(pixels: NDArray[np.uint8]) -> NDArray[np.bool_]:
    ink = cv2.adaptiveThreshold(
        pixels, 255, cv2.ADAPTIVE_THRESH_MEAN_C, cv2.THRESH_BINARY_INV, 31, 15
    )
    return np.asarray(skeletonize(ink > 0))


@RESOLUTIONS
def test_read_page(benchmark: BenchmarkFixture, dpi: int) -> None:
    pixels, boxes = make_page(dpi)
    benchmark.group = f"A4 at {dpi} dpi"
    reading = benchmark.pedantic(
        read_page, args=(pixels,), kwargs={"dpi": dpi, "bodies": boxes}, rounds=3
    )
    assert isinstance(reading, Reading)
    assert len(reading.conductors) >= 40


@RESOLUTIONS
def test_general_purpose_chain(benchmark: BenchmarkFixture, dpi: int) -> None:
    pixels, _ = make_page(dpi)
    benchmark.group = f"A4 at {dpi} dpi"
    thinned = benchmark.pedantic(_chain, args=(pixels,), rounds=3)
    assert thinned.any()


def test_peak_memory_of_reading(benchmark: BenchmarkFixture) -> None:
    pixels, boxes = make_page(300)
    tracemalloc.start()
    benchmark.pedantic(read_page, args=(pixels,), kwargs={"dpi": 300, "bodies": boxes}, rounds=1)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    benchmark.extra_info["peak bytes a px"] = round(peak / pixels.size, 1)
    assert peak > 0
