"""Laws of the numbers, on any lead, fuse and network."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given as on_any
from hypothesis import settings
from hypothesis import strategies as st

from loomfolio.electrics import (
    Chassis,
    Feed,
    LeadDemand,
    LikeLead,
    Resistor,
    VoltageSource,
    find_insulation,
    fuses_of,
    given,
    let_through,
    longest_opening,
    series,
    size_lead,
    solve,
    standard_tables,
    steady_current,
    steady_temperature,
    time_to_reach,
    voltage_drop,
)

TABLES = standard_tables()
SERIES = st.sampled_from(["vehicle", "flexible", "japanese", "awg stranded"])
INSULATION = st.sampled_from(["PVC 105 C", "PVC 90 C", "XLPE 125 C"])
LENGTH_M = st.floats(0.1, 30)
LOAD_A = st.floats(0.05, 30)
BACK = st.sampled_from([LikeLead(), Chassis(), Chassis(0.005)])
AMBIENT_C = st.floats(-20, 70)
LOADED = st.integers(1, 30)
KIND = st.sampled_from("CFE")


@st.composite
def runs(draw):
    conductors = series(TABLES, draw(SERIES))
    small, large = sorted(draw(st.tuples(*[st.integers(0, len(conductors) - 1)] * 2)))
    demand = LeadDemand(
        load_a=draw(LOAD_A),
        feed=Feed(volt=12, ohm=0.01),
        length_m=draw(LENGTH_M),
        back=draw(BACK),
        insulation=find_insulation(TABLES, draw(INSULATION)),
        ambient_c=draw(AMBIENT_C),
        allowed_drop=given("allowed drop", 0.5, "V"),
        mechanical_minimum=given("mechanical minimum", 0.35, "mm²"),
        loaded_in_bundle=draw(LOADED),
    )
    return demand.run(conductors[small]), demand.run(conductors[large])


@on_any(runs(), LOAD_A, st.floats(-40, 150))
def test_more_area_never_drops_more(pair, current_a, conductor_c):
    small, large = (voltage_drop(run, current_a, conductor_c=conductor_c).value for run in pair)

    assert large <= small


@settings(max_examples=40)
@on_any(runs(), LOAD_A)
def test_more_area_never_warms_more(pair, current_a):
    """A lead without a known diameter is taken as bare, so like is held against like."""
    small, large = (
        steady_temperature(
            replace(run, conductor=replace(run.conductor, outside_diameter=None)), TABLES, current_a
        ).value
        for run in pair
    )

    assert large <= small + 1e-6


@settings(max_examples=40)
@on_any(runs(), LOAD_A, st.floats(1.01, 4), st.floats(0.1, 100))
def test_more_current_never_takes_longer_to_warm(pair, current_a, factor, rise_k):
    run = pair[0]
    from_c = max(run.ambient_c, 20.0)
    slow, fast = (
        time_to_reach(run, TABLES, ampere, from_c=from_c, to_c=from_c + rise_k).value
        for ampere in (current_a, current_a * factor)
    )

    assert fast <= slow


@settings(max_examples=40)
@on_any(runs(), st.integers(1, 20), st.floats(0.1, 30))
def test_company_and_warmth_never_raise_the_current(pair, more, warmer_k):
    run = pair[0]
    limit_c = run.insulation.limit_c.value
    alone = steady_current(run, TABLES, conductor_c=limit_c).value
    crowded = replace(run, loaded_in_bundle=run.loaded_in_bundle + more)
    warmer = replace(run, ambient_c=min(run.ambient_c + warmer_k, limit_c - 1))

    assert steady_current(crowded, TABLES, conductor_c=limit_c).value <= alone
    assert steady_current(warmer, TABLES, conductor_c=limit_c).value <= alone * (1 + 1e-9)


@on_any(KIND, st.data(), st.floats(0.1, 2000), st.floats(1, 5))
def test_more_current_never_opens_a_fuse_later_nor_lets_more_through(kind, data, current_a, factor):
    fuse = data.draw(st.sampled_from(fuses_of(TABLES, kind)))
    less, more = current_a, current_a * factor
    before, after = longest_opening(fuse, less), longest_opening(fuse, more)
    small, great = (
        let_through(fuse, given("I", less, "A")),
        let_through(fuse, given("I", more, "A")),
    )

    assert before is None or after.value <= before.value
    assert small is None or great.value <= small.value


@settings(max_examples=30)
@on_any(SERIES, KIND, st.data(), LENGTH_M, INSULATION, AMBIENT_C, LOADED)
def test_a_larger_fuse_never_allows_a_smaller_lead(
    name, kind, data, length_m, insulation, ambient_c, loaded
):
    fuses = fuses_of(TABLES, kind)
    first, second = sorted(data.draw(st.tuples(*[st.integers(0, len(fuses) - 1)] * 2)))
    demand = LeadDemand(
        load_a=min(0.5, fuses[0].rating_a),
        feed=Feed(volt=12, ohm=0.01),
        length_m=length_m,
        back=Chassis(),
        insulation=find_insulation(TABLES, insulation),
        ambient_c=ambient_c,
        allowed_drop=given("allowed drop", 1.0, "V"),
        mechanical_minimum=given("mechanical minimum", 0.35, "mm²"),
        fuse=fuses[first],
        loaded_in_bundle=loaded,
    )
    choice = series(TABLES, name)
    small = size_lead(demand, choice, TABLES)
    large = size_lead(replace(demand, fuse=fuses[second]), choice, TABLES)

    if large.chosen is not None:
        assert small.chosen is not None
        assert small.chosen.area_mm2 <= large.chosen.area_mm2


@settings(max_examples=40)
@on_any(
    st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5), st.floats(0.1, 1e4)), max_size=12),
    st.floats(0.1, 10),
    st.randoms(use_true_random=False),
)
def test_a_network_is_linear_and_knows_no_order(resistors, factor, rng):
    elements = [VoltageSource("u", "n0", "n5", 12)]
    elements += [
        Resistor(f"r{n}", f"n{a}", f"n{b}", ohm) for n, (a, b, ohm) in enumerate(resistors)
    ]
    shuffled = list(elements)
    rng.shuffle(shuffled)
    shuffled[shuffled.index(elements[0])] = VoltageSource("u", "n0", "n5", 12 * factor)
    plain, scaled = solve(elements, reference="n5"), solve(shuffled, reference="n5")

    assert plain.volts.keys() == scaled.volts.keys()
    for node, volt in plain.volts.items():
        assert scaled.volts[node] == (
            None if volt is None else pytest.approx(volt * factor, abs=1e-9)
        )
