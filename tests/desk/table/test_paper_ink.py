"""Pages on white, toned and dark paper."""

import colorsys

import numpy as np
import pytest

from loomfolio.desk.table.paper_ink import PaperInk
from loomfolio.desk.theme import make_theme


def shown(ink, pixels):
    colour = ink.pixmap(np.array(pixels, np.uint8)).toImage().pixelColor(0, 0)
    return colour.red(), colour.green(), colour.blue()


@pytest.fixture(autouse=True)
def _application(qapp):
    """Pixmaps need one."""


@pytest.mark.parametrize("value", [0, 17, 128, 255])
def test_plain_paper_shows_each_grey_as_it_is(value):
    assert shown(PaperInk.plain(), [[value]]) == (value, value, value)


@pytest.mark.parametrize("colour", [(200, 30, 30), (0, 0, 0), (255, 255, 255), (12, 200, 90)])
def test_plain_paper_shows_each_colour_as_it_is(colour):
    assert shown(PaperInk.plain(), [[colour]]) == colour


def test_the_paper_of_the_dark_desk_is_toned_and_the_ink_stays_black():
    ink = PaperInk.of(make_theme("dark"))
    paper = ink.paper
    assert shown(ink, [[255]]) == (paper.red(), paper.green(), paper.blue()) != (255, 255, 255)
    assert shown(ink, [[0]]) == (0, 0, 0)


@pytest.mark.parametrize("page", [[[255]], [[(255, 255, 255)]]], ids=["grey", "colour"])
def test_on_inverted_paper_white_becomes_the_dark_panel(page):
    theme = make_theme("dark", is_paper_dark=True)
    panel = theme.paper_colours.of("panel")
    assert shown(PaperInk.of(theme), page) == tuple(bytes.fromhex(panel[1:]))


@pytest.mark.parametrize("page", [[[0]], [[(0, 0, 0)]]], ids=["grey", "colour"])
def test_on_inverted_paper_black_becomes_light_text(page):
    theme = make_theme("dark", is_paper_dark=True)
    text = theme.paper_colours.of("text")
    assert shown(PaperInk.of(theme), page) == tuple(bytes.fromhex(text[1:]))


@pytest.mark.parametrize("colour", [(215, 38, 30), (36, 88, 184), (46, 158, 69)])
def test_on_inverted_paper_a_lead_keeps_its_hue(colour):
    inverted = shown(PaperInk("#ffffff", "#000000", is_mirrored=True), [[colour]])
    hue = colorsys.rgb_to_hls(*(c / 255 for c in colour))[0]
    assert colorsys.rgb_to_hls(*(c / 255 for c in inverted))[0] == pytest.approx(hue, abs=0.01)


def test_a_part_cut_out_of_a_page_is_shown_as_that_part():
    page = np.arange(256, dtype=np.uint8).reshape(16, 16)
    assert shown(PaperInk.plain(), page[3:9, 5:11]) == (53, 53, 53)
