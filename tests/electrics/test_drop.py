"""Voltage drop out and return, and the smallest area for a limit; the published sums are elsewhere."""

from __future__ import annotations

import math

import pytest

from loomfolio.basics import UsageError
from loomfolio.electrics import (
    Chassis,
    LikeLead,
    area_for_drop,
    drop_bound,
    drop_limit,
    given,
    length_for_drop,
    series,
    smallest_for_drop,
    voltage_drop,
)

COPPER = given("resistivity", 0.018, "ohm mm²/m")


def limit_of(tables, table_id, circuit, system_v):
    return next(
        row
        for row in tables.drop_limits
        if (row.table_id, row.circuit, row.system_v) == (table_id, circuit, system_v)
    )


def test_the_drop_counts_out_and_return(make_run):
    """1.5 mm² at 13.3 ohm/km, 5 m out and 5 m back, 10 A: 0.133 ohm, 1.33 V."""
    run = make_run("1.5", of="flexible", length_m=5, back=LikeLead())

    assert voltage_drop(run, 10, conductor_c=20).value == pytest.approx(1.33)


def test_a_warm_lead_drops_more(make_run):
    run = make_run("1.5", of="flexible", length_m=5)
    cold, warm = (voltage_drop(run, 10, conductor_c=c).value for c in (20, 75))

    assert warm / cold == pytest.approx(1.216, abs=0.001)  # (234.5 + 75) / (234.5 + 20)


def test_no_current_drops_nothing(make_run):
    assert voltage_drop(make_run(), 0, conductor_c=20).value == 0


def test_the_smallest_size_within_the_limit_is_taken(tables, make_run):
    """VD10 (a marine dealer's guide) comes to 2.25 mm² and takes 2.5 mm²."""
    run = make_run("1", of="flexible", length_m=18, back=LikeLead(), ambient_c=20)
    found = smallest_for_drop(run, series(tables, "flexible"), 2.1, allowed_v=0.6, conductor_c=20)

    assert found is not None
    assert found.size == "4"  # 2.5 mm² of greatest resistance drops 0.603 V
    assert drop_bound(
        make_run("4", of="flexible", length_m=18, back=LikeLead()),
        2.1,
        allowed=given("allowed", 0.6, "V"),
        conductor_c=20,
    ).is_met


def test_where_no_size_keeps_the_limit_there_is_none(tables, make_run):
    run = make_run(length_m=1000)

    assert (
        smallest_for_drop(run, series(tables, "vehicle"), 50, allowed_v=0.1, conductor_c=20) is None
    )


def test_a_limit_printed_for_the_voltage_is_taken_as_printed(tables):
    row = limit_of(tables, "VEHICLE_HANDBOOK", "headlamps", 12)

    assert drop_limit(row, 12).value == 0.3


def test_a_limit_is_carried_to_another_voltage_by_its_share(tables):
    row = limit_of(tables, "PLANNING", "electronic module supply", 12)
    carried = drop_limit(row, 24)

    assert carried.value == pytest.approx(0.72)
    assert "share" in carried.why()


def test_a_limit_without_volts_is_a_share_of_the_supply(tables):
    row = limit_of(tables, "DEALER", "navigation lights", None)

    assert drop_limit(row, 12).value == pytest.approx(0.6)


def test_a_limit_without_a_share_is_the_same_at_any_voltage(tables):
    row = limit_of(tables, "PLANNING", "sensor ground or reference", 12)

    assert drop_limit(row, 24).value == 0.02


def test_the_reason_of_a_drop_names_current_length_and_row(make_run):
    run = make_run("1.5", of="flexible", length_m=5, back=Chassis())
    reason = voltage_drop(run, 10, conductor_c=60).why()

    for part in ("I · R of the loop", "current 10 A", "length 5 m", "IEC 60228", "60 °C"):
        assert part in reason


@pytest.mark.parametrize(
    ("call", "says"),
    [
        pytest.param(
            lambda run: voltage_drop(run, -1, conductor_c=20), "current is -1 A", id="current"
        ),
        pytest.param(
            lambda run: voltage_drop(run, math.nan, conductor_c=20),
            "current is nan",
            id="no number",
        ),
        pytest.param(
            lambda run: length_for_drop(0, 1, allowed_v=1), "resistance is 0 ohm/km", id="no ohms"
        ),
        pytest.param(
            lambda run: length_for_drop(1, 0, allowed_v=1),
            "current is 0 A",
            id="length, no current",
        ),
        pytest.param(
            lambda run: length_for_drop(1, 1, allowed_v=-1),
            "allowed drop is -1 V",
            id="length, drop",
        ),
        pytest.param(
            lambda run: area_for_drop(1, -1, allowed_v=1, resistivity=COPPER),
            "length of wire is -1 m",
            id="area, length",
        ),
        pytest.param(
            lambda run: area_for_drop(1, 1, allowed_v=0, resistivity=COPPER),
            "allowed drop is 0 V",
            id="area, no drop",
        ),
        pytest.param(
            lambda run: smallest_for_drop(run, (), 1, allowed_v=math.nan, conductor_c=20),
            "allowed drop is nan V",
            id="smallest, no number",
        ),
    ],
)
def test_bad_input_is_refused_in_a_sentence(make_run, call, says):
    with pytest.raises(UsageError, match=says):
        call(make_run())


def test_a_supply_of_no_volts_is_refused(tables):
    with pytest.raises(UsageError, match="supply voltage is 0 V"):
        drop_limit(tables.drop_limits[0], 0)
