"""Where one printed word ends and the next begins."""

import numpy as np
import pytest

from loomfolio.reading.words.recogniser import Recognised
from loomfolio.reading.words.spacing import numbers_in_a_row, word_starts

HIGH = 20.0


def strip(*widths_and_gaps):
    """Places of letters from `width, gap, width, gap, width`."""
    places, x = [], 0.0
    for k, length in enumerate(widths_and_gaps):
        if k % 2 == 0:
            places.append((x, x + length))
        x += length
    return np.array(places)


@pytest.mark.parametrize(
    ("digits", "numbers"),
    [
        ("101112", ("10", "11", "12")),
        ("9101112", ("9", "10", "11", "12")),
        ("12345", ("1", "2", "3", "4", "5")),
        ("321", ("3", "2", "1")),
        ("2024", ()),
        ("1011", ()),
        ("E103", ()),
    ],
)
def test_numbers_that_follow_one_another(digits, numbers):
    assert numbers_in_a_row(digits) == numbers


def test_letters_of_one_word_stay_together():
    along = strip(12, 4, 12, 4, 12, 4, 12)

    assert word_starts(along, HIGH, Recognised("E250", 0.99, (0.1, 0.4, 0.6, 0.9))) == []


def test_a_wide_step_begins_a_word():
    along = strip(12, 4, 12, 14, 12, 4, 12)

    assert word_starts(along, HIGH, Recognised("ABCD", 0.99, (0.1, 0.4, 0.6, 0.9))) == [2]


def test_narrow_ones_of_a_plotter_are_one_number():
    along = strip(7, 10, 7)  # each in a cell of 17 px

    assert word_starts(along, 18.0, Recognised("11", 0.99, (0.2, 0.8))) == []


def test_single_digits_in_a_row_are_numbers_of_their_own():
    along = strip(12, 20, 12, 20, 12)

    assert word_starts(along, HIGH, Recognised("579", 0.99, (0.1, 0.5, 0.9))) == [1, 2]
