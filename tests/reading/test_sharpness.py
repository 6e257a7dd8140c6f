"""How steep the edges of print are, and blurred ones made steep again."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from loomfolio.reading.sharpness import BLURRED, CRISP, edge_steepness, sharpened

U8 = NDArray[np.uint8]


def slanted_lines(pen_tone: int) -> U8:
    """Darkness of twenty long lines that are a little off the upright, drawn antialiased."""
    darkness = np.zeros((600, 900), np.uint8)
    for k in range(20):
        x = 16 * (30 + 42 * k) + 5 * k
        cv2.line(darkness, (x, 0), (x + 16 * 9, 600 * 16), pen_tone, 4, cv2.LINE_AA, 4)
    return darkness


@pytest.mark.parametrize("tone", [60, 150, 250])
def test_print_is_crisp_whatever_its_tone_and_left_as_it_is(tone: int) -> None:
    darkness = slanted_lines(tone)
    assert edge_steepness(darkness) > CRISP
    assert sharpened(darkness, floor=22) is darkness


@pytest.mark.parametrize("sigma_px", [0.9, 1.2])
def test_blurred_edges_become_steeper(sigma_px: float) -> None:
    soft = cv2.GaussianBlur(slanted_lines(220), (0, 0), sigma_px)
    assert edge_steepness(soft) < BLURRED
    assert edge_steepness(sharpened(soft, floor=22)) > edge_steepness(soft) + 0.05


def test_a_slit_that_blur_closed_opens_again() -> None:
    darkness = np.zeros((600, 900), np.uint8)
    for x in range(20, 880, 20):
        darkness[:, x : x + 3] = 220
    darkness[:, 105:108] = 220
    soft = cv2.GaussianBlur(darkness, (0, 0), 1.1)
    slit, pen = 104, 101
    before = int(soft[300, slit]) / int(soft[300, pen])
    clear = sharpened(soft, floor=22)
    assert int(clear[300, slit]) / int(clear[300, pen]) < before - 0.2


def test_grain_is_made_steep_with_less_force() -> None:
    soft = cv2.GaussianBlur(slanted_lines(220), (0, 0), 1.1)
    gentle, full = sharpened(soft, floor=35), sharpened(soft, floor=22)
    assert edge_steepness(soft) < edge_steepness(gentle) < edge_steepness(full)


def test_bare_paper_has_no_edges() -> None:
    paper = np.zeros((100, 100), np.uint8)
    assert edge_steepness(paper) == 1.0
    assert sharpened(paper, floor=22) is paper
    assert edge_steepness(np.zeros((0, 0), np.uint8)) == 1.0
