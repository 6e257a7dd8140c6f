"""Resistance against IEC 60228 and ASTM B258; sizes as the trade writes them."""

from __future__ import annotations

import math

import pytest

from loomfolio.basics import NameNotFoundError, UsageError
from loomfolio.electrics import (
    Chassis,
    LikeLead,
    OtherLead,
    awg_area_mm2,
    awg_diameter_mm,
    find_conductor,
    find_insulation,
    gauge_number,
    lead_resistance,
    loop_resistance,
    resistance_per_km,
    series,
)


# IEC 60228:2004 table values, greatest resistance at 20 °C of plain copper class 5, ohm/km, as
# printed by a cable engineering knowledge base and by a cable maker's technical page.
@pytest.mark.parametrize(
    ("size", "ohm_per_km"),
    [
        ("0.5", 39.0),
        ("0.75", 26.0),
        ("1", 19.5),
        ("1.5", 13.3),
        ("2.5", 7.98),
        ("4", 4.95),
        ("6", 3.30),
        ("10", 1.91),
        ("16", 1.21),
        ("25", 0.780),
        ("35", 0.554),
        ("50", 0.386),
        ("70", 0.272),
        ("95", 0.206),
        ("120", 0.161),
    ],
)
def test_flexible_sizes_have_the_resistance_of_iec_60228(tables, size, ohm_per_km):
    conductor = find_conductor(series(tables, "flexible"), size)

    assert resistance_per_km(conductor).value == ohm_per_km


# Printed by public wire tables (engineering textbook, mathematics site): gauge, mm, ohm/km.
@pytest.mark.parametrize(
    ("awg", "diameter_mm", "ohm_per_km"),
    [
        ("26", 0.4039, 133.86),
        ("24", 0.5105, 84.2),
        ("20", 0.8128, 33.29),
        ("18", 1.0236, 20.94),
        ("14", 1.6281, 8.28),
        ("10", 2.588, 3.277),
        ("4", 5.189, 0.8152),
        ("1/0", 8.251, 0.3224),
        ("4/0", 11.684, 0.1608),
    ],
)
def test_gauges_follow_astm_b258(tables, awg, diameter_mm, ohm_per_km):
    solid = find_conductor(series(tables, "awg solid"), f"{awg} AWG")

    assert awg_diameter_mm(awg) == pytest.approx(diameter_mm, rel=0.003)
    assert awg_area_mm2(awg) == pytest.approx(solid.area_mm2, rel=0.0005)
    assert resistance_per_km(solid).value == pytest.approx(ohm_per_km, rel=0.001)
    assert 1000 / 58 / awg_area_mm2(awg) == pytest.approx(ohm_per_km, rel=0.001)


def test_every_row_of_the_gauge_table_follows_the_formula(tables):
    for solid in series(tables, "awg solid"):
        assert solid.conductor_diameter_mm == pytest.approx(awg_diameter_mm(solid.size), abs=6e-5)


def test_resistance_at_75_degrees_is_that_of_the_american_code(tables):
    """14 AWG stranded uncoated copper at 75 °C: 10.07 ohm/km (NEC chapter 9 table 8)."""
    solid = find_conductor(series(tables, "awg solid"), "14")

    assert resistance_per_km(solid, 75).value == pytest.approx(10.07, rel=0.005)


def test_a_series_runs_from_small_to_large(tables):
    for name in ("vehicle", "flexible", "japanese", "awg stranded", "awg solid"):
        areas = [conductor.area_mm2 for conductor in series(tables, name)]
        assert areas == sorted(areas)
        assert len(areas) >= 16


@pytest.mark.parametrize("written", ["0.35", "0,35", "0.35 mm²", "0.35mm2", " 0.350 "])
def test_a_size_is_found_as_the_trade_writes_it(tables, written):
    assert find_conductor(series(tables, "vehicle"), written).label == "0.35 mm²"


