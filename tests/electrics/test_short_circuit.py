"""The adiabatic limit against the published k table, and the current of a short far away and hot."""

from __future__ import annotations

import math

import pytest

from loomfolio.basics import UsageError
from loomfolio.electrics import (
    Chassis,
    Feed,
    LikeLead,
    adiabatic_area,
    adiabatic_factor,
    adiabatic_limit,
    fault_current,
    given,
    short_current,
)


def celsius(value):
    return given("temperature", value, "°C")


# k of copper and aluminium, IEC 60364-4-43 / -5-54 and BS 7671, from a cable engineering knowledge
# base; the formula of IEC 60949 has to give them from their temperatures, to the printed digit.
@pytest.mark.parametrize(
    ("metal", "initial_c", "final_c", "k"),
    [
        pytest.param("copper", 70, 160, 115, id="PVC 70"),
        pytest.param("copper", 70, 140, 103, id="PVC 70, thick"),
        pytest.param("copper", 90, 160, 100, id="PVC 90"),
        pytest.param("copper", 90, 250, 143, id="XLPE"),
        pytest.param("copper", 60, 200, 141, id="rubber 60"),
        pytest.param("copper", 85, 220, 134, id="rubber 85"),
        pytest.param("copper", 180, 350, 132, id="silicone"),
        pytest.param("copper", 30, 160, 143, id="conductor apart, PVC"),
        pytest.param("copper", 30, 250, 176, id="conductor apart, XLPE"),
        pytest.param("aluminium", 70, 160, 76, id="aluminium, PVC 70"),
        pytest.param("aluminium", 90, 250, 94, id="aluminium, XLPE"),
    ],
)
def test_the_formula_gives_the_published_k(tables, metal, initial_c, final_c, k):
    material = {"copper": tables.copper, "aluminium": tables.aluminium}[metal]
    ours = adiabatic_factor(material, initial_c=celsius(initial_c), final_c=celsius(final_c))

    assert ours.value == pytest.approx(k, abs=0.6)


def test_what_a_lead_stands_starts_from_its_limit_for_ever(make_run):
    """0.35 mm² in PVC, 105 to 160 °C: k 87.6, k²S² = 940 A²s."""
    limit = adiabatic_limit(make_run("0.35"))

    assert limit.value == pytest.approx((87.6 * 0.35) ** 2, rel=0.001)
    assert not limit.is_confirmed


def test_a_short_at_the_far_end_draws_what_source_and_hot_loop_leave(make_run):
    """10 m of 1 mm² class 5 at 105 °C: 19.5 ohm/km · 1.334 · 10 m = 0.2602 ohm, and 0.02 before it."""
    run = make_run("1", of="flexible", length_m=10, back=Chassis())
    ours = short_current(run, Feed(volt=12, ohm=0.02), conductor_c=105)

    assert ours.value == pytest.approx(12 / 0.2802, rel=0.001)


def test_a_fuse_in_the_loop_and_a_like_return_make_the_short_smaller(make_run):
    near = short_current(make_run(length_m=5), Feed(volt=12), conductor_c=105)
    both = short_current(make_run(length_m=5, back=LikeLead()), Feed(volt=12), conductor_c=105)
    fused = short_current(
        make_run(length_m=5),
        Feed(volt=12),
        conductor_c=105,
        fuse_ohm=given("resistance of the fuse", 0.01, "ohm"),
    )

    assert both.value == pytest.approx(near.value / 2)
    assert fused.value < near.value


def test_a_hot_lead_draws_less_than_a_cold_one(make_run):
    cold, hot = (short_current(make_run(), Feed(volt=12), conductor_c=c).value for c in (20, 105))

    assert hot == pytest.approx(cold / (1 + 0.00393 * 85))


@pytest.mark.parametrize(
    ("call", "says"),
    [
        pytest.param(lambda: Feed(volt=0), "supply voltage is 0 V", id="no volts"),
        pytest.param(lambda: Feed(volt=math.nan), "supply voltage is nan V", id="volts no number"),
        pytest.param(lambda: Feed(volt=12, ohm=-1), "resistance of the feed is -1", id="ohms"),
        pytest.param(
            lambda: adiabatic_area(100, 6, given("k", 115, "")),
            "holds up to 5 s, not for 6 s",
            id="longer than the formula",
        ),
        pytest.param(
            lambda: adiabatic_area(-1, 1, given("k", 115, "")), "current is -1 A", id="current"
        ),
        pytest.param(lambda: adiabatic_area(1, -1, given("k", 115, "")), "time is -1 s", id="time"),
        pytest.param(lambda: adiabatic_area(1, 1, given("k", 0, "")), "factor k is 0", id="k"),
        pytest.param(lambda: fault_current(230, 0), "resistance of the loop is 0", id="no loop"),
        pytest.param(lambda: fault_current(-1, 1), "voltage is -1 V", id="negative volts"),
    ],
)
def test_bad_input_is_refused_in_a_sentence(call, says):
    with pytest.raises(UsageError, match=says):
        call()


@pytest.mark.parametrize(
    ("initial_c", "final_c", "says"),
    [
        pytest.param(160, 160, "cannot end at 160 °C when it begins at 160 °C", id="no rise"),
        pytest.param(math.nan, 160, "initial temperature is nan", id="initial no number"),
        pytest.param(70, 2000, "final temperature is 2000 °C", id="molten"),
    ],
)
def test_a_short_that_warms_nothing_is_refused(tables, initial_c, final_c, says):
    with pytest.raises(UsageError, match=says):
        adiabatic_factor(tables.copper, initial_c=celsius(initial_c), final_c=celsius(final_c))
