"""The second typist: a right reading of a clean page is left alone, each planted error is asked about.

The pages are drawn in mm; the readings are written by hand, not read, so that an error can be
planted. The second look gets the ink of the page and such a reading, nothing else.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from loomfolio.basics import PxBox, WorkCancelledError
from loomfolio.reading import (
    Conductor,
    Crossing,
    CrossingKind,
    Doubt,
    Outline,
    PageSize,
    ReaderSettings,
    Reading,
)
from loomfolio.reading.second_look import find_partings, second_look
from support.drawn_page import DrawnPage, Mm

NEAR_MM = 2.0
Line = tuple[Mm, ...]

ACROSS: Line = ((5, 20), (30, 20), (55, 20))
DOWN: Line = ((30, 3), (30, 37))


def make_reading(
    page: DrawnPage,
    *conductors: tuple[Line, ...],
    crossings: tuple[tuple[Mm, CrossingKind], ...] = (),
    doubts: tuple[Mm, ...] = (),
    bodies: tuple[tuple[float, float, float, float], ...] = (),
) -> Reading:
    """A reading written by hand: each conductor is a tuple of lines in mm."""
    height, width = page.pixels.shape[:2]
    return Reading(
        page=PageSize(width_px=width, height_px=height, dpi=page.dpi),
        conductors=tuple(
            Conductor(
                id=number,
                lines=tuple(tuple((page.px(x), page.px(y)) for x, y in line) for line in lines),
                stroke_px=page.px(0.25),
            )
            for number, lines in enumerate(conductors, 1)
        ),
        crossings=tuple(
            Crossing(x=page.px(at[0]), y=page.px(at[1]), kind=kind) for at, kind in crossings
        ),
        bodies=tuple(Outline(box=PxBox(*(page.px(v) for v in box))) for box in bodies),
        doubts=tuple(
            Doubt(x=page.px(x), y=page.px(y), kind="crossing", taken="apart") for x, y in doubts
        ),
    )


def look(page: DrawnPage, reading: Reading) -> tuple[Doubt, ...]:
    return second_look(page.pixels < 128, reading=reading, settings=ReaderSettings())


def distance_mm(page: DrawnPage, doubt: Doubt, at: Mm) -> float:
    return math.hypot(doubt.x - page.px(at[0]), doubt.y - page.px(at[1])) * 25.4 / page.dpi


def asks_only_at(page: DrawnPage, doubts: tuple[Doubt, ...], at: Mm) -> bool:
    """Is there a doubt, and every doubt near this place?"""
    return bool(doubts) and all(distance_mm(page, d, at) <= NEAR_MM for d in doubts)


def make_cross_page() -> DrawnPage:
    return DrawnPage().line((5, 20), (55, 20)).line((30, 3), (30, 37))


def make_right_cross(page: DrawnPage) -> Reading:
    return make_reading(page, (((5, 20), (55, 20)),), (DOWN,), crossings=(((30, 20), "plain"),))


# A right reading of a clean page is left alone.


def test_right_crossing_is_left_alone() -> None:
    page = make_cross_page()
    assert look(page, make_right_cross(page)) == ()


def test_right_tee_is_left_alone() -> None:
    page = DrawnPage().line((5, 20), (55, 20)).line((30, 3), (30, 20))
    tee = (ACROSS, ((30, 3), (30, 20)))
    assert look(page, make_reading(page, tee)) == ()


def test_right_dot_is_left_alone() -> None:
    page = make_cross_page().dot((30, 20), 1.0)
    joined = (((5, 20), (30, 20)), ((30, 20), (55, 20)), ((30, 3), (30, 20)), ((30, 20), (30, 37)))
    assert look(page, make_reading(page, joined)) == ()


def test_right_corners_side_by_side_are_left_alone() -> None:
    page = DrawnPage()
    # The lines run inside each other and cross nowhere.
    nested = [((5, 13 - k), (30 + k, 13 - k), (30 + k, 37)) for k in (0.0, 1.5, 3.0)]
    for line in nested:
        page.line(*line)
    assert look(page, make_reading(page, *((line,) for line in nested))) == ()


def test_right_dashed_line_is_left_alone() -> None:
    page = DrawnPage()
    for start in np.arange(5.0, 54.0, 2.0):
        page.line((float(start), 20), (float(start) + 1.2, 20))
    assert look(page, make_reading(page, (((5, 20), (54.2, 20)),))) == ()


def test_right_dashed_line_round_a_corner_is_left_alone() -> None:
    page = DrawnPage()
    for start in np.arange(5.0, 29.0, 1.6):
        page.line((float(start), 20), (float(start) + 1.0, 20))
    for start in np.arange(20.8, 36.0, 1.6):
        page.line((30.4, float(start)), (30.4, float(start) + 1.0))
    page.line((29.2, 20), (29.7, 20.1), (30.2, 20.5))
    corner = (((5, 20), (30.4, 20), (30.4, 36.2)),)
    assert look(page, make_reading(page, corner)) == ()


def test_right_line_to_a_diode_is_left_alone() -> None:
    page = DrawnPage().line((5, 20), (28, 20)).line((31.2, 20), (55, 20))
    page.line((28, 18.4), (31.2, 20), (28, 21.6), (28, 18.4)).line((31.2, 18.4), (31.2, 21.6))
    reading = make_reading(
        page,
        (((5, 20), (28, 20)),),
        (((31.2, 20), (55, 20)),),
        bodies=((27.9, 18.3, 31.3, 21.7),),
    )
    assert look(page, reading) == ()


def test_right_gap_with_its_own_text_is_left_alone() -> None:
    page = DrawnPage().line((5, 20), (27, 20)).line((33, 20), (55, 20)).text((28, 21), "GW")
    bridged = (((5, 20), (27, 20)), ((27, 20), (33, 20)), ((33, 20), (55, 20)))
    assert look(page, make_reading(page, bridged)) == ()


def test_right_gap_behind_a_line_is_left_alone() -> None:
    page = DrawnPage().line((5, 20), (29, 20)).line((31, 20), (55, 20)).line((30, 3), (30, 37))
    behind = (((5, 20), (29, 20)), ((29, 20), (31, 20)), ((31, 20), (55, 20)))
    reading = make_reading(page, behind, (DOWN,), crossings=(((30, 20), "gap"),))
    assert look(page, reading) == ()


def test_lines_that_end_at_bodies_are_left_alone() -> None:
    page = DrawnPage().box(20, 10, 40, 30).line((5, 20), (20, 20)).line((40, 20), (55, 20))
    reading = make_reading(
        page, (((5, 20), (20, 20)),), (((40, 20), (55, 20)),), bodies=((20, 10, 40, 30),)
    )
    assert look(page, reading) == ()


def test_letter_on_a_line_is_left_alone() -> None:
    page = DrawnPage().line((5, 20), (55, 20)).text((28, 20.6), "H")
    assert look(page, make_reading(page, (((5, 20), (55, 20)),))) == ()


def test_page_arrow_at_the_end_of_a_line_is_left_alone() -> None:
    page = DrawnPage().line((5, 20), (40, 20)).line((40, 18.5), (43, 20), (40, 21.5), (40, 18.5))
    assert look(page, make_reading(page, (((5, 20), (40, 20)),))) == ()


# Planted errors are asked about, where they are.


def test_join_invented_at_a_crossing_is_asked_about() -> None:
    page = make_cross_page()
    joined = (((5, 20), (30, 20)), ((30, 20), (55, 20)), ((30, 3), (30, 20)), ((30, 20), (30, 37)))
    doubts = look(page, make_reading(page, joined))
    assert asks_only_at(page, doubts, (30, 20))
    assert {(d.kind, d.taken) for d in doubts} == {("crossing", "joined")}


@pytest.mark.parametrize("diameter_mm", [0.7, 1.0, 1.6])
def test_dot_missed_at_a_crossing_is_asked_about(diameter_mm: float) -> None:
    page = make_cross_page().dot((30, 20), diameter_mm)
    doubts = look(page, make_right_cross(page))
    assert asks_only_at(page, doubts, (30, 20))
    assert {(d.kind, d.taken) for d in doubts} == {("crossing", "apart")}


def test_stem_left_apart_from_its_bar_is_asked_about() -> None:
    page = DrawnPage().line((5, 20), (55, 20)).line((30, 3), (30, 20))
    reading = make_reading(page, (((5, 20), (55, 20)),), (((30, 3), (30, 19.8)),))
    doubts = look(page, reading)
    assert asks_only_at(page, doubts, (30, 20))
    assert {d.taken for d in doubts} == {"apart"}


def test_two_lines_swapped_at_a_crossing_are_asked_about() -> None:
    page = make_cross_page()
    reading = make_reading(
        page,
        (((5, 20), (29.9, 20), (29.9, 3)),),
        (((55, 20), (30.1, 20), (30.1, 37)),),
    )
    assert asks_only_at(page, look(page, reading), (30, 20))


def test_conductor_cut_in_two_is_asked_about() -> None:
    page = DrawnPage().line((5, 20), (55, 20))
    reading = make_reading(page, (((5, 20), (29, 20)),), (((31, 20), (55, 20)),))
    doubts = look(page, reading)
    assert asks_only_at(page, doubts, (30, 20))
    assert {d.taken for d in doubts} == {"apart"}


def test_line_that_passes_behind_and_was_cut_is_asked_about() -> None:
    page = DrawnPage().line((5, 20), (29, 20)).line((31, 20), (55, 20)).line((30, 3), (30, 37))
    reading = make_reading(page, (((5, 20), (29, 20)),), (((31, 20), (55, 20)),), (DOWN,))
    assert asks_only_at(page, look(page, reading), (30, 20))


def test_line_struck_through_by_its_text_and_cut_is_asked_about() -> None:
    page = DrawnPage().line((5, 20), (55, 20)).text((28, 21), "SB")
    reading = make_reading(page, (((5, 20), (28.3, 20)),), (((31.5, 20), (55, 20)),))
    assert asks_only_at(page, look(page, reading), (30, 20))


def test_line_cut_by_a_letter_that_was_taken_for_a_body_is_asked_about() -> None:
    page = DrawnPage().line((5, 20), (55, 20)).arc((30, 20), 1.0, 0, 360)
    reading = make_reading(
        page,
        (((5, 20), (29, 20)),),
        (((31, 20), (55, 20)),),
        bodies=((28.9, 18.9, 31.1, 21.1),),
    )
    assert asks_only_at(page, look(page, reading), (30, 20))


def test_lines_of_a_twisted_pair_that_were_joined_are_asked_about() -> None:
    page = DrawnPage()
    upper: Line = ((5, 18), (28, 18), (32, 22), (55, 22))
    lower: Line = ((5, 22), (28, 22), (32, 18), (55, 18))
    page.line(*upper).line(*lower)
    half = (((5, 18), (28, 18), (30, 20)), ((5, 22), (28, 22), (30, 20)))
    other = (((30, 20), (32, 22), (55, 22)), ((30, 20), (32, 18), (55, 18)))
    assert asks_only_at(page, look(page, make_reading(page, half + other)), (30, 20))


def test_half_of_a_line_left_out_is_asked_about_where_it_stops() -> None:
    page = DrawnPage().line((5, 20), (55, 20))
    doubts = look(page, make_reading(page, (((5, 20), (25, 20)),)))
    assert asks_only_at(page, doubts, (25, 20))
    assert {d.kind for d in doubts} == {"end"}


def test_line_beyond_a_bar_left_out_is_asked_about_at_the_bar() -> None:
    page = make_cross_page()
    tee = (ACROSS, ((30, 3), (30, 20)))
    assert asks_only_at(page, look(page, make_reading(page, tee)), (30, 20))


def test_bridge_over_bare_paper_is_asked_about() -> None:
    page = DrawnPage().line((5, 20), (28, 20)).line((32, 20), (55, 20))
    bridged = (((5, 20), (28, 20)), ((28, 20), (32, 20)), ((32, 20), (55, 20)))
    doubts = look(page, make_reading(page, bridged))
    assert asks_only_at(page, doubts, (30, 20))
    assert {(d.kind, d.taken) for d in doubts} == {("gap", "joined")}


def test_lost_spot_of_ink_that_parted_a_line_is_asked_about() -> None:
    page = DrawnPage().line((5, 20), (28, 20)).line((32, 20), (55, 20))
    reading = make_reading(page, (((5, 20), (28, 20)),), (((32, 20), (55, 20)),))
    doubts = look(page, reading)
    assert asks_only_at(page, doubts, (30, 20))
    assert {(d.kind, d.taken) for d in doubts} == {("gap", "apart")}


# What surrounds the checks.


def test_place_that_the_first_reading_asks_about_is_not_asked_twice() -> None:
    page = make_cross_page().dot((30, 20), 1.0)
    right = make_right_cross(page)
    asked = right.model_copy(
        update={"doubts": (Doubt(x=page.px(30), y=page.px(20), kind="crossing", taken="apart"),)}
    )
    assert look(page, right) != ()
    assert look(page, asked) == ()


def test_reading_of_nothing_leaves_no_doubts() -> None:
    page = make_cross_page()
    height, width = page.pixels.shape
    assert look(page, Reading.blank(width, height, page.dpi)) == ()


def test_page_enlarged_for_reading_is_asked_about_in_its_own_px() -> None:
    page = make_cross_page().dot((30, 20), 1.0)
    small = DrawnPage(dpi=150)
    ink = page.pixels < 128
    reading = make_right_cross(small)
    doubts = second_look(ink, reading=reading, settings=ReaderSettings())
    assert asks_only_at(small, doubts, (30, 20))


def test_each_finding_says_why() -> None:
    page = make_cross_page().dot((30, 20), 1.0)
    (finding,) = find_partings(
        page.pixels < 128, reading=make_right_cross(page), settings=ReaderSettings()
    )
    assert finding.reason == "apart with dot"


def test_called_off_between_the_checks() -> None:
    page = make_cross_page()
    with pytest.raises(WorkCancelledError):
        second_look(
            page.pixels < 128,
            reading=make_right_cross(page),
            settings=ReaderSettings(),
            cancelled=lambda: True,
        )
