"""Laws of reading: how a page lies changes no connection, and taking ink away adds none."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from loomfolio.reading import read_page
from support.drawn_page import DrawnPage, Mm, nets_of

WIDTH, HEIGHT = 60.0, 40.0
ROWS = [6.0 + 4 * k for k in range(8)]
COLUMNS = [8.0 + 5 * k for k in range(10)]


@st.composite
def drawn_pages(draw: st.DrawFn) -> tuple[DrawnPage, list[Mm]]:
    """A page of rows and columns, crossing plainly, by dots, or ending on each other; and its ends."""
    page = DrawnPage(WIDTH, HEIGHT)
    rows = draw(st.lists(st.sampled_from(ROWS), min_size=1, max_size=4, unique=True))
    columns = draw(st.lists(st.sampled_from(COLUMNS), min_size=1, max_size=4, unique=True))
    places: list[Mm] = []
    for y in rows:
        page.line((3, y), (57, y))
        places += [(4, y), (56, y)]
    for x in columns:
        stop = draw(st.sampled_from([HEIGHT - 2, *rows]))
        page.line((x, 2), (x, stop))
        places.append((x, 2.8))
        for y in rows:
            if y < stop and draw(st.booleans()):
                page.dot((x, y))
    return page, places


def _turned(p: Mm) -> Mm:
    return p[1], WIDTH - p[0]


def _mirrored(p: Mm) -> Mm:
    return WIDTH - p[0], p[1]


@pytest.mark.parametrize(
    ("change", "moved"),
    [
        pytest.param(np.rot90, _turned, id="turned"),
        pytest.param(np.fliplr, _mirrored, id="mirrored"),
    ],
)
@given(drawn=drawn_pages())
@settings(max_examples=12)
def test_turning_and_mirroring_change_no_connection(
    drawn: tuple[DrawnPage, list[Mm]],
    change: Callable[[NDArray[np.uint8]], NDArray[np.uint8]],
    moved: Callable[[Mm], Mm],
) -> None:
    page, places = drawn
    changed = np.ascontiguousarray(change(page.pixels))
    reading = read_page(changed, dpi=page.dpi)
    assert nets_of(reading, [moved(p) for p in places]) == nets_of(page.read(), places)


@given(drawn=drawn_pages(), right_px=st.integers(0, 40), down_px=st.integers(0, 40))
@settings(max_examples=12)
def test_shifting_changes_no_connection(
    drawn: tuple[DrawnPage, list[Mm]], right_px: int, down_px: int
) -> None:
    page, places = drawn
    shifted = np.pad(page.pixels, ((down_px, 0), (right_px, 0)), constant_values=255)
    reading = read_page(shifted, dpi=page.dpi)
    mm = 25.4 / page.dpi
    moved = [(x + right_px * mm, y + down_px * mm) for x, y in places]
    assert nets_of(reading, moved) == nets_of(page.read(), places)


@given(
    drawn=drawn_pages(),
    corner=st.tuples(st.floats(0, WIDTH), st.floats(0, HEIGHT)),
    size=st.tuples(st.floats(0.3, 12), st.floats(0.3, 12)),
)
@settings(max_examples=20)
def test_wiping_a_piece_joins_nothing(
    drawn: tuple[DrawnPage, list[Mm]], corner: Mm, size: tuple[float, float]
) -> None:
    page, places = drawn
    before = nets_of(page.read(), places)
    page.wipe(*corner, corner[0] + size[0], corner[1] + size[1])
    after = nets_of(page.read(), places)
    assert all(any(net <= old for old in before) for net in after)


@given(drawn=drawn_pages())
@settings(max_examples=10)
def test_every_conductor_hangs_together(drawn: tuple[DrawnPage, list[Mm]]) -> None:
    page, _ = drawn
    for conductor in page.read().conductors:
        vertices = [{(round(x, 2), round(y, 2)) for x, y in line} for line in conductor.lines]
        piece = vertices.pop()
        while touching := [v for v in vertices if v & piece]:
            piece |= set().union(*touching)
            vertices = [v for v in vertices if v not in touching]
        assert vertices == []
