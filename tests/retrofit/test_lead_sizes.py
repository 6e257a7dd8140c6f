"""Sizes of planned leads: what they carry, the fuse before them, and the trailer lead that no fuse would save."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomfolio.project import edits
from loomfolio.retrofit import PlannedLead, WorkPlan
from support.make_work import Shop


def make_trailer(
    *, fuse_a: float, load_a: float = 1.0, size: str = "", length_m: float = 12.0
) -> Shop:
    """A trailer lamp 12 m behind a fuse, its current back over chassis."""
    shop = Shop()
    shop.part("G1", "battery")
    shop.part("F7", "fuse", ways=(("passes", "1", "2"),))
    shop.part("X9", "socket", new=True)
    shop.lead("G1:+", "F7:1")
    shop.lead("F7:2", "X9:4", new=True)
    shop.supply("G1:+")
    shop.fuse("F7", fuse_a)
    shop.load("X9:4", load_a)
    shop.absent("X9")
    shop.seen("F7:2", "empty")
    shop.zone("All", "F7", "X9", is_wet=False, ambient_c=40, vibration="low")
    shop.choose("The lead from F7:2", "lead into cavity", size=size, length_m=length_m)
    return shop


def lead_of(plan: WorkPlan) -> PlannedLead:
    (lead,) = plan.leads
    return lead


def stops(plan: WorkPlan) -> list[str]:
    return [one.bound.title for one in plan.findings if one.severity == "stop" and one.bound]


def test_a_trailer_lead_of_035_behind_15_a_is_refused_for_no_short_opens_that_fuse():
    plan = make_trailer(fuse_a=15, size="0.35 mm²").plan()
    assert "short at the far end, hot" in stops(plan)
    lead = lead_of(plan)
    assert not lead.released
    short = next(b for b in lead.bounds if b.title == "short at the far end, hot")
    assert 12 < short.number.value < 16  # about 15 A, where 30 A would be needed
    assert short.limit.value == 30


def test_the_same_lead_behind_5_a_is_protected_and_fails_for_drop_and_handling_only():
    """What the fuse asks is met; 0.65 V over 12 m and 0.35 mm² in a bundle are told, not hidden."""
    plan = make_trailer(fuse_a=5, size="0.35 mm²").plan()
    assert set(stops(plan)) == {"mechanical minimum", "voltage drop"}


def test_a_half_square_behind_5_a_is_accepted():
    plan = make_trailer(fuse_a=5, size="0.5 mm²").plan()
    assert stops(plan) == []
    lead = lead_of(plan)
    assert (lead.released, lead.size, lead.fuse_text) == (True, "0.5 mm²", "F7, 5 A")
    assert lead.load_a.value == 1.0
    assert "load at X9:4" in lead.load_a.why()


def test_without_a_size_asked_for_the_smallest_that_meets_every_bound_is_taken():
    lead = lead_of(make_trailer(fuse_a=15).plan())
    assert lead.sizing.chosen.label == lead.size
    assert lead.area_mm2 > 0.35
    assert all(bound.is_met for bound in lead.bounds)
    assert not lead.sizing.is_confirmed  # the vehicle series is from memory, and says so


@settings(max_examples=25)
@given(
    st.sampled_from([3, 5, 10, 15, 20, 30]),
    st.sampled_from([3, 5, 10, 15, 20, 30]),
    st.sampled_from([2.0, 6.0, 12.0]),
)
def test_a_larger_fuse_never_makes_a_smaller_lead(one_a, other_a, length_m):
    small, large = sorted((one_a, other_a))
    areas = [
        lead_of(make_trailer(fuse_a=fuse, length_m=length_m).plan()).area_mm2
        for fuse in (small, large)
    ]
    assert areas[0] <= areas[1]


def test_a_size_that_no_series_has_is_told_and_another_is_reckoned():
    lead = lead_of(make_trailer(fuse_a=5, size="0.37 mm²").plan())
    assert any("0.37" in doubt for doubt in lead.doubts)
    assert lead.size


def test_american_sizes_stay_american():
    assert lead_of(make_trailer(fuse_a=5, size="18 AWG").plan()).size == "18 AWG"


def test_a_lead_that_fails_may_be_taken_in_spite_of_it_and_the_reason_is_told():
    shop = make_trailer(fuse_a=15, size="0.35 mm²")
    (operation,) = shop.project.operations
    shop.project = edits.change_operation(
        shop.project, operation.model_copy(update={"in_spite_of": "The module limits it to 2 A"})
    )
    plan = shop.plan()
    assert stops(plan) == []
    assert lead_of(plan).released
    assert any("The module limits it to 2 A" in one.sentence for one in plan.findings)


def test_a_length_to_measure_leaves_the_size_of_the_documents_and_says_so():
    shop = make_trailer(fuse_a=5)
    (operation,) = shop.project.operations
    measured = operation.model_copy(update={"is_measured_on_vehicle": True, "length_m": None})
    shop.project = edits.change_operation(shop.project, measured)
    lead = lead_of(shop.plan())
    assert (lead.length_m, lead.sizing) == (None, None)
    assert lead.length_reason == "measure on the vehicle, as chosen"
    assert any("once it is measured" in doubt for doubt in lead.doubts)


def make_two_lamps() -> Shop:
    """Two lamps of X9 return over X9:3: each lead its lamp, the ground both."""
    shop = Shop()
    shop.part("G1", "battery")
    shop.part("GND1", "ground point", reference="chassis")
    shop.part("X9", "socket", new=True)
    for number in (1, 2):
        name = f"F{number}"
        shop.part(name, "fuse", ways=(("passes", "1", "2"),))
        shop.lead("G1:+", f"{name}:1")
        shop.lead(f"{name}:2", f"X9:{number}", new=True)
        shop.fuse(name, 10)
        shop.load(f"X9:{number}", 2.0 + number, "X9:3")
    shop.lead("X9:3", "GND1:1", new=True)
    shop.supply("G1:+")
    return shop


def test_each_lead_carries_its_own_lamp_and_the_ground_carries_both():
    shop = make_two_lamps()
    for words in ("X9:1 & F1:2", "X9:2 & F2:2", "X9:3 & GND1"):
        shop.choose(words, "lead into cavity", length_m=3.0)
    loads = {
        frozenset(end.text for end in lead.ends): lead.load_a.value for lead in shop.plan().leads
    }
    assert loads == {
        frozenset({"X9:1", "F1:2"}): 3.0,
        frozenset({"X9:2", "F2:2"}): 4.0,
        frozenset({"X9:3", "GND1"}): 7.0,
    }


def test_a_signal_gets_the_documents_size_unless_handling_asks_for_more():
    shop = Shop()
    shop.part("A1")
    shop.part("B2", "sensor", new=True)
    for number, area in ((1, 1.0), (2, 0.35), (3, None)):
        shop.lead(f"A1 C1:{number}", f"B2:{number}", new=True, area=area)
    shop.zone("Rear", "A1", "B2", ambient_c=40, vibration="high", is_wet=True)
    for number in (1, 2, 3):
        shop.choose(f"A1 C1:{number} to B2:{number}", "lead into cavity")
    drawn, thin, free = shop.plan().leads
    assert [lead.size for lead in (drawn, thin, free)] == ["1 mm²", "0.75 mm²", "0.75 mm²"]
    assert "The documents show 0.35 mm², too thin to handle there: 0.75 mm²" in thin.doubts
    assert free.sleeve == "ribbed tube against chafing"
    assert {end.seal for end in free.ends} == {"single-wire seal"}


def test_a_relay_of_the_other_layout_is_stopped_and_its_numbers_are_told():
    shop = make_two_lamps()
    shop.part("K5", "relay", new=True, ways=(("passes", "30", "87"), ("loads", "85", "86")))
    shop.project = edits.note_relay(
        shop.project, part=shop.parts["K5"], suppression="diode", layout="B", socket_layout="A"
    ).project
    shop.choose("The relay K5", "fit part")
    plan = shop.plan()
    assert any("the feed would go to the coil" in one.sentence for one in plan.findings)
    (relay,) = [part for part in plan.parts if part.part == shop.parts["K5"]]
    told = " | ".join(relay.notes)
    assert "30 meets 86" in told
    assert "86 is plus" in told


def test_a_fuse_is_rated_by_its_loads_where_nothing_is_noted_and_coloured_by_the_standard():
    """Source: ISO 8820-3, 5 A is light brown (tan), 10 A red (fuses.csv)."""
    shop = Shop()
    shop.part("G1", "battery")
    shop.part("F9", "fuse", new=True, ways=(("passes", "1", "2"),))
    shop.part("E1", "lamp")
    shop.lead("G1:+", "F9:1", new=True)
    shop.lead("F9:2", "E1:1", new=True)
    shop.supply("G1:+")
    shop.load("E1:1", 6.0)
    shop.choose("The fuse F9", "fit part")
    (fuse,) = shop.plan().parts
    assert fuse.rating.startswith("10 A")
    assert fuse.colour == "red"
    assert any("note its rating" in note for note in fuse.notes)


def test_a_fuse_of_its_own_protects_a_thin_lead_where_the_feeder_would_not():
    shop = make_trailer(fuse_a=30, size="0.5 mm²")
    assert "110 % of the fuse for ever" in stops(shop.plan())
    (operation,) = shop.project.operations
    own = operation.model_copy(update={"fuse_a": 5.0, "fuse_distance_mm": 120.0})
    shop.project = edits.change_operation(shop.project, own)
    plan = shop.plan()
    assert stops(plan) == []
    assert lead_of(plan).fuse_text == "its own, 5 A"
    (fuse,) = plan.parts
    assert (fuse.what, fuse.rating) == (
        "fuse in a holder in line, 120 mm from the pick-up",
        "5 A, regular blade (medium)",
    )


@pytest.mark.parametrize(("feeder_a", "is_stopped"), [(5, False), (30, True)])
def test_a_fuse_of_its_own_may_lie_further_off_only_where_the_feeders_rating_holds(
    feeder_a, is_stopped
):
    """Source: 33 CFR 183.455 and ABYC E-11, 7 in (178 mm), rounded; from memory."""
    shop = make_trailer(fuse_a=feeder_a, size="0.75 mm²")
    (operation,) = shop.project.operations
    own = operation.model_copy(update={"fuse_a": 3.0, "fuse_distance_mm": 600.0})
    shop.project = edits.change_operation(shop.project, own)
    plan = shop.plan()
    assert ("fuse of the pick-up" in stops(plan)) == is_stopped
    assert lead_of(plan).released != is_stopped


@pytest.mark.parametrize(
    ("limits", "title"),
    [
        pytest.param({"greatest_area_mm2": 0.35}, "greatest area of MCP at X9:4", id="thick"),
        pytest.param({"greatest_outside_mm": 1.2}, "greatest diameter of MCP at X9:4", id="seal"),
        pytest.param({"current_a": 0.5}, "current of MCP at X9:4", id="current"),
        pytest.param({"least_area_mm2": 1.5}, "least area of MCP at X9:4", id="thin"),
    ],
)
def test_what_terminal_and_seal_take_is_held_against_the_lead(limits, title):
    shop = make_trailer(fuse_a=5, size="0.5 mm²")
    half = shop.pin("X9:4").half_key
    shop.project = edits.note_terminal(shop.project, half=half, name="MCP", **limits).project
    assert stops(shop.plan()) == [title]


def test_the_terminal_of_a_cavity_comes_before_that_of_its_housing():
    shop = make_trailer(fuse_a=5, size="0.5 mm²")
    half = shop.pin("X9:4").half_key
    p = edits.note_terminal(shop.project, half=half, name="small", greatest_area_mm2=0.2).project
    p = edits.note_terminal(p, half=half, pins=("4",), name="big", greatest_area_mm2=2.5).project
    shop.project = p
    assert stops(shop.plan()) == []


def test_a_relay_says_what_its_coil_draws_where_its_ohms_are_noted():
    """Source: relays.csv, 85 ohm at 12 V draw 141 mA."""
    shop = make_two_lamps()
    shop.part("K5", "relay", new=True, ways=(("passes", "30", "87"), ("loads", "85", "86")))
    ends = (shop.pin("K5:85"), shop.pin("K5:86"))
    shop.project = edits.note_resistance(shop.project, ends=ends, ohm=85).project
    shop.choose("The relay K5", "fit part")
    (relay,) = shop.plan().parts
    assert relay.figure.value == pytest.approx(0.141, abs=0.0005)
