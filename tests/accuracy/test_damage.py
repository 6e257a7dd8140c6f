"""The truth goes where the ink goes, under every damage."""

from __future__ import annotations

import numpy as np
import pytest

from accuracy.damage import DAMAGES
from accuracy.marks import BLACK, Body, DrawnPage, Net, Role, Stroke, Terminal, rectangle
from accuracy.scans import scan_page

LEFT, RIGHT = (10.0, 10.0, 25.0, 60.0), (75.0, 10.0, 90.0, 60.0)
LEVELS = range(15, 56, 5)


def make_page() -> DrawnPage:
    """Two boxes on a small sheet with nine straight lines between them."""
    lines = [((LEFT[2], y), (RIGHT[0], y)) for y in LEVELS]
    marks = [Stroke(line, 0.4, BLACK, Role.CONDUCTOR) for line in lines]
    marks += [Stroke(tuple(rectangle(b)), 0.3, BLACK, Role.BODY, True) for b in (LEFT, RIGHT)]
    terminals = []
    for (x0, y), (x1, _) in lines:
        terminals += [
            Terminal("left", (x0 + 0.4, y), (1, 0), 0),
            Terminal("right", (x1 - 0.4, y), (-1, 0), 1),
        ]
    nets = [Net((2 * k, 2 * k + 1), (line,)) for k, line in enumerate(lines)]
    bodies = (Body(LEFT, "module"), Body(RIGHT, "module"))
    # seed 7 stands for a style that is neither light nor black and white
    return DrawnPage(7, 100, 70, tuple(marks), tuple(terminals), tuple(nets), bodies, (), ())


PAGE = make_page()


@pytest.mark.parametrize("damage", DAMAGES)
def test_lines_are_dark_where_the_truth_says_they_run(damage):
    scan = scan_page(PAGE, damage)
    grey = scan.pixels if scan.pixels.ndim == 2 else scan.pixels.mean(axis=2)
    dark = []
    for net in scan.truth.net_lines:
        for x0, y0, x1, y1 in net:
            for share in np.linspace(0.05, 0.95, 40):
                x, y = int(x0 + share * (x1 - x0)), int(y0 + share * (y1 - y0))
                around = grey[y - 12 : y + 13, x]
                dark.append(grey[y - 1 : y + 2, x].min() < 0.75 * np.percentile(around, 80))
    assert np.mean(dark) > (0.97 if damage in {"photocopy", "office"} else 0.999)


@pytest.mark.parametrize("damage", DAMAGES)
def test_terminals_lie_just_outside_the_boxes_that_are_given(damage):
    scan = scan_page(PAGE, damage)
    x, y = scan.truth.terminals.T
    for x0, y0, x1, y1 in scan.boxes:
        assert not ((x > x0) & (x < x1) & (y > y0) & (y < y1)).any()
    (_, _, left, _), (right, _, _, _) = scan.boxes
    millimetre = scan.dpi / 25.4
    assert (x[::2] - left).max() < millimetre
    assert (right - x[1::2]).max() < millimetre


def test_without_boxes_none_are_given_and_terminals_stay_at_the_outlines():
    bare = scan_page(PAGE, "clean", with_boxes=False)
    assert bare.boxes == ()
    assert bare.truth.terminals[0] == pytest.approx(np.array(PAGE.terminals[0].at) * 300 / 25.4)


def test_the_same_seed_and_damage_give_the_same_pixels():
    first, second = scan_page(PAGE, "photo"), scan_page(PAGE, "photo")
    assert np.array_equal(first.pixels, second.pixels)
    assert first.boxes == second.boxes
