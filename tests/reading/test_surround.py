"""What lies round a photographed sheet is no ink; a shadow on the sheet hides none."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from loomfolio.reading import read_page
from loomfolio.reading.surround import find_surround

U8 = NDArray[np.uint8]
DPI = 300.0


def sheet_with_line() -> U8:
    sheet = np.full((900, 1200), 235, np.uint8)
    cv2.line(sheet, (200, 450), (1000, 450), 30, 3)
    return sheet


def on_desk(sheet: U8, tone: int, degrees: float) -> U8:
    """The sheet turned on a larger ground of one tone, with grain from a fixed seed."""
    high, wide = sheet.shape
    matrix = cv2.getRotationMatrix2D((wide / 2, high / 2), degrees, 1.0)
    matrix[:, 2] += 120
    size = (wide + 240, high + 240)
    turned = cv2.warpAffine(sheet, matrix, size, flags=cv2.INTER_CUBIC, borderValue=tone)
    grain = np.random.default_rng(5).normal(0, 4, turned.shape)
    return np.clip(turned + grain, 0, 255).astype(np.uint8)


@pytest.mark.parametrize("tone", [70, 120, 180])
@pytest.mark.parametrize("degrees", [0.0, 1.3, -2.0])
def test_the_desk_is_found_and_the_sheet_is_left(tone: int, degrees: float) -> None:
    around = find_surround(on_desk(sheet_with_line(), tone, degrees))
    assert around is not None
    assert around[[10, 10, -10, -10], [10, -10, 10, -10]].all()
    assert not around[320:800, 380:1060].any()


@pytest.mark.parametrize("tone", [70, 180])
def test_only_the_line_on_the_sheet_is_read(tone: int) -> None:
    reading = read_page(on_desk(sheet_with_line(), tone, 1.3), dpi=DPI)
    assert len(reading.conductors) == 1
    xs = [p.x for line in reading.conductors[0].lines for p in line]
    assert [min(xs), max(xs)] == pytest.approx([320, 1120], abs=12)
    assert reading.doubts == ()


def test_a_page_that_fills_the_picture_has_no_surround() -> None:
    assert find_surround(sheet_with_line()) is None


def test_a_soft_shadow_up_to_the_rim_is_on_the_sheet() -> None:
    sheet = sheet_with_line().astype(np.float64)
    across = np.arange(sheet.shape[1]) - 500.0
    shaded = sheet * (1 - 0.35 / (1 + np.exp(-across / 40.0)))
    assert find_surround(shaded.astype(np.uint8)) is None


def test_a_black_bar_inside_the_sheet_is_no_surround() -> None:
    sheet = sheet_with_line()
    sheet[600:700, 300:900] = 20
    assert find_surround(sheet) is None


def test_a_picture_of_a_few_px_has_none() -> None:
    assert find_surround(np.full((3, 2), 9, np.uint8)) is None
