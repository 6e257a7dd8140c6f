"""Zones: the shortest way, the length with its allowance, what a zone asks for, bundles through openings."""

from __future__ import annotations

import math

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.electrics import Figure, standard_tables
from loomfolio.project import HalfKey, Project, edits
from loomfolio.retrofit.work.practice import practice, pull_force
from loomfolio.retrofit.work.zones import (
    Surroundings,
    ZoneMap,
    bundle_diameter,
    insulation_for,
    opening_bound,
)

TABLES = standard_tables()


def zones(*names: str, **fields: object) -> tuple[Project, list[str]]:
    p, ids = Project(), []
    for name in names:
        p, one = edits.add_zone(p, name=name, **fields)
        ids.append(one)
    return p, ids


lengths = st.floats(0.1, 9.0).map(lambda value: round(value, 2))


@given(
    st.dictionaries(
        st.tuples(st.integers(0, 5), st.integers(0, 5)).filter(lambda pair: pair[0] < pair[1]),
        lengths,
        max_size=10,
    )
)
def test_the_shortest_way_is_that_of_a_general_graph_library(ways):
    p, ids = zones(*(f"zone {n}" for n in range(6)))
    graph = nx.Graph()
    graph.add_nodes_from(ids)
    for (a, b), length_m in ways.items():
        p = edits.add_zone_way(p, zones=(ids[a], ids[b]), length_m=length_m).project
        graph.add_edge(ids[a], ids[b], weight=length_m)
    found = ZoneMap(p)
    for start in ids:
        for end in ids:
            way = found.shortest(start, end)
            assert (way is None) == (not nx.has_path(graph, start, end))
            if way is not None:
                told = nx.shortest_path_length(graph, start, end, weight="weight")
                assert sum(one.length_m for one in way) == pytest.approx(told)


def test_a_lead_is_as_long_as_its_way_and_its_allowance_and_names_both():
    p, (cab, rear) = zones("Cab", "Rear")
    p = edits.add_zone_way(p, zones=(cab, rear), length_m=4.2, label="left sill").project
    laid = ZoneMap(p).between(rear, cab)
    assert laid.length_m.value == pytest.approx(4.2 + 0.5 + 2 * 0.15)
    assert "left sill" in laid.length_m.why()
    assert "practice" in laid.length_m.why()
    assert laid.zones == (rear, cab)


def test_what_is_not_known_is_measured_on_the_vehicle_and_says_why():
    p, (cab, rear) = zones("Cab", "Rear")
    found = ZoneMap(p)
    nowhere, apart = found.between(cab, None), found.between(cab, rear)
    assert nowhere.length_m is apart.length_m is None
    assert nowhere.reason == "measure on the vehicle: it is not said where both ends lie"
    assert apart.reason == "measure on the vehicle: no way leads from Cab to Rear"


def test_a_half_lies_where_it_is_placed_and_else_where_its_part_does():
    p, (cab, rear) = zones("Cab", "Rear")
    p, part = edits.add_part(p, name="X14", kind="in-line connector")
    p = edits.place_thing(p, part=part, zone=cab).project
    found = edits.add_part(p, name="A1", kind="module")
    half = {name: HalfKey(part=part, half=name) for name in "AB"}
    p = edits.place_thing(found.project, part=part, half=half["B"], zone=rear).project
    told = ZoneMap(p)
    assert [told.zone_of(half[name].pin("1")) for name in "AB"] == [cab, rear]
    assert told.zone_of(half["A"].pin("1").model_copy(update={"part": found.id})) is None


@pytest.mark.parametrize(
    ("ambient_c", "name"),
    [
        pytest.param(50, "PVC 105 C", id="inside"),
        pytest.param(80, "PVC 105 C", id="just"),
        pytest.param(81, "XLPE 125 C", id="warm"),
        pytest.param(110, "silicone rubber 180 C", id="hot"),
        pytest.param(160, None, id="beyond"),
        pytest.param(None, None, id="not known"),
    ],
)
def test_the_zone_chooses_the_plainest_insulation_that_stands_it(ambient_c, name):
    found, why = insulation_for(Surroundings(ambient_c, None, None), TABLES)
    assert (None if found is None else found.name) == name
    assert why


def test_one_wet_zone_makes_a_lead_wet_and_one_unknown_leaves_it_open():
    p, wet = edits.add_zone(Project(), name="Wet", is_wet=True, ambient_c=40, vibration="low")
    p, dry = edits.add_zone(p, name="Dry", is_wet=False, ambient_c=70, vibration="high")
    p, open_ = edits.add_zone(p, name="Open")
    found = ZoneMap(p)
    assert found.surroundings([wet, dry]) == Surroundings(70, is_wet=True, is_shaken=True)
    assert found.surroundings([dry, open_]) == Surroundings(None, is_wet=None, is_shaken=True)
    assert found.surroundings([]) == Surroundings(None, None, None)


@pytest.mark.parametrize(
    ("count", "ratio"),
    [
        pytest.param(3, 1 + 2 / math.sqrt(3), id="3"),
        pytest.param(4, 1 + math.sqrt(2), id="4"),
        pytest.param(7, 3.0, id="7"),
    ],
)
def test_a_bundle_is_near_the_smallest_circle_about_equal_leads(count, ratio):
    """Source: plane geometry, the densest packings of 3, 4 and 7 equal circles in a circle."""
    told = bundle_diameter([Figure("lead", 2.0, "mm")] * count)
    assert told.value == pytest.approx(2.0 * ratio, rel=0.06)


def test_an_opening_is_full_at_eight_tenths_of_its_bore():
    bundle = bundle_diameter([Figure("lead", 20.0, "mm")])
    assert bundle.value == 20.0
    assert opening_bound(bundle, 25.0).is_met
    assert not opening_bound(bundle, 24.9).is_met


@pytest.mark.parametrize(
    ("area_mm2", "newton"),
    [
        pytest.param(0.3255, 35.6, id="22 AWG"),
        pytest.param(0.823, 89.0, id="18 AWG"),
        pytest.param(2.081, 222.5, id="14 AWG"),
    ],
)
def test_a_sample_joint_is_pulled_as_ul_486a_has_it(area_mm2, newton):
    """Source: UL 486A, commercial column, in a crimp tester maker's sheet (splice_strength.csv)."""
    assert pull_force(area_mm2).value == pytest.approx(newton, rel=1e-6)
    assert pull_force(area_mm2).is_confirmed


@given(st.floats(0.1, 60), st.floats(0.1, 60))
def test_more_copper_never_stands_less_pull_within_one_row(a, b):
    low, high = sorted((a, b))
    near = {pull_force(one).inputs[0].name for one in (low, high)}
    if len(near) == 1:
        assert pull_force(low).value <= pull_force(high).value


def test_a_custom_says_whether_it_was_seen_anywhere():
    assert practice("least distance of a joint from a connector").source.status == "verified"
    assert practice("service allowance at each end").source.status == "practice"
    assert not practice("greatest distance from a pick-up to its fuse").is_confirmed
