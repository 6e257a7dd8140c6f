"""Readings judged at once: numbers with their units, words, and what the meter could not show."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.basics import UsageError
from loomfolio.bench.proof.judging import in_unit, judge, last_reading, limit_text
from loomfolio.bench.proof.records import Conditions, Limit, ProofTest
from loomfolio.electrics import given as stated
from loomfolio.project import MeterReading

LOW = ProofTest(
    "ring",
    "continuity",
    "",
    Conditions(),
    Limit("ohm", high=stated("x", 0.4, "ohm"), doubt_high=0.8),
)
HIGH = ProofTest(
    "apart", "isolation", "", Conditions(), Limit("ohm", low=stated("x", 5e5, "ohm"), doubt_low=5e4)
)
WORD = ProofTest("lamp", "power up", "", Conditions(), Limit(passes="dark", fails="glows"))


def read(value=None, unit="", **more):
    return MeterReading(id="reading-1", test="ring", value=value, unit=unit, **more)


@pytest.mark.parametrize(
    ("test", "reading", "outcome"),
    [
        pytest.param(LOW, read(0.3, "ohm"), "pass", id="good"),
        pytest.param(LOW, read(0.4, "Ω"), "pass", id="at the limit"),
        pytest.param(LOW, read(0.5, ""), "doubtful", id="a little more, no unit"),
        pytest.param(LOW, read(900, "mohm"), "fail", id="in milliohm"),
        pytest.param(LOW, read(is_over_range=True), "fail", id="open"),
        pytest.param(LOW, read(-0.1, "ohm"), "doubtful", id="leads not nulled"),
        pytest.param(LOW, read(text="fine"), "doubtful", id="a word for a number"),
        pytest.param(HIGH, read(is_over_range=True), "pass", id="over range"),
        pytest.param(HIGH, read(2.2, "Mohm"), "pass", id="megohms"),
        pytest.param(HIGH, read(120, "kohm"), "doubtful", id="a little less"),
        pytest.param(HIGH, read(3, "ohm"), "fail", id="a short"),
        pytest.param(WORD, read(text="Dark"), "pass", id="dark"),
        pytest.param(WORD, read(text="glows"), "fail", id="glows"),
        pytest.param(WORD, read(text="a bit"), "doubtful", id="neither"),
    ],
)
def test_a_reading_is_judged(test, reading, outcome):
    verdict = judge(test, reading)
    assert verdict.outcome == outcome
    assert verdict.sentence.endswith((".", "again."))


def test_a_unit_of_another_kind_is_refused():
    with pytest.raises(UsageError, match="'V' is no unit for this reading; give it in ohm"):
        judge(LOW, read(3, "V"))


@given(st.floats(0, 1e6), st.sampled_from(["ohm", "kohm", "Mohm", "mohm"]))
def test_units_there_and_back_are_the_same(value, unit):
    factor = {"ohm": 1, "kohm": 1e3, "Mohm": 1e6, "mohm": 1e-3}[unit]
    assert in_unit(value, unit, "ohm") == pytest.approx(value * factor)


@given(st.floats(0, 1e3, allow_nan=False), st.floats(0, 1e3, allow_nan=False))
def test_less_ohms_are_never_judged_worse(one, other):
    rank = {"fail": 0, "doubtful": 1, "pass": 2}
    least, most = sorted((one, other))
    assert rank[judge(LOW, read(least)).outcome] >= rank[judge(LOW, read(most)).outcome]


def test_the_last_reading_counts():
    readings = [read(3.0), read(0.2), MeterReading(id="reading-9", test="else", value=1.0)]
    assert last_reading(LOW, readings).value == 0.2
    assert last_reading(WORD, readings) is None


def test_milliamps_are_told_from_amps():
    assert in_unit(0.012, "A", "mA") == pytest.approx(12)


@pytest.mark.parametrize(
    ("limit", "words"),
    [
        pytest.param(LOW.limit, "at most 0.4 ohm", id="upper"),
        pytest.param(HIGH.limit, "at least 500 kohm", id="lower"),
        pytest.param(WORD.limit, "dark", id="word"),
        pytest.param(Limit("ohm"), "no limit", id="none"),
    ],
)
def test_limits_in_words(limit, words):
    assert limit_text(limit) == words
