"""One convention of printed diagrams a page: what is joined, what is apart, what is no conductor."""

from __future__ import annotations

import numpy as np
import pytest

from loomfolio.basics import WorkCancelledError
from loomfolio.reading import Reading, read_page
from support.drawn_page import DrawnPage, conductor_at, nets_of

LEFT, RIGHT, TOP, BOTTOM = (10.0, 20.0), (50.0, 20.0), (30.0, 5.0), (30.0, 35.0)


def make_cross() -> DrawnPage:
    return DrawnPage().line((5, 20), (55, 20)).line((30, 2), (30, 38))


def test_a_line_is_one_conductor_where_it_was_drawn() -> None:
    page = DrawnPage().line((5, 20), (55, 20))
    (conductor,) = page.read().conductors
    ends = sorted((line[0], line[-1]) for line in conductor.lines)
    assert ends[0][0] == pytest.approx((page.px(5), page.px(20)), abs=1.6)
    assert ends[-1][1] == pytest.approx((page.px(55), page.px(20)), abs=1.6)
    assert conductor.stroke_px == pytest.approx(page.px(0.25), abs=1.6)


def test_blank_page_has_nothing() -> None:
    reading = DrawnPage().read()
    assert reading == Reading.blank(reading.page.width_px, reading.page.height_px, 300)


def test_t_without_dot_joins() -> None:
    reading = DrawnPage().line((5, 20), (55, 20)).line((30, 2), (30, 20)).read()
    assert nets_of(reading, [LEFT, RIGHT, TOP]) == [{0, 1, 2}]
    assert [j.kind for j in reading.junctions] == ["tee"]
    assert reading.doubts == ()


def test_four_way_without_dot_is_apart() -> None:
    reading = make_cross().read()
    assert nets_of(reading, [LEFT, RIGHT, TOP, BOTTOM]) == [{0, 1}, {2, 3}]
    assert [c.kind for c in reading.crossings] == ["plain"]
    assert reading.doubts == ()


@pytest.mark.parametrize("diameter_mm", [0.9, 1.2, 1.6])
def test_four_way_with_dot_joins(diameter_mm: float) -> None:
    reading = make_cross().dot((30, 20), diameter_mm).read()
    assert nets_of(reading, [LEFT, RIGHT, TOP, BOTTOM]) == [{0, 1, 2, 3}]
    assert [j.kind for j in reading.junctions] == ["dot"]
    assert reading.doubts == ()


def test_two_ts_slightly_offset_join() -> None:
    page = DrawnPage().line((5, 20), (55, 20)).line((30, 2), (30, 20)).line((31, 20), (31, 38))
    reading = page.read()
    assert nets_of(reading, [LEFT, RIGHT, TOP, (31, 35)]) == [{0, 1, 2, 3}]


@pytest.mark.parametrize("gap_mm", [0.0, 1.0], ids=["drawn through", "broken beside the arc"])
def test_hop_is_apart(gap_mm: float) -> None:
    radius = 0.9
    page = DrawnPage().line((5, 20), (55, 20)).arc((30, 20), radius, -90, 90)
    page.line((30, 2), (30, 20 - radius - gap_mm)).line((30, 20 + radius + gap_mm), (30, 38))
    reading = page.read()
    assert nets_of(reading, [LEFT, RIGHT, TOP, BOTTOM]) == [{0, 1}, {2, 3}]
    assert {c.kind for c in reading.crossings} == {"hop"}


def test_line_that_passes_behind_in_a_gap_is_apart() -> None:
    page = DrawnPage().line((5, 20), (55, 20)).line((30, 2), (30, 19)).line((30, 21), (30, 38))
    reading = page.read()
    assert nets_of(reading, [LEFT, RIGHT, TOP, BOTTOM]) == [{0, 1}, {2, 3}]
    assert [c.kind for c in reading.crossings] == ["gap"]


def test_small_gap_is_bridged_with_a_doubt_in_its_middle() -> None:
    page = DrawnPage().line((5, 20), (29.8, 20)).line((30.3, 20), (55, 20))
    reading = page.read()
    assert nets_of(reading, [LEFT, RIGHT]) == [{0, 1}]
    (doubt,) = reading.doubts
    assert (doubt.kind, doubt.taken) == ("gap", "joined")
    assert (doubt.x, doubt.y) == pytest.approx((page.px(30.05), page.px(20)), abs=2)


