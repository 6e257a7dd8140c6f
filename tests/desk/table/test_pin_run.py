"""Numbering pins in a run: order, runs of numbers, what does not fit."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.basics import MmBox, MmPoint
from loomfolio.desk.table.pin_run import PinRun, side_of, spelled_out
from loomfolio.project import BodyPin

BOX = MmBox(10, 10, 30, 50)
LEFT_SIDE = (MmPoint(10, 40), MmPoint(10, 30), MmPoint(10, 20))
ALL_SIDES = (MmPoint(20, 10), MmPoint(30, 30), MmPoint(20, 50), MmPoint(10, 40), MmPoint(10, 20))


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("1..4", ("1", "2", "3", "4")),
        ("A8..A6", ("A8", "A7", "A6")),
        ("A8..6", ("A8", "A7", "A6")),
        ("01..03", ("01", "02", "03")),
        ("9 .. 11", ("9", "10", "11")),
        ("3…5", ("3", "4", "5")),
        ("7..7", ("7",)),
        ("12", ("12",)),
        ("87a", ("87a",)),
        ("87..87a", ("87..87a",)),
        ("A1..B3", ("A1..B3",)),
        ("1..999999", ("1..999999",)),
        ("  5 ", ("5",)),
        ("", ("",)),
    ],
)
def test_a_text_spells_out_the_numbers_it_stands_for(text, numbers):
    assert spelled_out(text) == numbers


@given(st.integers(0, 400), st.integers(0, 99))
def test_a_run_and_its_reverse_hold_the_same_numbers(first, length):
    up = spelled_out(f"{first}..{first + length}")
    down = spelled_out(f"{first + length}..{first}")
    assert up == tuple(reversed(down))
    assert len(up) == length + 1


@pytest.mark.parametrize(
    ("at", "side"),
    [
        (MmPoint(20, 10), "top"),
        (MmPoint(30, 30), "right"),
        (MmPoint(20, 50), "bottom"),
        (MmPoint(10, 30), "left"),
        (MmPoint(10.4, 30), "left"),
    ],
)
def test_a_place_on_the_edge_lies_on_its_side(at, side):
    assert side_of(BOX, at) == side


def test_pins_on_one_side_are_read_downwards():
    run = PinRun.over(BOX, LEFT_SIDE)
    assert run.order == "by side"
    assert run.places == (MmPoint(10, 20), MmPoint(10, 30), MmPoint(10, 40))


def test_pins_on_all_sides_run_clockwise_from_the_top_left():
    run = PinRun.over(BOX, ALL_SIDES)
    assert run.order == "clockwise"
    assert run.places == (
        MmPoint(20, 10),
        MmPoint(30, 30),
        MmPoint(20, 50),
        MmPoint(10, 40),
        MmPoint(10, 20),
    )


def test_the_other_order_reads_each_side_and_keeps_what_was_typed():
    run = PinRun.over(BOX, ALL_SIDES).typed("7").turned()
    assert run.order == "by side"
    assert run.places[0] == MmPoint(10, 20)
    assert dict(zip(run.places, run.texts, strict=True))[MmPoint(20, 10)] == "7"
    assert run.turned().places == PinRun.over(BOX, ALL_SIDES).places


def test_a_run_fills_the_places_that_follow():
    run = PinRun.over(BOX, LEFT_SIDE).typed("1..3")
    assert run.texts == ("1", "2", "3")
    assert run.is_at_last


def test_a_run_that_is_too_long_changes_nothing_and_says_so():
    before = PinRun.over(BOX, LEFT_SIDE).moved(1)
    run = before.typed("1..3")
    assert run.texts == before.texts
    assert run.fault == "1..3 is 3 numbers, but 2 pins are left from here."


def test_a_number_longer_than_a_pin_may_be_is_refused():
    assert PinRun.over(BOX, LEFT_SIDE).typed("9" * 41).fault == "A pin has at most 40 characters."


def test_a_place_left_empty_is_no_pin():
    run = PinRun.over(BOX, LEFT_SIDE).typed("1").moved(2).typed("3")
    assert [(pin.at.y, pin.pin) for pin in run.pins] == [(20, "1"), (40, "3")]


def test_known_pins_keep_their_numbers_and_new_crossings_are_next():
    known = (BodyPin(at=MmPoint(10, 20), pin="5"),)
    run = PinRun.over(BOX, (MmPoint(10.2, 20.1), MmPoint(10, 30)), known)
    assert run.texts == ("5", "")
    assert run.current == 1


def test_moving_stops_at_both_ends():
    run = PinRun.over(BOX, LEFT_SIDE)
    assert run.moved(-1).current == 0
    assert run.moved(9).current == 2


def test_a_body_without_crossings_has_no_pins():
    run = PinRun.over(BOX, ())
    assert run.pins == ()
    assert run.is_at_last
    assert run.nearest(MmPoint(0, 0)) == 0


def test_the_nearest_place_is_found():
    assert PinRun.over(BOX, LEFT_SIDE).nearest(MmPoint(12, 38)) == 2
