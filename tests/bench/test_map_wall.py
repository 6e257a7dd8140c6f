"""The picture of the map: pins in order, no line under a box, few crossings, the same in SVG and PDF."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from datetime import date
from itertools import permutations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from loomfolio.bench import bench_leads
from loomfolio.bench.map_layout import (
    BOX_MM,
    PictureLead,
    count_crossings,
    map_picture,
)
from loomfolio.bench.map_wall import wall_sheet, wall_svg
from loomfolio.bench.typesetting import typeset
from loomfolio.project import natural_order
from support.make_bench import MapMaker, make_van_map
from support.pdf_text import pages_of, plain

DAY = date(2026, 8, 14)


def picture_of(ends, kinds=()):
    maker = MapMaker()
    for name, kind in kinds:
        maker.kind(name, kind)
    leads = [
        PictureLead(maker.pin(a), maker.pin(b), str(n), is_released=True, is_new=False)
        for n, (a, b) in enumerate(ends, 1)
    ]
    return map_picture(maker.project, leads)


PINS = [f"E{part}:{pin}" for part in range(1, 7) for pin in (1, 2, 10)]
LEADS = st.lists(
    st.tuples(st.sampled_from(PINS), st.sampled_from(PINS)).filter(
        lambda ends: ends[0].split(":")[0] != ends[1].split(":")[0]
    ),
    min_size=1,
    max_size=14,
    unique=True,
)


@given(LEADS)
@settings(max_examples=60)
def test_lines_end_at_their_pins_and_run_under_no_box(ends):
    picture = picture_of(ends)
    boxes = {box.half: box for box in picture.boxes}
    inside = [
        shapely.box(box.x + 0.1, box.y + 0.1, box.x + BOX_MM - 0.1, box.y + box.height - 0.1)
        for box in picture.boxes
    ]
    assert len(picture.lines) == len(ends)
    for line in picture.lines:
        for pin in (line.lead.a, line.lead.b):
            box = boxes[pin.half_key]
            edges = {(box.x, box.pin_y(pin.pin)), (box.x + BOX_MM, box.pin_y(pin.pin))}
            assert edges & {line.points[0], line.points[-1]}
        course = shapely.LineString(line.points)
        assert not any(course.intersects(one) for one in inside)


@given(LEADS)
@settings(max_examples=40)
def test_no_two_boxes_touch_and_pins_stand_as_one_counts(ends):
    picture = picture_of(ends)
    shapes = [shapely.box(b.x, b.y, b.x + BOX_MM, b.y + b.height).buffer(1) for b in picture.boxes]
    for number, one in enumerate(shapes):
        assert not any(one.intersects(other) for other in shapes[number + 1 :])
    for box in picture.boxes:
        assert list(box.pins) == sorted(box.pins, key=natural_order)


def test_two_crossed_connectors_are_laid_straight():
    """A module and four lamps, given in the order that crosses most: 6 crossings become none."""
    ends = [(f"M1:{n}", f"L{5 - n}:1") for n in (1, 2, 3, 4)]
    picture = picture_of(ends, kinds=[("M1", "module")])
    assert picture.crossings == 0


def test_crossings_are_counted_as_by_brute_force():
    maker = MapMaker()
    pins = {maker.pin(f"A{n}:1").half_key: ("1",) for n in range(4)}
    more = {maker.pin(f"B{n}:1").half_key: ("1",) for n in range(4)}
    for order in permutations(range(4)):
        leads = [
            PictureLead(
                maker.pin(f"A{a}:1"), maker.pin(f"B{b}:1"), "", is_released=True, is_new=False
            )
            for a, b in enumerate(order)
        ]
        inversions = sum(order[i] > order[j] for i in range(4) for j in range(i + 1, 4))
        assert count_crossings([list(pins), list(more)], pins | more, leads) == inversions


def test_no_leads_give_an_empty_picture():
    assert picture_of([]).boxes == ()


@pytest.fixture(scope="module")
def wall():
    maker = make_van_map()
    return wall_sheet(maker.project, bench_leads(maker.project, maker.rows), today=DAY)


def test_svg_and_pdf_show_every_connector_and_pin(wall, tmp_path):
    path = tmp_path / "wall.pdf"
    path.write_bytes(typeset("map_picture.typ", wall, today=DAY))
    (page,) = pages_of(path)
    words = [
        one.text for one in ET.fromstring(wall_svg(wall)).iter("{http://www.w3.org/2000/svg}text")
    ]
    for box in wall.boxes:
        assert plain(box.title) in page.text
        assert box.title in words
    assert page.overlaps(0.4) == []


def test_the_same_map_gives_the_same_picture(wall):
    maker = make_van_map()
    again = wall_sheet(maker.project, bench_leads(maker.project, maker.rows), today=DAY)
    assert wall_svg(again) == wall_svg(wall)