def test_wide_bare_gap_is_not_bridged() -> None:
    reading = DrawnPage().line((5, 20), (27, 20)).line((33, 20), (55, 20)).read()
    assert nets_of(reading, [LEFT, RIGHT]) == [{0}, {1}]


def test_line_goes_on_behind_its_own_text() -> None:
    page = DrawnPage().line((5, 20), (26.5, 20)).line((33.3, 20), (55, 20)).text((27, 21), "G/W")
    assert nets_of(page.read(), [LEFT, RIGHT]) == [{0, 1}]


def test_text_beside_a_line_neither_joins_nor_cuts() -> None:
    page = DrawnPage().line((5, 20), (55, 20)).line((5, 24), (55, 24)).text((27, 23), "BR 0.5")
    reading = page.read()
    assert nets_of(reading, [LEFT, RIGHT, (10, 24), (50, 24)]) == [{0, 1}, {2, 3}]
    assert len(reading.conductors) == 2


def test_comb_of_lines_at_narrow_pitch_stays_apart() -> None:
    page = DrawnPage()
    for k in range(12):
        page.line((5, 5 + 1.5 * k), (40 + k, 5 + 1.5 * k), (40 + k, 38))
    places = [(10, 5 + 1.5 * k) for k in range(12)] + [(40 + k, 36) for k in range(12)]
    assert nets_of(page.read(), places) == [{k, 12 + k} for k in range(12)]


@pytest.mark.parametrize("skew", [0.01, -0.03, 0.044], ids=["0.6 deg", "-1.7 deg", "2.5 deg"])
def test_skewed_cross_is_read_the_same(skew: float) -> None:
    page = DrawnPage().line((5, 20 - 25 * skew), (55, 20 + 25 * skew))
    page.line((30 + 18 * skew, 2), (30 - 18 * skew, 38))
    places = [(10, 20 - 20 * skew), (50, 20 + 20 * skew), (30 + 15 * skew, 5), (30 - 15 * skew, 35)]
    reading = page.read()
    assert nets_of(reading, places) == [{0, 1}, {2, 3}]
    assert reading.doubts == ()


def test_line_so_light_that_no_fixed_threshold_sees_it() -> None:
    reading = DrawnPage().line((5, 20), (55, 20), tone=200).read()
    assert nets_of(reading, [LEFT, RIGHT]) == [{0, 1}]


def test_colour_is_told_and_black_is_none() -> None:
    page = DrawnPage(colour=True).line((5, 10), (55, 10), tone=(250, 215, 0))
    page.line((5, 30), (55, 30), tone=(0, 0, 0))
    yellow, black = page.read().conductors
    assert black.colour is None
    assert yellow.colour is not None
    red, green, blue = (int(yellow.colour[k : k + 2], 16) for k in (1, 3, 5))
    assert red > 220
    assert green > 180
    assert blue < 60


def test_dashed_line_is_one_conductor_and_crosses_apart() -> None:
    page = DrawnPage().line((30, 2), (30, 38))
    for k in range(17):
        page.line((5 + 3 * k, 20), (7 + 3 * k, 20))
    reading = page.read()
    assert nets_of(reading, [(6, 20), (54, 20), TOP, BOTTOM]) == [{0, 1}, {2, 3}]


def test_conductor_ends_at_the_edge_of_a_marked_body() -> None:
    page = DrawnPage().box(30, 10, 50, 30).line((5, 20), (45, 20))
    reading = page.read((30, 10, 50, 30))
    (conductor,) = reading.conductors
    assert max(x for line in conductor.lines for x, _ in line) == pytest.approx(
        page.px(30), abs=0.1
    )


def test_line_that_stops_short_still_ends_at_the_body() -> None:
    page = DrawnPage().box(30, 10, 50, 30).line((5, 20), (29.2, 20))
    (conductor,) = page.read((30, 10, 50, 30)).conductors
    assert max(x for line in conductor.lines for x, _ in line) == pytest.approx(
        page.px(30), abs=0.1
    )


