"""The smallest area that meets every bound, with each bound's own smallest area and number."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from loomfolio.basics import NameNotFoundError, UsageError
from loomfolio.electrics import (
    Chassis,
    Feed,
    LeadDemand,
    LikeLead,
    TerminalLimits,
    find_fuse,
    find_insulation,
    given,
    mechanical_minimum,
    series,
    size_lead,
)


@pytest.fixture(scope="module")
def demand(tables) -> LeadDemand:
    """A short lead for a small load, behind 10 A, over chassis."""
    return LeadDemand(
        load_a=4,
        feed=Feed(volt=12, ohm=0.02),
        length_m=2,
        back=Chassis(),
        insulation=find_insulation(tables, "PVC 105 C"),
        ambient_c=40,
        allowed_drop=given("allowed drop", 0.5, "V"),
        mechanical_minimum=mechanical_minimum(tables, "lead in a bundle"),
        fuse=find_fuse(tables, "C", 10),
    )


@pytest.fixture(scope="module")
def size(tables):
    def sized(demand, name="flexible"):
        return size_lead(demand, series(tables, name), tables)

    return sized


def smallest(sizing):
    return {one.title: one.conductor and one.conductor.size for one in sizing.smallest}


def test_the_bound_that_asks_for_the_most_governs(size, demand):
    sizing = size(demand)

    assert sizing.chosen is not None
    assert sizing.chosen.label == "0.75 mm²"
    assert sizing.governing == "135 % of the fuse for its time"
    assert all(bound.is_met for bound in sizing.bounds)
    assert sizing.failures == ()
    assert sizing.is_confirmed


def test_a_long_way_is_governed_by_the_drop(size, demand):
    sizing = size(replace(demand, length_m=8, back=LikeLead()))

    assert sizing.governing == "voltage drop"
    assert smallest(sizing)["voltage drop"] == sizing.chosen.size == "4"
    assert smallest(sizing)["heating by the load"] == "0.5"


def test_a_small_load_without_a_fuse_is_governed_by_handling(tables, size, demand):
    """A module limits the current by itself: no fuse, so nothing of a fuse is asked."""
    alone = mechanical_minimum(tables, "lead alone, or where it moves or shakes")
    sizing = size(replace(demand, load_a=0.2, fuse=None, mechanical_minimum=alone))

    assert sizing.governing == "mechanical minimum"
    assert sizing.chosen.size == "0.75"
    assert [bound.title for bound in sizing.bounds] == [
        "mechanical minimum",
        "voltage drop",
        "heating by the load",
    ]


def test_a_heavy_load_in_a_hot_bundle_is_governed_by_heating(size, demand):
    sizing = size(
        replace(
            demand,
            load_a=20,
            fuse=None,
            ambient_c=85,
            loaded_in_bundle=6,
            allowed_drop=given("allowed drop", 2.0, "V"),
        )
    )

    assert sizing.governing == "heating by the load"
    assert sizing.chosen.size == "10"


def test_the_next_smaller_size_fails_the_governing_bound(tables, size, demand):
    sizing = size(demand)
    choice = series(tables, "flexible")
    below = choice[choice.index(sizing.chosen) - 1]
    alone = size_lead(demand, [below], tables)

    assert alone.chosen is None
    assert sizing.governing in {bound.title for bound in alone.failures}


def test_where_no_size_serves_none_is_chosen_and_the_largest_is_shown(size, demand):
    sizing = size(replace(demand, length_m=3000))

    assert sizing.chosen is None
    assert sizing.tried.size == "400"
    assert smallest(sizing)["voltage drop"] is None
    assert "voltage drop" in {bound.title for bound in sizing.failures}


def test_every_bound_tells_its_formula_inputs_and_sources(size, demand):
    for bound in size(demand).bounds:
        assert bound.number.why()
        assert bound.status in {"verified", "practice", "given"}
    drop = next(bound for bound in size(demand).bounds if bound.title == "voltage drop")
    assert "heat balance" in drop.number.why()


def test_a_series_from_memory_is_not_confirmed(size, demand):
    sizing = size(demand, "vehicle")

    assert not sizing.is_confirmed
    assert all("from memory" in row for row in sizing.unconfirmed)


def test_an_american_demand_gets_a_gauge(size, demand):
    assert size(demand, "awg stranded").chosen.label == "20 AWG"


def test_the_drop_of_a_lead_beyond_its_limit_is_reckoned_at_the_limit(tables, demand):
    """A size that the load would melt still has a drop to show."""
    thinnest = series(tables, "flexible")[0]
    sizing = size_lead(replace(demand, load_a=90, fuse=None), [thinnest], tables)
    drop = next(bound for bound in sizing.bounds if bound.title == "voltage drop")

    assert drop.number.value == pytest.approx(90 * 0.039 * 2 * (1 + 0.00393 * 85))


# ------------------------------------------------------------------------------- terminal and seal


def test_a_terminal_raises_the_size_to_its_least_area(size, demand):
    sizing = size(replace(demand, terminals=(TerminalLimits(name="T1", least_area_mm2=1.5),)))

    assert sizing.chosen.size == "1.5"
    assert sizing.governing == "least area of T1"


@pytest.mark.parametrize(
    ("limits", "failing"),
    [
        pytest.param({"greatest_area_mm2": 0.5}, "greatest area of T1", id="crimp too small"),
        pytest.param({"greatest_outside_mm": 1.7}, "greatest diameter of T1", id="seal too tight"),
        pytest.param({"least_outside_mm": 2.5}, "least diameter of T1", id="seal too wide"),
        pytest.param({"current_a": 3}, "current of T1", id="contact too weak"),
    ],
)
def test_a_terminal_that_does_not_take_the_lead_leaves_no_choice(size, demand, limits, failing):
    sizing = size(replace(demand, terminals=(TerminalLimits(name="T1", **limits),)))

    assert sizing.chosen is None
    assert sizing.tried.size == "0.75"
    assert [bound.title for bound in sizing.failures] == [failing]


def test_a_terminal_that_takes_the_lead_is_shown_met(size, demand):
    fits = TerminalLimits(
        name="T1",
        least_area_mm2=0.5,
        greatest_area_mm2=1.0,
        least_outside_mm=1.4,
        greatest_outside_mm=2.1,
        current_a=10,
    )
    sizing = size(replace(demand, terminals=(fits, TerminalLimits(name="T2"))))

    assert sizing.chosen.size == "0.75"
    assert len([bound for bound in sizing.bounds if bound.title.endswith("T1")]) == 5


# ------------------------------------------------------------------------------------- bad input


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        pytest.param({"load_a": -1}, "load is -1 A", id="load"),
        pytest.param({"load_a": 12}, "12 A opens a fuse of 10 A", id="load above the fuse"),
        pytest.param({"load_a": math.nan}, "load is nan A", id="load no number"),
        pytest.param(
            {"allowed_drop": given("allowed drop", 0, "V")}, "allowed drop is 0 V", id="no drop"
        ),
        pytest.param(
            {"mechanical_minimum": given("minimum", -1, "mm²")}, "minimum is -1", id="minimum"
        ),
    ],
)
def test_a_demand_that_cannot_be_is_refused(demand, changed, says):
    with pytest.raises(UsageError, match=says):
        replace(demand, **changed)


def test_a_lead_of_no_length_is_refused_when_it_is_sized(size, demand):
    with pytest.raises(UsageError, match="length of the lead is 0 m"):
        size(replace(demand, length_m=0))


def test_a_terminal_of_negative_size_is_refused():
    with pytest.raises(UsageError, match="greatest area of the terminal is -1 mm²"):
        TerminalLimits(name="T1", greatest_area_mm2=-1)


def test_nothing_to_choose_from_is_refused(tables, demand):
    with pytest.raises(UsageError, match="no conductor to choose from"):
        size_lead(demand, (), tables)


def test_a_place_that_is_not_tabulated_is_refused_with_the_nearest(tables):
    with pytest.raises(NameNotFoundError, match="lead in a bundle"):
        mechanical_minimum(tables, "lead in bundle")
