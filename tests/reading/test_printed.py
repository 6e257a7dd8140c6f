"""What the printed words round a body and on a conductor are taken for."""

import pytest

from loomfolio.basics import MmBox, MmPoint
from loomfolio.reading import PrintedWord, printed_body, printed_colours

BOX = MmBox(50, 50, 90, 100)
CODES = frozenset({"GN", "YE", "BK", "R", "W"})


def word(text, x, y, *, high=2.0, confidence=0.99):
    wide = 1.3 * high * len(text) / 2
    return PrintedWord(
        text, MmBox(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2), confidence
    )


def left(*ys):
    return [MmPoint(50, y) for y in ys]


def test_the_number_inside_the_edge_is_the_pins():
    words = [word("1", 52, 60), word("2", 52, 70), word("3", 52, 80)]

    assert printed_body(words, BOX, left(60, 70, 80)).pins == ("1", "2", "3")


def test_the_signal_behind_the_number_is_not_the_number():
    words = [word("12", 52, 60), word("IGN", 58, 60), word("13", 52, 70), word("GND", 58, 70)]

    assert printed_body(words, BOX, left(60, 70)).pins == ("12", "13")


def test_a_colour_over_the_conductor_is_no_pin_where_pins_are_numbered():
    words = [word("1", 52, 60), word("BK", 48, 59), word("2", 52, 70), word("R", 48, 69)]

    assert printed_body(words, BOX, left(60, 70)).pins == ("1", "2")


def test_a_place_without_a_number_stays_empty():
    assert printed_body([word("1", 52, 60)], BOX, left(60, 70)).pins == ("1", "")


def test_a_number_that_stands_at_two_places_is_proposed_at_neither():
    words = [word("8", 52, 60), word("8", 52, 70)]

    assert printed_body(words, BOX, left(60, 70)).pins == ("", "")


def test_what_was_read_unsurely_is_not_proposed():
    assert printed_body([word("1", 52, 60, confidence=0.5)], BOX, left(60)).pins == ("",)


def test_the_part_above_and_the_connector_inside_are_named():
    words = [word("A27", 60, 46, high=3), word("C1", 60, 55), word("1", 52, 60)]
    body = printed_body(words, BOX, left(60))

    assert (body.part, body.connector) == ("A27", "C1")


def test_two_names_of_one_size_leave_the_part_unnamed():
    words = [word("A27", 60, 46), word("A31", 75, 46)]

    assert printed_body(words, BOX, []).part == ""


def test_the_name_above_is_nearer_than_that_of_the_body_below():
    words = [word("X11", 60, 47), word("X13", 60, 106)]

    assert printed_body(words, BOX, []).part == "X11"


LINE = [[MmPoint(10, 20), MmPoint(60, 20)]]
OTHER = [[MmPoint(10, 23), MmPoint(60, 23)]]


@pytest.mark.parametrize(("text", "area"), [("GN/YE", None), ("0.75BK", 0.75), ("R/W", None)])
def test_a_colour_beside_one_conductor_is_its_colour(text, area):
    (found,) = printed_colours([word(text, 30, 18.2)], [LINE], CODES)

    assert (found.letters, found.area_mm2) == (text.removeprefix("0.75"), area)
    assert found.at == MmPoint(30, 20)


def test_an_area_before_the_letters_belongs_to_them():
    (found,) = printed_colours([word("2.5", 26, 18.2), word("BK", 30.5, 18.2)], [LINE], CODES)

    assert found.area_mm2 == 2.5


def test_a_colour_between_two_conductors_is_proposed_for_neither():
    assert printed_colours([word("BK", 30, 21.5, high=1.5)], [LINE, OTHER], CODES) == ()


def test_letters_of_no_colour_are_no_colour():
    assert printed_colours([word("ZZ", 30, 18.2)], [LINE], CODES) == ()
