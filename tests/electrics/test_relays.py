"""Coils and contacts of relays against makers' sheets; 30 and 86 by number, not by place."""

from __future__ import annotations

import math

import pytest

from loomfolio.basics import NameNotFoundError, UsageError
from loomfolio.electrics import (
    MAXI,
    MICRO,
    MINI,
    coil_current,
    coil_plus_terminal,
    coil_power,
    contact_bounds,
    contacts_met,
    continuous_limit,
    duty_of_pin,
    fits_socket,
    suppressed_coil_resistance,
    switch_off_voltage,
    terminal_in_place,
)


def test_a_mini_coil_draws_what_the_sheet_prints():
    """85 ohm at 12 V: 141 mA and 1.7 W (automotive mini relay sheet)."""
    assert coil_current(85, 12).value == pytest.approx(0.141, abs=0.001)
    assert coil_power(85, 12).value == pytest.approx(1.7, abs=0.01)


def test_a_24_volt_coil_draws_what_the_sheet_prints():
    """255 ohm at 24 V: 2.3 W printed."""
    assert coil_power(255, 24).value == pytest.approx(2.3, abs=0.05)


def test_a_meter_sees_the_resistor_across_the_coil():
    """80 ohm with 680 ohm in parallel: 71.6 ohm."""
    assert suppressed_coil_resistance(80, 680).value == pytest.approx(71.6, abs=0.03)


def test_a_resistor_lets_the_coil_kick_to_a_hundred_volts():
    """The coil's 0.15 A through 680 ohm."""
    assert switch_off_voltage(80, 680, 12).value == pytest.approx(102)


# Makers' sheets: greatest continuous current of the make contact at 23, 85 and 125 °C.
@pytest.mark.parametrize(
    ("relay", "ambient_c", "limit_a"),
    [
        pytest.param(MINI, 20, 50, id="mini, cool"),
        pytest.param(MINI, 23, 50, id="mini, the first step"),
        pytest.param(MINI, 24, 35, id="mini, between steps"),
        pytest.param(MINI, 85, 35, id="mini, hot"),
        pytest.param(MINI, 125, 15, id="mini, hottest"),
        pytest.param(MAXI, 23, 70, id="maxi, cool"),
        pytest.param(MAXI, 60, 50, id="maxi, between steps"),
    ],
)
def test_a_contact_carries_what_the_next_warmer_step_says(tables, relay, ambient_c, limit_a):
    assert continuous_limit(tables, relay, ambient_c).value == limit_a


def test_a_contact_hotter_than_the_sheet_is_refused(tables):
    with pytest.raises(UsageError, match=r"no current for a maxi .* at 100 °C; .* below 85 °C"):
        continuous_limit(tables, MAXI, 100)


def test_a_relay_without_a_printed_limit_is_refused(tables):
    with pytest.raises(NameNotFoundError, match="continuous current of a relay"):
        continuous_limit(tables, MICRO, 23)


@pytest.mark.parametrize(
    ("load_a", "inrush_a", "met"),
    [
        pytest.param(28, 120, [True, True], id="80 % of 35 A, and the whole make current"),
        pytest.param(28.1, 0, [False, True], id="too much for ever"),
        pytest.param(10, 121, [True, False], id="too much at the start"),
    ],
)
def test_a_contact_is_held_against_load_and_inrush(tables, load_a, inrush_a, met):
    bounds = contact_bounds(tables, MINI, load_a, ambient_c=85, inrush_a=inrush_a)

    assert [bound.is_met for bound in bounds] == met
    assert bounds[0].status == "practice"


def test_a_maxi_contact_makes_240_a(tables):
    assert contact_bounds(tables, MAXI, 10, ambient_c=23)[1].limit.value == 240


# DIN 72552 duties by makers' sheets; the numbers of the micro relay are from memory.
@pytest.mark.parametrize(
    ("relay", "pin", "duty", "status"),
    [
        (MINI, "30", "common contact", "verified"),
        (MINI, "87a", "normally closed contact", "verified"),
        (MICRO, "3", "same duty as 30", "memory"),
        (MICRO, "4", "same duty as 87a", "memory"),
    ],
)
def test_a_pin_has_its_duty(tables, relay, pin, duty, status):
    fact = duty_of_pin(tables, relay, pin)

    assert (fact.text, fact.source.status) == (duty, status)


def test_a_pin_that_is_none_is_refused(tables):
    with pytest.raises(NameNotFoundError, match="'pin 88'"):
        duty_of_pin(tables, MINI, "88")


def test_in_layout_b_30_and_86_have_changed_places():
    assert [terminal_in_place(t, "A") for t in ("30", "85", "86", "87", "87a")] == [
        *("30", "85", "86", "87", "87a")
    ]
    assert [terminal_in_place(t, "B") for t in ("30", "85", "86", "87", "87a")] == [
        *("86", "85", "30", "87", "87a")
    ]


@pytest.mark.parametrize(
    ("socket", "relay", "fits"),
    [("A", "A", True), ("B", "B", True), ("A", "B", False), ("B", "A", False)],
)
def test_a_relay_fits_a_socket_of_its_own_layout_only(socket, relay, fits):
    assert fits_socket(socket, relay) is fits


def test_a_relay_of_the_other_layout_joins_the_feed_to_the_coil():
    wrong = {m.socket: m.relay for m in contacts_met("A", "B") if m.socket != m.relay}

    assert wrong == {"30": "86", "86": "30"}


def test_a_number_that_a_mini_relay_does_not_have_is_refused():
    with pytest.raises(NameNotFoundError, match="no terminal of a mini relay called '87b'"):
        terminal_in_place("87b", "A")


def test_a_diode_makes_86_the_plus_side():
    assert coil_plus_terminal("diode") == "86"
    assert coil_plus_terminal("resistor") is None
    assert coil_plus_terminal("none") is None


@pytest.mark.parametrize(
    ("call", "says"),
    [
        pytest.param(lambda t: coil_current(0, 12), "coil resistance is 0 ohm", id="coil"),
        pytest.param(lambda t: coil_power(85, -12), "voltage is -12 V", id="voltage"),
        pytest.param(
            lambda t: suppressed_coil_resistance(85, 0),
            "resistor across the coil is 0",
            id="resistor",
        ),
        pytest.param(
            lambda t: suppressed_coil_resistance(math.nan, 1), "coil resistance is nan", id="nan"
        ),
        pytest.param(
            lambda t: switch_off_voltage(85, -1, 12), "resistor across the coil is -1", id="kick"
        ),
        pytest.param(
            lambda t: continuous_limit(t, MINI, math.nan),
            "ambient temperature is nan",
            id="ambient",
        ),
        pytest.param(
            lambda t: contact_bounds(t, MINI, -1, ambient_c=20), "load is -1 A", id="load"
        ),
        pytest.param(
            lambda t: contact_bounds(t, MINI, 1, ambient_c=20, inrush_a=-1),
            "inrush current is -1 A",
            id="inrush",
        ),
    ],
)
def test_bad_input_is_refused_in_a_sentence(tables, call, says):
    with pytest.raises(UsageError, match=says):
        call(tables)
