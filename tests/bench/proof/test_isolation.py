"""Isolation: every pair that has to be apart is proved, and a short planted at any of them is found."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.bench.proof.isolation import (
    MOST_CLIPS,
    Surroundings,
    cavities_beside,
    isolation_tests,
    required_pairs,
)
from loomfolio.project import Face
from support.make_metal import MetalMaker


def plan_of(maker):
    metal, points = maker.metal, maker.points
    around = Surroundings(maker.project, metal, points)
    nets = [net for net in metal.nets if net.is_touched]
    pairs = required_pairs({net.key: around.opposites(net) for net in nets})
    return isolation_tests(metal.nets, around, points), pairs


VAN = ("M1:1-L1:1 new", "M1:2-L1:2 new", "M1:3-L2:1", "M1:4-G1", "B1:1-F1:1", "F1:2-M1:8 new")


def test_neighbours_grounds_and_supplies_are_all_held_against():
    tests, _ = plan_of(MetalMaker(*VAN))
    second = next(test for test in tests if test.a.text == "M1:2")
    assert [probe.text for probe in second.b] == ["G1", "B1:1", "M1:3"]
    assert second.conditions.unplugged == ("M1", "L1")


def test_a_lead_to_ground_is_not_held_against_its_own_ground():
    tests, _ = plan_of(MetalMaker("M1:1-G1 new", "M1:2-G1", "B1:1-F1:1"))
    assert [[probe.text for probe in test.b] for test in tests] == [["B1:1"]]


def test_no_clip_is_put_on_high_voltage():
    maker = MetalMaker("M1:1-L1:1 new", "B1:1-M1:2", classes={"B1:1": "high voltage"})
    tests, pairs = plan_of(maker)
    assert tests == ()
    assert pairs == frozenset()


@pytest.mark.parametrize(
    ("pin", "beside"),
    [
        pytest.param("1", "25", id="corner, an empty place across"),
        pytest.param("3", "267", id="end of a row"),
    ],
)
def test_neighbours_lie_above_below_beside_and_across(pin, beside):
    face = Face(rows=(("1", "2", "3"), ("5", "6", "7")))
    found = cavities_beside(face, pin, ())
    assert found == set(beside) | ({"6"} if pin == "1" else set())


def test_without_a_face_neighbours_are_those_before_and_after():
    assert cavities_beside(None, "9", ["1", "8", "10", "11"]) == {"8", "10"}


PINS = [f"M{module}:{pin}" for module in (1, 2) for pin in range(1, 6)]
RANDOM_LEADS = st.lists(
    st.tuples(st.sampled_from(PINS), st.sampled_from([*PINS, "G1", "G2", "B1:1"]), st.booleans()),
    min_size=2,
    max_size=9,
).map(lambda leads: [lead for lead in leads if lead[0] != lead[1]])


def random_maker(leads):
    return MetalMaker(
        "B1:1-F9:1",
        "M9:9-G1",
        "M9:8-G2",
        *(f"{a}-{b}{' new' if is_new else ''}" for a, b, is_new in leads),
    )


@given(RANDOM_LEADS)
def test_every_pair_is_proved_by_brute_force(leads):
    """All pairs of nets, grounds and supplies, one by one, against what the readings hold apart."""
    tests, pairs = plan_of(random_maker(leads))
    proved = {frozenset(pair) for test in tests for pair in test.proves}
    assert {frozenset(pair) for pair in pairs} <= proved
    for a, b in pairs:
        reading = [t for t in tests if (a, b) in t.proves]
        assert reading, f"a short of {a} to {b} would not be seen"


@given(RANDOM_LEADS)
def test_a_sound_vehicle_reads_open_everywhere(leads):
    """No reading holds a net against itself, or against a ground that it is joined to."""
    maker = random_maker(leads)
    nets = maker.metal.nets
    for test in plan_of(maker)[0]:
        own = next(net for net in nets if test.a.node in net.nodes)
        for probe in test.b:
            others = [net for net in nets if probe.node in net.nodes]
            assert all(net.key != own.key for net in others)


@given(RANDOM_LEADS)
def test_one_reading_for_each_net_and_no_more_clips_than_hold(leads):
    tests, _ = plan_of(random_maker(leads))
    assert all(len(test.b) <= MOST_CLIPS for test in tests)
    for one, other in combinations(tests, 2):
        assert one.key != other.key
        assert one.a.node != other.a.node or len(one.b) == MOST_CLIPS
