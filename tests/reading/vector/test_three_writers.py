"""One drawing, written as PDF by three programs that know nothing of each other: the same nets.

reportlab writes flat operators, Qt one frame and path after path, typst a frame for every mark. What is
compared is which ends are joined, by place; the drawing has a T, a dotted and a plain four-way, a hop, a gap
behind a line, a text in a line, dashes drawn one by one, a ring, and a box at which lines end.
"""

from __future__ import annotations

import os

import numpy as np
import pytest

from accuracy.marks import BLACK, WHITE, Lettering, Mark, Point, Rgb, Role, Stroke, arc, dashes
from accuracy.read_lines import ReadLines
from loomfolio.basics import PxBox
from loomfolio.reading import Reading, read_any_page
from loomfolio.sheets import load_drawing, load_page
from support.pdf_pages import WRITERS, circle

WIDTH_MM, HEIGHT_MM = 140.0, 100.0
PX_PER_MM = 300 / 25.4
RED: Rgb = (215, 20, 30)

ENDS: dict[str, Point] = {
    "A": (20, 20), "B": (120, 20), "C": (50, 60),  # a T
    "D": (20, 30), "E": (120, 30),  # crosses C's line plainly
    "F": (20, 40), "G": (120, 40),  # joins C's line by a dot
    "H": (70, 10), "I": (70, 60),  # hops over A-B, stops before D-E, has a text in it
    "J": (90, 10), "K": (90, 60),  # dashed
    "L": (20, 70), "M": (120, 70),  # a ring in its way
    "N": (100, 80), "O": (125, 90),  # turns by a curve
    "P": (30, 80), "Q": (42, 80), "R": (54, 80), "S": (66, 80),  # ends at a box
}  # fmt: skip
NETS = {
    frozenset("ABCFG"), frozenset("DE"), frozenset("HI"), frozenset("JK"), frozenset("LM"),
    frozenset("NO"), frozenset("PQ"), frozenset("RS"),
}  # fmt: skip


@pytest.fixture(scope="module", autouse=True)
def _fonts():
    """Qt's writer needs a running application for its fonts."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtGui import QGuiApplication

    return QGuiApplication.instance() or QGuiApplication([])


def line(*points: Point, colour: Rgb = BLACK, width_mm: float = 0.3) -> Stroke:
    return Stroke(tuple(points), width_mm, colour, Role.CONDUCTOR)


def dot(at: Point) -> Stroke:
    return Stroke(circle(at, 0.7), 0.0, BLACK, Role.CONDUCTOR, closed=True, fill=BLACK)


def drawing() -> list[Mark]:
    hop = [(70.0, 18.8), *arc((70, 20), 1.2, -90, 90), (70.0, 21.2)]
    return [
        line((20, 20), (120, 20)),
        line((50, 20), (50, 60)),
        line((20, 30), (120, 30), colour=RED),
        line((20, 40), (120, 40)),
        dot((50, 40)),
        line((70, 10), *hop, (70, 29)),
        line((70, 31), (70, 46)),
        Lettering((70, 49), "G/W", 1.8, turned=True),
        line((70, 52), (70, 60)),
        *(line(*piece) for piece in dashes([(90, 10), (90, 60)], 2.0, 0.9)),
        line((20, 70), (120, 70)),
        Stroke(circle((70, 70), 0.8), 0.3, BLACK, Role.CONDUCTOR, closed=True, fill=WHITE),
        line((100, 80), (120, 80), *arc((120, 85), 5, -90, 0), (125, 90)),
        line((30, 80), (42, 80)),
        Stroke(((42, 76), (54, 76), (54, 84), (42, 84)), 0.3, BLACK, Role.BODY, closed=True),
        line((54, 80), (66, 80)),
    ]


def nets_of(reading: Reading) -> set[frozenset[str]]:
    names = list(ENDS)
    places = np.array([ENDS[name] for name in names]) * PX_PER_MM
    owners = ReadLines(reading).nearest(places, PX_PER_MM)
    assert (owners >= 0).all()
    return {
        frozenset(name for name, other in zip(names, owners, strict=True) if other == owner)
        for owner in owners
    }


@pytest.fixture(params=sorted(WRITERS))
def page(request, tmp_path):
    file = tmp_path / "page.pdf"
    file.write_bytes(WRITERS[request.param](drawing(), WIDTH_MM, HEIGHT_MM))
    return file


def read(file, **options) -> Reading:
    return read_any_page(lambda: load_page(file).pixels, load_drawing(file), dpi=300, **options)


def test_nets_are_the_same_whoever_wrote_the_page(page):
    reading = read(page)
    assert reading.route == "strokes"
    assert nets_of(reading) == NETS


def test_marked_box_changes_nothing(page):
    box = PxBox(*(v * PX_PER_MM for v in (41.7, 75.7, 54.3, 84.3)))
    assert nets_of(read(page, bodies=[box])) == NETS


def test_what_is_drawn_where_lines_meet_is_told(page):
    reading = read(page)
    told = {
        (item.kind, round(item.x / PX_PER_MM), round(item.y / PX_PER_MM))
        for item in (*reading.junctions, *reading.crossings)
    }
    expected = {
        ("tee", 50, 20), ("dot", 50, 40), ("plain", 50, 30), ("plain", 90, 20), ("gap", 70, 30),
        ("plain", 70, 40), ("plain", 90, 30), ("plain", 90, 40),
    }  # fmt: skip
    assert expected <= told
    assert ("hop", 71, 20) in told
    assert reading.doubts == ()


def test_looks_and_words_are_those_of_the_file(page):
    reading = read(page)
    by_end = dict(zip(ENDS, ReadLines(reading).nearest(
        np.array(list(ENDS.values())) * PX_PER_MM, PX_PER_MM), strict=True))  # fmt: skip
    assert reading.conductors[by_end["D"]].colour == "#D7141E"
    assert reading.conductors[by_end["A"]].colour is None
    assert reading.conductors[by_end["J"]].dashed
    assert not reading.conductors[by_end["A"]].dashed
    assert reading.conductors[by_end["A"]].stroke_px == pytest.approx(0.3 * PX_PER_MM, abs=0.05)
    (word,) = reading.texts
    assert (word.text, word.confidence) == ("G/W", 1.0)
    assert word.box.x0 < 70 * PX_PER_MM < word.box.x1
    assert word.box.y0 < 49 * PX_PER_MM < word.box.y1
