"""A figure answers why, down to the row of a table; a value from memory shows through."""

from __future__ import annotations

import math

import pytest

from loomfolio.basics import UsageError
from loomfolio.electrics import Bound, Figure, Source, given
from loomfolio.electrics.evidence import (
    as_figure,
    as_text,
    require_finite,
    require_not_negative,
    require_positive,
    require_temperature,
)

SEEN = Source("a maker's sheet", "verified", "sheet.csv, row 3")
REMEMBERED = Source("a standard, from memory", "memory", "old.csv, row 7")
CUSTOM = Source("common practice", "practice", "custom.csv, row 1")

ROOM = Figure("resistance at 20 °C", 5.0, "ohm", source=REMEMBERED)
WARM = Figure("resistance", 6.0, "ohm", "R20 · 1.2", (ROOM,))
CURRENT = given("current", 2.0, "A")
DROP = Figure("drop", 12.0, "V", "I · R", (CURRENT, WARM))


def test_a_figure_tells_all_it_rests_on():
    assert DROP.why() == (
        "drop 12 V = I · R\n"
        "  current 2 A, given\n"
        "  resistance 6 ohm = R20 · 1.2\n"
        "    resistance at 20 °C 5 ohm, old.csv, row 7: a standard, from memory (memory)"
    )


def test_a_figure_without_a_reason_tells_its_value():
    assert Figure("gap", 2.0, "mm").why() == "gap 2 mm"


def test_a_row_from_memory_shows_through_however_deep_it_lies():
    assert not DROP.is_confirmed
    assert DROP.unconfirmed == ("old.csv, row 7: a standard, from memory (memory)",)


def test_what_the_person_stated_is_no_source_and_needs_no_confirming():
    assert CURRENT.sources == ()
    assert CURRENT.is_confirmed


def test_a_source_is_named_once():
    twice = Figure("sum", 10.0, "ohm", "R + R", (ROOM, WARM))

    assert twice.sources == (REMEMBERED,)


def test_a_source_without_a_row_says_its_text_alone():
    assert str(Source("a handbook", "verified")) == "a handbook"


@pytest.mark.parametrize(
    ("sense", "number", "is_met"),
    [
        pytest.param("at most", 11.9, True, id="under the most"),
        pytest.param("at most", 12.0, True, id="just the most"),
        pytest.param("at most", 12.1, False, id="over the most"),
        pytest.param("at least", 12.1, True, id="over the least"),
        pytest.param("at least", 12.0, True, id="just the least"),
        pytest.param("at least", 11.9, False, id="under the least"),
        pytest.param("at least", math.inf, True, id="without end"),
        pytest.param("at most", math.nan, False, id="no number"),
        pytest.param("at least", math.nan, False, id="no number, the other way"),
    ],
)
def test_a_bound_holds_its_figure_against_the_limit(sense, number, is_met):
    bound = Bound("drop", given("drop", number, "V"), given("allowed", 12.0, "V"), sense)

    assert bound.is_met is is_met


@pytest.mark.parametrize(
    ("sources", "status"),
    [
        pytest.param((), "given", id="nothing but what was stated"),
        pytest.param((SEEN,), "verified", id="seen"),
        pytest.param((SEEN, CUSTOM), "practice", id="seen and custom"),
        pytest.param((CUSTOM, SEEN, REMEMBERED), "memory", id="one from memory"),
    ],
)
def test_the_weakest_source_gives_a_bound_its_status(sources, status):
    inputs = tuple(Figure("input", 1.0, "V", source=source) for source in sources)
    number = Figure("drop", 1.0, "V", "sum", inputs) if inputs else given("drop", 1.0, "V")
    bound = Bound("drop", number, given("allowed", 2.0, "V"), "at most")

    assert bound.status == status
    assert bound.is_confirmed is (status != "memory")


def test_a_bound_asks_its_limit_for_sources_too():
    limit = Figure("allowed", 1.0, "V", source=REMEMBERED)
    bound = Bound("drop", Figure("drop", 0.5, "V", source=SEEN), limit, "at most")

    assert bound.sources == (SEEN, REMEMBERED)
    assert bound.unconfirmed == (str(REMEMBERED),)


def test_a_bound_reads_as_a_line():
    bound = Bound("drop", DROP, given("allowed", 0.5, "V"), "at most")

    assert str(bound) == "drop: 12 V, at most 0.5 V"


def test_what_has_no_end_is_said_in_words():
    assert as_text(math.inf, "s") == "without end"
    assert as_text(2.0, "") == "2"


def test_a_figure_stays_itself_and_a_number_becomes_stated():
    assert as_figure("current", CURRENT, "A") is CURRENT
    assert as_figure("current", 2.0, "A") == CURRENT


@pytest.mark.parametrize("value", [0.0, -3.0, math.inf, math.nan], ids=str)
def test_what_must_be_above_zero_is_refused_otherwise(value):
    with pytest.raises(UsageError, match=r"The length is .* m; give a number above 0 m\."):
        require_positive("length", value, "m")


@pytest.mark.parametrize("value", [-0.1, math.inf, math.nan], ids=str)
def test_what_must_not_be_negative_is_refused_otherwise(value):
    with pytest.raises(UsageError, match=r"The load is .* A; give 0 A or more\."):
        require_not_negative("load", value, "A")


@pytest.mark.parametrize("value", [math.inf, -math.inf, math.nan], ids=str)
def test_what_must_be_a_number_is_refused_otherwise(value):
    with pytest.raises(UsageError, match=r"The voltage is .* V; give a number\."):
        require_finite("voltage", value, "V")


@pytest.mark.parametrize("value", [-60.1, 400.1, math.inf, math.nan], ids=str)
def test_a_temperature_outside_the_range_of_the_formula_is_refused(value):
    with pytest.raises(UsageError, match=r"give a temperature from -60 to 400 °C\."):
        require_temperature("conductor temperature", value, (-60.0, 400.0))


def test_good_input_passes():
    require_positive("length", 0.1, "m")
    require_not_negative("load", 0.0, "A")
    require_finite("voltage", -12.0, "V")
    require_temperature("ambient", -60.0, (-60.0, 400.0))