@pytest.mark.parametrize("written", ["1/0", "1/0 AWG", "1/0 awg"])
def test_a_gauge_is_found_as_the_trade_writes_it(tables, written):
    assert find_conductor(series(tables, "awg solid"), written).label == "1/0 AWG"


@pytest.mark.parametrize("written", ["0.36", "thick", "", "18 AWG"])
def test_a_size_that_is_not_made_is_refused(tables, written):
    with pytest.raises(NameNotFoundError, match="no conductor called"):
        find_conductor(series(tables, "vehicle"), written)


def test_an_insulation_that_is_not_tabulated_is_refused_with_the_nearest(tables):
    with pytest.raises(NameNotFoundError, match="did you mean PVC 105 C"):
        find_insulation(tables, "PVC 106 C")


@pytest.mark.parametrize(
    ("awg", "number"), [("18", 18), ("1/0", 0), ("0", 0), ("0000", -3), ("4/0", -3), (" 40 ", 40)]
)
def test_the_number_of_a_gauge(awg, number):
    assert gauge_number(awg) == number


@pytest.mark.parametrize("awg", ["41", "5/0", "0/0", "00000", "-1", "", "2.5", "ten", "018"])
def test_what_is_no_gauge_is_refused(awg):
    with pytest.raises(UsageError, match="is no American wire gauge; give 4/0 to 40"):
        gauge_number(awg)


def test_a_return_over_a_like_lead_doubles_the_loop(make_run):
    out = loop_resistance(make_run(length_m=6, back=Chassis()), 20)
    both = loop_resistance(make_run(length_m=6, back=LikeLead()), 20)

    assert both.value == pytest.approx(2 * out.value)


def test_a_return_of_its_own_adds_its_own_ohms(tables, make_run):
    thick = find_conductor(series(tables, "vehicle"), "2.5")
    run = make_run("0.35", length_m=12, back=OtherLead(thick, 10))
    alone = lead_resistance(run.conductor, 12, 60).value + lead_resistance(thick, 10, 60).value

    assert loop_resistance(run, 60).value == pytest.approx(alone)


def test_chassis_adds_its_stated_ohms(make_run):
    alone = loop_resistance(make_run(back=Chassis()), 20).value

    assert loop_resistance(make_run(back=Chassis(0.005)), 20).value == pytest.approx(alone + 0.005)


def test_a_vehicle_size_says_that_it_is_from_memory(make_run):
    figure = loop_resistance(make_run("0.35"), 20)

    assert not figure.is_confirmed
    assert "ISO 6722-1" in figure.unconfirmed[0]


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        pytest.param({"length_m": -1}, "length of the lead is -1 m", id="length below zero"),
        pytest.param({"length_m": math.nan}, "length of the lead is nan m", id="length no number"),
        pytest.param({"ambient_c": math.nan}, "ambient temperature is nan", id="ambient no number"),
        pytest.param({"ambient_c": -300}, "give a temperature from -60", id="below absolute zero"),
        pytest.param({"loaded_in_bundle": 0}, "count of loaded leads", id="no lead in the bundle"),
        pytest.param({"ambient_c": 105}, "leaves PVC 105 C no room", id="as hot as the insulation"),
    ],
)
def test_a_lead_that_cannot_be_is_refused(make_run, changed, says):
    with pytest.raises(UsageError, match=says):
        make_run(**changed)


def test_a_return_of_negative_length_or_ohms_is_refused(tables):
    with pytest.raises(UsageError, match="length of the return is -2 m"):
        OtherLead(series(tables, "vehicle")[0], -2)
    with pytest.raises(UsageError, match="resistance of the chassis is -1 ohm"):
        Chassis(-1)


def test_a_conductor_hotter_than_the_formula_holds_is_refused(tables):
    with pytest.raises(UsageError, match="conductor temperature is 1083 °C"):
        resistance_per_km(series(tables, "flexible")[0], 1083)
