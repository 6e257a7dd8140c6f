"""Continuity: as few readings as a spanning tree has edges, and no cover more than must be."""

from __future__ import annotations

from itertools import combinations

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.bench.proof.continuity import continuity_tests, fewest_covers, probed_pieces
from loomfolio.bench.proof.records import ProofPlan
from support.make_metal import MetalMaker


def plan_of(maker):
    return continuity_tests(maker.metal.nets, maker.points)


def texts(maker):
    return [f"{test.a.text} {test.b[0].text}" for test in plan_of(maker)]


def test_a_new_lead_is_one_reading():
    assert texts(MetalMaker("M1:1-M2:4 new")) == ["M1:1 M2:4"]


def test_what_the_work_leaves_alone_is_not_read_again():
    assert texts(MetalMaker("M1:1-M2:4")) == []


def test_of_a_piece_that_was_there_one_point_stands_for_all():
    """The tap on a lead with three ends: old piece, new lead, so one reading of three ends."""
    maker = MetalMaker("M1:1=M1:2", "M1:2-M2:1", "M2:1-M3:1 new")
    (test,) = plan_of(maker)
    assert test.b[0].text == "M3:1" or test.a.text == "M3:1"


def test_a_splice_under_its_sleeve_is_never_probed():
    maker = MetalMaker("M1:1-S1 new", "S1-M2:1 new", "S1-L1:1 new")
    assert sorted(texts(maker)) == ["M1:1 L1:1", "M1:1 M2:1"]


def test_an_in_line_pair_is_left_mated():
    assert texts(MetalMaker("M1:1-X1:1 new", "X1:1~X2:1", "X2:1-M2:1 new")) == ["M1:1 M2:1"]


def test_high_voltage_is_left_to_those_trained_for_it():
    assert texts(MetalMaker("M1:1-M2:1 new", classes={"M1:1": "high voltage"})) == []


def test_the_reading_says_what_is_unplugged_and_what_is_out():
    (test,) = plan_of(MetalMaker("F1:2-M1:4 new"))
    assert test.conditions.unplugged == ("M1",)
    assert test.conditions.taken_out == ("F1",)
    assert {test.a.how, test.b[0].how} == {
        "fuse out, at the clip of its socket",
        "unplugged, from the mating side, with a fitting test pin",
    }


def test_the_limit_is_leads_contacts_and_meter():
    """2 m of 0.5 mm2: 37.1 ohm/km (ISO 6722-1:2011, from memory in the reference tables)."""
    (test,) = plan_of(MetalMaker("M1:1-M2:4 new 0.5mm2 2m"))
    assert test.limit.high.value == pytest.approx(2 * 0.0371 + 2 * 0.005 + 0.2, rel=0.02)
    assert "contact" in test.limit.high.why()


def test_without_a_length_a_stated_limit_stands_in():
    (test,) = plan_of(MetalMaker("M1:1-M2:4 new 0.5mm2"))
    assert (test.limit.high.value, test.limit.high.name) == (
        1.0,
        "continuity of a lead of unknown length",
    )


# ---------------------------------------------------------------------------------- laws, at random

PINS = [f"M{module}:{pin}" for module in range(1, 5) for pin in range(1, 5)]
LEADS = st.lists(
    st.tuples(st.sampled_from(PINS), st.sampled_from(PINS), st.booleans()).filter(
        lambda lead: lead[0] != lead[1]
    ),
    min_size=1,
    max_size=12,
    unique_by=lambda lead: frozenset(lead[:2]),
)


def maker_of(leads):
    return MetalMaker(*(f"{a}-{b}{' new' if is_new else ''}" for a, b, is_new in leads))


@given(LEADS)
def test_readings_are_the_bound_of_a_spanning_forest(leads):
    """Worked out by networkx: pieces left when the new leads go, less the nets that hold them."""
    whole = nx.Graph((a, b) for a, b, _ in leads)
    left = nx.Graph((a, b) for a, b, is_new in leads if not is_new)
    left.add_nodes_from(whole)
    touched = {a for a, _, is_new in leads if is_new}
    nets = [net for net in nx.connected_components(whole) if touched & net]
    pieces = sum(nx.number_connected_components(left.subgraph(net)) for net in nets)
    assert len(plan_of(maker_of(leads))) == pieces - len(nets)


@given(LEADS, st.data())
def test_any_open_new_lead_is_found(leads, data):
    """A net that falls in two has at least one reading across."""
    new = [lead for lead in leads if lead[2]]
    if not new:
        return
    broken = data.draw(st.sampled_from(new))
    rest = nx.Graph((a, b) for a, b, _ in leads if (a, b) != broken[:2])
    rest.add_nodes_from(pin for lead in leads for pin in lead[:2])
    if nx.has_path(rest, *broken[:2]):
        return
    read = [(t.a.text, t.b[0].text) for t in plan_of(maker_of(leads))]
    assert any(not nx.has_path(rest, a, b) for a, b in read)


@given(LEADS)
def test_a_probe_is_moved_once_more_than_there_are_readings_in_a_net(leads):
    maker = maker_of(leads)
    tests = plan_of(maker)
    nets = {test.proves[0][0] for test in tests}
    assert ProofPlan(tests).probe_moves <= len(tests) + len(nets)


CHOICES = st.lists(
    st.lists(st.sampled_from("abcdefg"), min_size=1, max_size=4, unique=True), max_size=7
)


@given(CHOICES)
def test_no_smaller_set_of_covers_would_do(choices):
    found = fewest_covers(choices)
    assert all(found & set(own) for own in choices)
    smaller = (set(some) for some in combinations("abcdefg", max(len(found) - 1, 0)))
    assert not found or all(any(not some & set(own) for own in choices) for some in smaller)


def test_a_piece_is_read_where_something_is_open_already():
    """The old lead from M2 to M3 is read at M3, where the new lead of another net ends too."""
    maker = MetalMaker("M2:1-M3:1", "M3:1-M4:1 new", "M3:2-M4:2 new")
    places = {probe.place for test in plan_of(maker) for probe in test.probes}
    assert places == {"M3", "M4"}
    assert len(probed_pieces(maker.metal.nets[0], maker.points)) == 2
