"""Real pictures, read with nothing marked by a person: every net of every picture exactly right.

A picture on which a net is still misread is a strict expected failure that says what stands in the
way: once the reader gets it right, the mark has to go. The truths were written by reading the
pictures by eye; see SOURCES.md.
"""

from __future__ import annotations

import pytest

from accuracy.paint import MM_PER_INCH
from accuracy.read_lines import ReadLines
from accuracy.score import misread
from loomfolio.reading import read_page
from pages.real_samples import Sample, find_sample, load_sample

TOLERANCE_MM = 1.0  # between a terminal and its conductor, as in the accuracy report
LEAST_PX = 5.0  # but never less than this: the truth of small pictures was read to whole pixels

MISREAD = {
    "circuitikz_siunitx_page": "a coil of loops is taken for a line that runs through it",
    "lirc_better_transmitter": "the circle of one transistor is taken for a conductor",
    "nut_73-0724": "a resistor drawn by hand as an uneven squiggle is taken for a line",
    "nut_belkin-f6cx": "the name of a pin between two line ends looks like a line broken by its text; "
    "only what the words mean tells them apart",
    "nut_cables_page6": "an ellipse and the line across it are taken for a body that ends the line",
    "nut_mge-66049": "an ellipse and the line across it are taken for a body that ends the line",
    "nut_mge-usb-rj45": "grey text over the line cuts it",
    "qitech_extruder_p5_heating": "the bar with ticks over a cable's cores is taken for a conductor",
}
PICTURES = (
    *("circuitikz_siunitx_page", "linuxcnc_switches_parallel", "lirc_better_transmitter"),
    *("lirc_schematics", "nut_73-0724", "nut_belkin-f6cx", "nut_cables_page6"),
    *("nut_mac-940-0024C", "nut_mge-66049", "nut_mge-usb-rj45", "qitech_extruder_p3_supply"),
    *("qitech_extruder_p5_heating", "qitech_winder_p3_supply"),
)


def _sample(name: str) -> Sample:
    path = find_sample(name)
    if path is None:
        pytest.skip("this picture may not be kept in the repository and is not beside it")
    return load_sample(path)


@pytest.mark.parametrize(
    "name",
    [
        pytest.param(
            name, marks=[pytest.mark.xfail(reason=MISREAD[name])] if name in MISREAD else []
        )
        for name in PICTURES
    ],
)
def test_every_net_of_a_real_picture_is_exactly_right(name: str):
    sample = _sample(name)
    lines = ReadLines(read_page(sample.pixels, dpi=sample.dpi))
    reach = max(TOLERANCE_MM * sample.dpi / MM_PER_INCH, LEAST_PX)
    wrong = misread(sample.nets, lines.nearest(sample.terminals, reach))
    assert [f"{w.fault}: {sample.name_of(w.net)}" for w in wrong] == []


@pytest.mark.parametrize("name", PICTURES)
def test_every_terminal_of_a_real_picture_lies_on_ink(name: str):
    """The truth itself: within two pixels of each terminal there is something drawn."""
    sample = _sample(name)
    grey = sample.pixels if sample.pixels.ndim == 2 else sample.pixels.min(axis=2)
    ground = float(grey.max())
    for x, y in sample.terminals.astype(int):
        assert grey[max(y - 2, 0) : y + 3, max(x - 2, 0) : x + 3].min() < 0.8 * ground
