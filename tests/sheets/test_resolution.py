"""Dots per inch. The paper sizes are checked against ISO 216's rule, not against our own table."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.basics import NameNotFoundError, Resolution
from loomfolio.sheets import PAPER_SIZES_MM, assumed_resolution, resolution_from_paper
from loomfolio.sheets.resolution import believable


@pytest.mark.parametrize("number", range(6))
def test_a_sizes_follow_iso_216(number):
    """A0 has 1 m² with sides as 1 to √2; each next one is half of it, whole mm cut off."""
    short_mm = math.floor(1000 * 2 ** (-1 / 4 - number / 2) + 0.2)
    long_mm = math.floor(1000 * 2 ** (1 / 4 - number / 2) + 0.2)
    assert PAPER_SIZES_MM[f"A{number}"] == (short_mm, long_mm)


@pytest.mark.parametrize(
    ("width_px", "height_px", "paper", "dpi"),
    [
        (2480, 3508, "A4", 300),
        (3508, 2480, "a4", 300),
        (4961, 3508, " A3 ", 300),
        (1700, 2200, "Letter", 200),
        (3400, 2200, "TABLOID", 200),
    ],
)
def test_page_that_fills_the_paper(width_px, height_px, paper, dpi):
    resolution = resolution_from_paper(width_px, height_px, paper)
    assert resolution.x_dpi == pytest.approx(dpi, rel=0.001)
    assert resolution.y_dpi == pytest.approx(dpi, rel=0.001)


def test_stretch_of_a_scanner_is_taken_out():
    resolution = resolution_from_paper(2480, 3578, "A4")
    assert resolution.to_mm(2480, 3578) == pytest.approx((210, 297))


def test_cut_out_of_a_page_is_not_stretched():
    resolution = resolution_from_paper(2480, 1000, "A4")
    assert resolution.x_dpi == resolution.y_dpi
    width_mm, height_mm = resolution.to_mm(2480, 1000)
    assert width_mm == pytest.approx(297)
    assert height_mm < 210


def test_unknown_paper_offers_the_nearest():
    with pytest.raises(NameNotFoundError, match="no paper size called 'A33'; did you mean A3"):
        resolution_from_paper(100, 100, "A33")


@pytest.mark.parametrize(
    ("width_px", "height_px", "dpi"),
    [
        (2480, 3508, 300),
        (1654, 2339, 200),
        (1754, 1240, 150),
        (4961, 3508, 300),
        (2480, 1754, 150),
        (2550, 3300, 300),
        (4961, 7016, 600),
        (400, 300, 96),
        (9000, 100, 600),
        (1, 1, 96),
    ],
    ids=[
        "A4",
        "A4 at 200",
        "A4 lying",
        "A3",
        "A3 at 150",
        "letter",
        "A4 at 600",
        "small",
        "strip",
        "dot",
    ],
)
def test_assumed_resolution(width_px, height_px, dpi):
    assert assumed_resolution(width_px, height_px) == Resolution(dpi, dpi)


@given(st.integers(1, 60_000), st.integers(1, 60_000))
def test_assumed_resolution_is_always_a_usual_one(width_px, height_px):
    assert 96 <= assumed_resolution(width_px, height_px).x_dpi <= 600


@pytest.mark.parametrize(
    ("dpi", "size_px"),
    [
        ((72, 72), (595, 842)),
        ((96, 96), (1366, 768)),
        ((96, 96), (2560, 1440)),
        ((120, 120), (1920, 1080)),
        ((100, 100), (827, 1169)),
        ((204, 98), (1728, 1145)),
        ((300, 300), (9933, 14043)),
        ((600, 600), (400, 300)),
    ],
    ids=["A4 at 72", "screen", "large screen", "dense screen", "coarse A4", "fax", "A0", "cut out"],
)
def test_believed(dpi, size_px):
    assert believable(*dpi, *size_px) == Resolution(*dpi)


@pytest.mark.parametrize(
    ("dpi", "size_px"),
    [
        ((72, 72), (4000, 3000)),
        ((72, 72), (2480, 3508)),
        ((96, 96), (1240, 1754)),
        ((72, 72), (1240, 1754)),
        ((1, 1), (600, 400)),
        ((0, 0), (600, 400)),
        ((-300, -300), (600, 400)),
        ((300, 100), (600, 400)),
        ((300, math.nan), (600, 400)),
        ((math.inf, math.inf), (600, 400)),
        ((9600, 9600), (600, 400)),
    ],
    ids=[
        "photo",
        "A4 scan called 72",
        "150-dpi scan called 96",
        "150-dpi scan called 72",
        "one",
        "none",
        "negative",
        "uneven",
        "not a number",
        "infinite",
        "finer than any scanner",
    ],
)
def test_not_believed(dpi, size_px):
    assert believable(*dpi, *size_px) is None
