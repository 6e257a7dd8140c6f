"""Real pages that were written as drawings, read from their strokes: every net exactly right.

The truth was written by reading the picture of the page by eye; see SOURCES.md.
"""

from __future__ import annotations

import pytest

from accuracy.paint import MM_PER_INCH
from accuracy.read_lines import ReadLines
from accuracy.score import misread
from loomfolio.reading import Reading, read_any_page
from loomfolio.sheets import load_drawing
from pages.real_samples import Sample, find_sample, load_sample

NAME = "circuitikz_siunitx_page"


@pytest.fixture(scope="module")
def sample() -> Sample:
    path = find_sample(NAME)
    if path is None:
        pytest.skip("this page lies beside a working copy only")
    return load_sample(path)


@pytest.fixture(scope="module")
def reading(sample: Sample) -> Reading:
    file = find_sample(NAME).with_name(f"{NAME}.pdf")
    return read_any_page(lambda: sample.pixels, load_drawing(file, dpi=sample.dpi), dpi=sample.dpi)


def test_every_net_of_a_drawn_page_is_exactly_right(sample, reading):
    lines = ReadLines(reading)
    wrong = misread(sample.nets, lines.nearest(sample.terminals, sample.dpi / MM_PER_INCH))
    assert reading.route == "strokes"
    assert [f"{w.fault}: {sample.name_of(w.net)}" for w in wrong] == []
    assert reading.doubts == ()


def test_its_words_are_those_of_the_file(reading):
    words = [text.text for text in reading.texts]
    assert words[:5] == ["10.2", "Using", "the", "(experimental)", "siunitx"]
    assert {"0.25", "k\N{OHM SIGN}", "nF", "mH", "e(t)", "node[ground]"} <= set(words)
