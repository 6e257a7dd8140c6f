"""Zones, ways, placements, operations, steps and effort: kept, changed, withdrawn, and what cannot be kept."""

from __future__ import annotations

import pytest

from loomfolio.basics import EditError, MmPoint
from loomfolio.project import HalfKey, Outline, Project, edits, faults
from support.make_project import make_two_sheets

MADE = make_two_sheets()
P = MADE.project
PART = P.parts[0].id


def two_zones() -> tuple[Project, str, str]:
    p, rear = edits.add_zone(P, name="Rear left", is_wet=True, covers=("bumper",))
    p, cab = edits.add_zone(p, name="Cab", ambient_c=60)
    return p, rear, cab


def test_a_zone_goes_with_its_ways_and_placements_and_leaves_the_steps():
    p, rear, cab = two_zones()
    p, _ = edits.add_zone_way(p, zones=(rear, cab), length_m=3.2, opening_mm=25)
    p, _ = edits.place_thing(p, part=PART, zone=rear)
    p, _ = edits.add_work_step(p, title="Drain the box", zone=rear)
    p = edits.remove_zone(p, rear)
    assert [zone.name for zone in p.zones] == ["Cab"]
    assert (p.zone_ways, p.placements) == ((), ())
    assert [(step.title, step.zone) for step in p.work_steps] == [("Drain the box", None)]
    assert list(faults(p)) == []


def test_a_part_lies_in_one_zone_and_its_half_may_lie_in_another():
    p, rear, cab = two_zones()
    half = HalfKey(part=PART, connector="C1")
    p, first = edits.place_thing(p, part=PART, zone=rear)
    p, own = edits.place_thing(p, part=PART, half=half, zone=rear)
    p, again = edits.place_thing(p, part=PART, zone=cab)
    assert first == again != own
    assert {(one.half, one.zone) for one in p.placements} == {(None, cab), (half, rear)}
    assert edits.remove_part(p, PART).placements == ()


def test_the_outline_of_a_zone_goes_with_its_sheet_and_the_zone_stays():
    outline = Outline(sheet=MADE.sheet, points=(MmPoint(0, 0), MmPoint(10, 0), MmPoint(10, 5)))
    p, zone = edits.add_zone(P, name="Rear left", outline=outline)
    p = edits.remove_sheet(p, MADE.sheet)
    assert [(one.id, one.outline) for one in p.zones] == [(zone, None)]
    assert list(faults(p)) == []


def test_the_same_offer_chosen_again_keeps_what_was_set_by_hand():
    p, first = edits.choose_operation(P, gap="lead: a", offer="o1", kind="tap", size="0.5 mm²")
    p, again = edits.choose_operation(p, gap="lead: a", offer="o1", kind="tap", distance_mm=60)
    (chosen,) = p.operations
    assert first == again
    assert (chosen.size, chosen.distance_mm) == ("0.5 mm²", 60)
    p, _ = edits.choose_operation(p, gap="lead: a", offer="o2", kind="butt splice")
    assert [(one.kind, one.size) for one in p.operations] == [("butt splice", "")]


def test_an_order_turned_round_takes_the_place_of_the_other():
    p, _ = edits.order_steps(P, first="a", then="b", reason="the lift is free")
    p, _ = edits.order_steps(p, first="b", then="a")
    assert [(one.first, one.then) for one in p.step_orders] == [("b", "a")]


def test_effort_of_one_kind_of_work_stands_once():
    p, _ = edits.set_effort(P, work="joint", hours_least=0.2, hours_most=0.4)
    p, row = edits.set_effort(p, work=" joint ", hours_least=0.3, hours_most=0.5, cost=2.5)
    assert [(one.hours_least, one.cost) for one in p.effort_rows] == [(0.3, 2.5)]
    assert edits.withdraw_effort(p, row).effort_rows == ()


def test_a_housing_says_which_leads_its_terminals_take_and_goes_with_its_part():
    half = HalfKey(part=PART, connector="C1")
    p, first = edits.note_terminal(P, half=half, name="MCP 2.8", greatest_area_mm2=2.5)
    p, again = edits.note_terminal(p, half=half, name="MCP 2.8", greatest_area_mm2=1.0)
    p, own = edits.note_terminal(p, half=half, pins=("1",), name="MCP 6.3", current_a=30)
    assert first == again != own
    assert [(one.pins, one.greatest_area_mm2) for one in p.terminals] == [((), 1.0), (("1",), None)]
    assert edits.remove_terminals(p, [own]).terminals[0].id == first
    assert edits.remove_part(p, PART).terminals == ()


@pytest.mark.parametrize(
    ("edit", "said"),
    [
        pytest.param(
            lambda p, a, b: edits.add_zone(p, name="cab"), "already a zone called", id="name"
        ),
        pytest.param(
            lambda p, a, b: edits.add_zone_way(p, zones=(a, a), length_m=1),
            "a way leads from one zone to another",
            id="circle",
        ),
        pytest.param(
            lambda p, a, b: edits.add_zone_way(p, zones=(a, b), length_m=0), "length_m", id="length"
        ),
        pytest.param(
            lambda p, a, b: edits.place_thing(p, part=PART, zone="zone-999"),
            "the zone zone-999, which the project does not hold",
            id="no zone",
        ),
        pytest.param(
            lambda p, a, b: edits.place_thing(p, part=PART, half=HalfKey(part="part-999"), zone=a),
            "the half belongs to another part",
            id="other half",
        ),
        pytest.param(
            lambda p, a, b: edits.order_steps(p, first="x", then="x"),
            "a step cannot come before itself",
            id="order",
        ),
        pytest.param(
            lambda p, a, b: edits.set_effort(p, work="joint", hours_least=2, hours_most=1),
            "the most hours are fewer than the least",
            id="effort",
        ),
        pytest.param(
            lambda p, a, b: edits.set_effort(p, work=" ", hours_least=0, hours_most=1),
            "Effort is that of a kind of work; name it.",
            id="no work",
        ),
    ],
)
def test_what_cannot_be_kept_is_refused_in_a_sentence(edit, said):
    p, rear, cab = two_zones()
    with pytest.raises(EditError, match=said):
        edit(p, rear, cab)
