"""Half circles over lines, drawn with a pen and blurred: seen where they are, and nowhere else."""

from __future__ import annotations

import math

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from loomfolio.reading import ReaderSettings
from loomfolio.reading.arcs import Arc, find_arcs
from loomfolio.reading.strokes import find_strokes

SETTINGS = ReaderSettings()
PITCH = 18  # px: 1.5 mm at 300 dpi


def page(*lines: list[tuple[float, float]], pen: int = 3, blur: float = 0.0) -> NDArray[np.uint8]:
    """Darkness of a page, 0..255, uint8 (200, 300), with polylines drawn by a pen of some px."""
    large = np.zeros((800, 1200), np.uint8)
    for line in lines:
        points = np.array([(round(4 * x), round(4 * y)) for x, y in line], np.int32)
        cv2.polylines(large, [points], isClosed=False, color=255, thickness=4 * pen)
    small = cv2.resize(large, (300, 200), interpolation=cv2.INTER_AREA)
    if blur:
        small = cv2.GaussianBlur(small, (0, 0), blur)
    return np.asarray(small, dtype=np.uint8)


def hopping(y: float, over: list[float], radius: float) -> list[tuple[float, float]]:
    """A line along y that rises in a half circle over each of the places."""
    points: list[tuple[float, float]] = [(20, y)]
    for x in over:
        for k in range(13):
            angle = math.pi * (1 - k / 12)
            points.append((x + radius * math.cos(angle), y - radius * math.sin(angle)))
    return [*points, (280, y)]


def arcs_on(darkness: NDArray[np.uint8], pen: float = 3.0) -> list[Arc]:
    """What is found on a page with its ink at a third of the darkest."""
    ink = (darkness >= 80).astype(np.uint8)
    return find_arcs(ink, darkness, find_strokes(ink, SETTINGS), pen, SETTINGS)


def upright(x: float) -> list[tuple[float, float]]:
    """A line from top to bottom."""
    return [(x, 10), (x, 190)]


@pytest.mark.parametrize("blur", [0.0, 0.6, 1.1])
@pytest.mark.parametrize("radius", [7.0, 9.0, 12.0])
def test_hops_side_by_side_are_all_seen(blur: float, radius: float) -> None:
    """Also where the arcs stand foot to foot and blur begins to fill them."""
    over = [80.0 + k * max(PITCH, 2.4 * radius) for k in range(5)]
    found = arcs_on(page(*map(upright, over), hopping(100, over, radius), blur=blur))
    assert sorted(round(a.x) for a in found) == pytest.approx([round(x) for x in over], abs=1)
    for arc in found:
        assert (arc.y, arc.radius) == (pytest.approx(100, abs=1.2), pytest.approx(radius, abs=1.2))
        assert arc.rise[1] < -0.97


def test_an_arc_that_stands_apart_in_a_gap_is_seen_with_its_gap() -> None:
    """The line is broken 14 px on each side of a small arc."""
    arc = hopping(100, [150], 8)[1:-1]
    drawn = page(upright(150), [(20, 100), (136, 100)], arc, [(164, 100), (280, 100)])
    (found,) = arcs_on(drawn)
    assert min(found.feet) > found.radius + 3


@pytest.mark.parametrize("blur", [0.0, 1.4])
def test_dots_rings_bends_and_letters_are_no_arcs(blur: float) -> None:
    """A four-way and a T with dots, a ring in line, a round bend, a D and an O struck by a line."""
    ring = [(60 + 9 * math.cos(a), 60 + 9 * math.sin(a)) for a in np.linspace(0, 2 * math.pi, 40)]
    bend = [
        (200 - 12 * math.cos(a), 152 - 12 * math.sin(a)) for a in np.linspace(0, math.pi / 2, 9)
    ]
    letter = [(240, 52), (240, 68), (246, 67), (250, 60), (246, 53), (240, 52)]
    drawn = page(
        [(20, 60), (280, 60)], ring, letter, [(188, 190), *bend, (280, 140)],
        [(20, 120), (180, 120)], [(100, 80), (100, 180)], [(140, 120), (140, 190)],
        blur=blur,
    )  # fmt: skip
    for x in (100, 140):
        cv2.circle(drawn, (x, 120), 6, 255, -1)
    assert arcs_on(drawn) == []