def test_body_that_nobody_marked_is_found_and_parts_its_lines() -> None:
    page = DrawnPage().box(25, 15, 35, 25).line((5, 20), (25, 20)).line((35, 20), (55, 20))
    reading = page.read()
    assert nets_of(reading, [LEFT, RIGHT]) == [{0}, {1}]
    (body,) = reading.bodies
    assert body.box == pytest.approx(tuple(page.px(v) for v in (25, 15, 35, 25)), abs=3)


def test_line_runs_on_through_a_terminal_ring() -> None:
    page = (
        DrawnPage().arc((30, 20), 0.8, 0, 360).line((5, 20), (29.2, 20)).line((30.8, 20), (55, 20))
    )
    assert nets_of(page.read(), [LEFT, RIGHT]) == [{0, 1}]


def test_zigzag_parts_its_lines() -> None:
    teeth = [(25, 20), (25.5, 18.5), (26.5, 21.5), (27.5, 18.5), (28.5, 21.5), (29, 20)]
    page = DrawnPage().line((5, 20), *teeth, (55, 20))
    assert nets_of(page.read(), [LEFT, RIGHT]) == [{0}, {1}]


def test_frame_and_table_are_no_conductors() -> None:
    page = DrawnPage().box(2, 2, 58, 38).line((2, 30), (58, 30)).line((30, 30), (30, 38))
    page.line((10, 15), (50, 15))
    reading = page.read()
    assert len(reading.conductors) == 1
    assert conductor_at(reading, (30, 15)) is not None


def test_same_page_gives_the_same_reading() -> None:
    page = make_cross().dot((30, 20)).text((10, 10), "X1:7")
    assert page.read() == page.read()


def test_vertices_of_lines_that_are_apart_differ() -> None:
    reading = make_cross().read()
    first, second = (
        {(round(x, 2), round(y, 2)) for line in c.lines for x, y in line}
        for c in reading.conductors
    )
    assert not first & second


def test_each_conductor_is_in_one_piece() -> None:
    page = make_cross().dot((30, 20)).line((40, 20), (40, 38)).line((15, 20.4), (15, 38))
    for conductor in page.read().conductors:
        assert _pieces(conductor.lines) == 1


def _pieces(lines: tuple[tuple[tuple[float, float], ...], ...]) -> int:
    """Count the pieces of lines that hang together by shared vertices."""
    left = [{(round(x, 2), round(y, 2)) for x, y in line} for line in lines]
    count = 0
    while left:
        count, piece = count + 1, left.pop()
        while touching := [other for other in left if other & piece]:
            for other in touching:
                piece |= other
                left.remove(other)
    return count


def test_called_off_work_stops() -> None:
    answers = iter([False, False, True])
    with pytest.raises(WorkCancelledError):
        read_page(make_cross().pixels, dpi=300, cancelled=lambda: next(answers))


def test_progress_rises_to_one() -> None:
    heard: list[float] = []
    read_page(make_cross().pixels, dpi=300, progress=heard.append)
    assert heard == sorted(heard)
    assert heard[-1] == 1.0


def test_low_resolution_page_keeps_its_own_px() -> None:
    page = DrawnPage(dpi=100).line((5, 20), (55, 20)).line((30, 2), (30, 20))
    reading = page.read()
    assert nets_of(reading, [LEFT, RIGHT, TOP]) == [{0, 1, 2}]
    assert reading.page.width_px == page.pixels.shape[1]
    assert max(x for c in reading.conductors for line in c.lines for x, _ in line) == pytest.approx(
        page.px(55), abs=1
    )


def test_uneven_paper_and_grain_change_nothing() -> None:
    page = make_cross().dot((30, 20))
    height, width = page.pixels.shape
    shade = np.linspace(0, 90, width)[None, :] + np.zeros((height, 1))
    grain = np.random.default_rng(5).normal(0, 4, (height, width))
    page.pixels = np.clip(page.pixels - shade + grain, 0, 255).astype(np.uint8)
    assert nets_of(page.read(), [LEFT, RIGHT, TOP, BOTTOM]) == [{0, 1, 2, 3}]


def test_page_that_is_dark_to_its_rim_is_read_without_a_fault() -> None:
    page = make_cross()
    page.pixels[:, -30:] = 0
    page.pixels[-30:, :] = 0
    assert nets_of(page.read(), [LEFT, TOP]) == [{0}, {1}]
