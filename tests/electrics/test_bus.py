"""A CAN pair by its terminators, and the control pilot by its resistors."""

from __future__ import annotations

import math

import pytest

from loomfolio.basics import UsageError
from loomfolio.electrics import (
    cable_current,
    current_by_duty,
    judge_pair,
    pair_resistance,
    pilot_state,
    pilot_voltage,
    stub_bound,
)


# ISO 11898-2 as quoted in transceiver makers' application notes.
@pytest.mark.parametrize(
    ("terminators", "ohm", "state"),
    [
        pytest.param([120, 120], 60, "healthy", id="both ends"),
        pytest.param([120], 120, "one end missing", id="one end"),
        pytest.param([120, 120, 120], 40, "one end too many", id="three"),
        pytest.param([], math.inf, "no end", id="none"),
        pytest.param([60, 60, 120], 24, "unclear", id="split halves taken for ends"),
    ],
)
def test_a_pair_by_its_terminators(tables, terminators, ohm, state):
    figure = pair_resistance(terminators)

    assert figure.value == pytest.approx(ohm)
    assert judge_pair(figure.value, tables) == state


@pytest.mark.parametrize(
    ("measured_ohm", "state"),
    [
        (0, "shorted"),
        (4.9, "shorted"),
        (36.6, "unclear"),
        (43, "one end too many"),
        (54.9, "unclear"),
        (55, "healthy"),
        (65, "healthy"),
        (65.1, "unclear"),
        (129, "one end missing"),
        (150, "unclear"),
        (2400, "no end"),
    ],
)
def test_a_measured_pair_is_judged_within_service_limits(tables, measured_ohm, state):
    assert judge_pair(measured_ohm, tables) == state


@pytest.mark.parametrize("measured_ohm", [-1, math.nan], ids=str)
def test_a_reading_that_is_none_is_refused(tables, measured_ohm):
    with pytest.raises(UsageError, match="A pair cannot measure"):
        judge_pair(measured_ohm, tables)


def test_a_terminator_of_no_ohms_is_refused():
    with pytest.raises(UsageError, match="terminator is 0 ohm"):
        pair_resistance([120, 0])


@pytest.mark.parametrize(
    ("length_m", "kbit_per_s", "is_met"),
    [
        pytest.param(0.3, 1000, True, id="ISO 11898-2 at 1 Mbit/s"),
        pytest.param(0.31, 1000, False, id="longer at 1 Mbit/s"),
        pytest.param(0.9, 500, True, id="planning limit at 500 kbit/s"),
        pytest.param(1.1, 250, False, id="slower buses keep it too"),
        pytest.param(0.9, 800, False, id="between the rates the faster one's limit holds"),
    ],
)
def test_a_stub_is_held_against_its_limit(tables, length_m, kbit_per_s, is_met):
    bound = stub_bound(length_m, kbit_per_s=kbit_per_s, tables=tables)

    assert bound is not None
    assert bound.is_met is is_met


def test_no_table_states_a_stub_for_a_faster_bus(tables):
    assert stub_bound(0.1, kbit_per_s=2000, tables=tables) is None


@pytest.mark.parametrize(("length_m", "rate"), [(-1, 500), (1, 0), (math.nan, 500)])
def test_a_stub_that_cannot_be_is_refused(tables, length_m, rate):
    with pytest.raises(UsageError, match=r"The (length of the stub|bit rate) is"):
        stub_bound(length_m, kbit_per_s=rate, tables=tables)


# IEC 61851-1: nominal voltage of each state, and the sum 0.7 + (12 - 0.7)·R / (1000 + R) for it.
@pytest.mark.parametrize(
    ("state", "nominal_v", "reckoned_v"),
    [
        ("A", 12, 12.0),
        ("B", 9, 8.98),
        ("C", 6, 5.99),
        ("D", 3, 2.93),
        ("E", 0, 0.0),
        ("F", -12, -12.0),
    ],
)
def test_the_pilot_s_voltage_follows_from_its_resistors(tables, state, nominal_v, reckoned_v):
    figure = pilot_voltage(state, tables)

    assert figure.value == pytest.approx(reckoned_v, abs=0.006)
    assert figure.value == pytest.approx(nominal_v, abs=1)
    assert pilot_state(figure.value, tables) == state
    assert figure.is_confirmed


def test_the_pilot_without_a_diode_s_drop(tables):
    """State B without the drop: 12 · 2740 / 3740 = 8.79 V."""
    assert pilot_voltage("B", tables, diode_drop_v=0).value == pytest.approx(8.791, abs=0.001)


@pytest.mark.parametrize("volt", [10.5, 7.5, 4.5, 1.5, -5, 14])
def test_between_the_windows_the_pilot_says_nothing(tables, volt):
    assert pilot_state(volt, tables) is None


def test_a_pilot_voltage_or_drop_that_is_none_is_refused(tables):
    with pytest.raises(UsageError, match="pilot voltage is nan"):
        pilot_state(math.nan, tables)
    with pytest.raises(UsageError, match="drop of the diode is -1 V"):
        pilot_voltage("B", tables, diode_drop_v=-1)


# IEC 61851-1 duty table as given by a station tester's manual.
@pytest.mark.parametrize(
    ("duty_percent", "ampere"),
    [
        (0, 0),
        (5, 0),
        (7.9, 0),
        (8, 6),
        (10, 6),
        (16, 9.6),
        (25, 15),
        (50, 30),
        (85, 51),
        (86, 55),
        (90, 65),
        (96, 80),
        (97, 80),
        (97.1, 0),
        (100, 0),
    ],
)
def test_the_duty_cycle_allows_a_current(duty_percent, ampere):
    assert current_by_duty(duty_percent).value == pytest.approx(ampere)


@pytest.mark.parametrize("duty_percent", [-1, 101, math.nan], ids=str)
def test_a_duty_cycle_that_is_none_is_refused(duty_percent):
    with pytest.raises(UsageError, match="A duty cycle cannot be"):
        current_by_duty(duty_percent)


# IEC 62196-2 plug coding: 3 % either side of the code.
@pytest.mark.parametrize(
    ("ohm", "ampere"),
    [(1500, 13), (680, 20), (220, 32), (100, 63), (215, 32), (700, 20), (150, None), (300, None)],
)
def test_the_proximity_resistor_codes_the_cable(tables, ohm, ampere):
    figure = cable_current(ohm, tables)

    assert (None if figure is None else figure.value) == ampere


def test_a_proximity_of_no_ohms_is_refused(tables):
    with pytest.raises(UsageError, match="proximity resistance is 0 ohm"):
        cable_current(0, tables)
