"""Offers: every gap has its ways, the least cutting first, and what must not be says why."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given, settings

from loomfolio.project import HalfKey, Specimen, edits
from loomfolio.retrofit import GapKind, all_offers, job_gaps, take_best
from loomfolio.retrofit.work.offers import DRAFTS
from support.make_fits import Drawn, vehicles_in_fits
from support.make_work import OPTION, Shop, make_lamp_shop


def kinds(offers: object) -> list[str]:
    return list(dict.fromkeys(offer.kind for offer in offers))


# ------------------------------------------------------------------------------------ laws of offers


def test_there_is_a_way_to_draft_offers_for_every_kind_of_gap():
    assert set(DRAFTS) == set(get_args(GapKind))


@settings(max_examples=40)
@given(vehicles_in_fits())
def test_every_gap_has_offers_and_they_stand_in_their_rank(drawn: Drawn):
    job = job_gaps(drawn.project, {})
    found = all_offers(drawn.project, job)
    assert set(found) == {gap.key for gap in job.open_in_scope}
    for key, offers in found.items():
        assert offers, key
        assert len({offer.key for offer in offers}) == len(offers)
        allowed = [offer for offer in offers if not offer.forbidden]
        assert offers[: len(allowed)] == tuple(allowed)
        plain = [offer.cuts for offer in allowed if offer.kind != "solder to board"]
        assert plain == sorted(plain)
        boards = [offer.kind == "solder to board" for offer in allowed]
        assert boards == sorted(boards)


@settings(max_examples=20)
@given(vehicles_in_fits())
def test_the_order_of_records_changes_no_offer(drawn: Drawn):
    turned = drawn.project.model_copy(
        update={
            name: getattr(drawn.project, name)[::-1]
            for name in ("leads", "parts", "survey", "mates")
        }
    )
    there = all_offers(drawn.project, job_gaps(drawn.project, {}))
    back = all_offers(turned, job_gaps(turned, {}))
    assert {key: {o.key for o in own} for key, own in there.items()} == {
        key: {o.key for o in own} for key, own in back.items()
    }


# ------------------------------------------------------------------------------------ single gaps


def test_a_missing_lead_goes_into_empty_cavities_before_anything_is_cut():
    shop = make_lamp_shop()
    best = shop.offers("The lead from A1 C1:5")[0]
    assert (best.kind, best.cuts, best.joints) == ("lead into cavity", 0, 0)
    assert best.title == "A lead A1 C1:5 to X9:5 with a terminal in A1 C1:5 and a terminal in X9:5"


def test_a_net_that_is_there_can_be_picked_up_at_each_of_its_leads_and_plugs_with_length_and_reach():
    shop = make_lamp_shop()
    shop.lead("A1 C1:1", "X9:1", new=True, area=1.5)
    shop.zone("Cab", "A1", covers=("dash",))
    shop.zone("Rear", "E1", "X9", "GND1", covers=("bumper",))
    shop.way("Cab", "Rear", 4.0, label="sill")
    offers = shop.offers("The lead from A1 C1:1 to X9:1")
    taps = [offer for offer in offers if offer.kind == "tap"]
    assert {o.pick_up.where for o in taps} == {
        "the lead A1 C1:1 to E1:1, near A1 C1",
        "the lead A1 C1:1 to E1:1, near E1",
    }
    near_lamp = next(o for o in taps if o.pick_up.where.endswith("near E1"))
    assert near_lamp.pick_up.reach == "take off bumper"
    assert near_lamp.length_m.value == pytest.approx(0.5 + 2 * 0.15)  # within one zone, two ends
    near_module = next(o for o in taps if o.pick_up.where.endswith("near A1 C1"))
    assert near_module.length_m.value == pytest.approx(4.0 + 0.5 + 2 * 0.15)
    assert offers.index(near_lamp) < offers.index(near_module)
    assert offers[0].kind == "adaptor loom"
    both = next(o for o in offers if o.kind == "lead into cavity")
    assert "two leads do not go into one terminal" in both.forbidden
    assert offers[-1].forbidden


def test_the_board_of_a_module_comes_last_and_is_counted_from_both_directions():
    shop = make_lamp_shop()
    for number in (2, 3, 4):
        shop.lead(f"A1 C1:{number}", f"E1:{number + 1}")
    last = [o for o in shop.offers("The lead from A1 C1:5") if not o.forbidden][-1]
    assert last.kind == "solder to board"
    assert any("the 5th from the first and the 1st from the last of 5" in s for s in last.steps)
    assert any("hole" in step for step in last.steps)
    assert any("Seal" in s for s in last.steps)


def test_a_cut_stub_is_extended_by_a_butt_splice():
    shop = make_lamp_shop()
    shop.seen("A1 C1:5", "cut")
    stub = next(o for o in shop.offers("The lead from A1 C1:5") if o.kind == "butt splice")
    assert stub.title == "Extend the stub at A1 C1:5 to X9:5"
    assert (stub.cuts, stub.joints) == (0, 1)


def test_a_lead_that_goes_elsewhere_is_moved_before_it_is_cut():
    shop = make_lamp_shop()
    shop.lead("A1 C1:7", "E1:7", gone=True)
    shop.lead("A1 C1:7", "E1:8", new=True)
    offers = shop.offers("lead goes elsewhere")
    assert offers[0].kind == "move terminal"
    assert {"lead into cavity", "butt splice"} <= set(kinds(offers))
    cut = next(o for o in offers if o.kind == "butt splice")
    (cap,) = cut.caps
    assert cap.stub == "the stub at E1:7"


def make_break_in() -> Shop:
    """The lead A1:7 to E1:7 is to run over the new module M5: in at 1, out at 2."""
    shop = make_lamp_shop()
    shop.part("M5", "module", new=True)
    shop.lead("A1 C1:7", "E1:7", gone=True, colour="BU")
    shop.lead("A1 C1:7", "M5 C1:1", new=True, area=0.5)
    shop.lead("M5 C1:2", "E1:7", new=True, area=0.5)
    return shop


def test_one_cut_leads_both_ends_away_and_says_which_stub_is_which():
    shop = make_break_in()
    offer = shop.choose("lead goes elsewhere", "break in")
    assert len(offer.closes) == 2
    first, second = offer.new_leads
    assert {first.ends[0].stub, second.ends[0].stub} == {
        "the stub from A1 C1:7",
        "the stub from E1:7",
    }
    plan = shop.plan()
    (joint,) = plan.joints
    assert joint.kind == "break in"
    told = " | ".join(joint.stubs)
    assert "to M5 C1:1, joined to the stub from A1 C1:7" in told
    assert "to M5 C1:2, joined to the stub from E1:7" in told
    assert not any("E1:7" in key or "M5" in key for key in plan.open_gaps if key.startswith("lead"))


@pytest.mark.parametrize(
    ("kind", "make", "wanted"),
    [
        pytest.param(
            "terminal missing", lambda s: s.seen("A1 C1:5", "empty"), "fit terminal", id="terminal"
        ),
        pytest.param(
            "pin missing in header",
            lambda s: s.header("A1 C1:5", "missing"),
            "swap part",
            id="header",
        ),
        pytest.param(
            "section or driver not populated",
            lambda s: s.header("A1 C1:5", "driver not populated"),
            "swap part",
            id="driver",
        ),
        pytest.param(
            "needs coding",
            lambda s: s.header("A1 C1:5", "needs coding"),
            "code module",
            id="coding",
        ),
        pytest.param(
            "extra lead",
            lambda s: s.lead("A1 C1:8", "E1:8", gone=True),
            "take out lead",
            id="extra",
        ),
        pytest.param("device missing", lambda s: None, "fit part", id="device"),
    ],
)
def test_the_plainest_way_comes_first(kind, make, wanted):
    shop = make_lamp_shop()
    make(shop)
    assert shop.offers(kind)[0].kind == wanted


def test_a_donor_lead_is_offered_where_the_donor_has_it():
    shop = make_lamp_shop()
    ends = tuple(HalfKey(part=shop.parts[n], connector=c) for n, c in (("A1", "C1"), ("X9", "")))
    p, loom = edits.add_harness(shop.project, name="Rear loom", ends=ends)
    p = edits.add_specimen(p, name="Loom of a wreck", kind="donor loom", harness=loom).project
    shop.project = p
    donor = next(o for o in shop.offers("The lead from A1 C1:5") if o.kind == "donor lead")
    assert "Loom of a wreck" in donor.title
    assert donor.new_leads[0].is_bought


# ---------------------------------------------------------------------------------- what must not be


def test_no_joint_and_no_lead_is_made_by_hand_in_high_voltage():
    shop = make_lamp_shop()
    shop.circuit("A1 C1:5", "high voltage")
    offers = shop.offers("The lead from A1 C1:5")
    assert [o.kind for o in offers if not o.forbidden] == ["fit cable"]
    refused = [o for o in offers if o.forbidden]
    assert refused
    assert all(o.treatment == "" for o in refused)
    assert "the maker's assembly is fitted whole" in refused[0].forbidden


@pytest.mark.parametrize(
    ("circuit", "said", "treatment"),
    [
        pytest.param("restraint", "a restraint circuit", "maker's own method", id="restraint"),
        pytest.param("safety", "a safety circuit", "maker's own method", id="safety"),
        pytest.param("sensor ground", "the ground of sensors", "Only a sensor", id="sensor ground"),
        pytest.param("screened", "in a screen", "The screen is carried on", id="screened"),
        pytest.param("bus", "a bus", "Both leads of the pair", id="bus"),
        pytest.param("interlock", "an interlock loop: nothing is joined to it", "", id="interlock"),
    ],
)
def test_a_tap_is_refused_on_circuits_that_stand_none_and_says_what_allows_it(
    circuit, said, treatment
):
    shop = make_lamp_shop()
    shop.lead("A1 C1:1", "X9:1", new=True)
    shop.circuit("A1 C1:1", circuit)
    taps = [o for o in shop.offers("The lead from A1 C1:1 to X9:1") if o.kind == "tap"]
    assert taps
    assert all(said in o.forbidden for o in taps)
    assert all(bool(o.treatment) == bool(treatment) and treatment in o.treatment for o in taps)


def test_traction_minus_never_goes_to_chassis_whatever_is_offered():
    shop = make_lamp_shop()
    shop.lead("A1 C1:9", "GND1:3", new=True)
    shop.circuit("A1 C1:9", "traction minus")
    offers = shop.offers("The lead from A1 C1:9 to GND1")
    assert offers
    assert all("it never goes to chassis" in o.forbidden for o in offers)
    assert all(o.treatment == "" for o in offers)
    project = take_best(shop.project, shop.job)
    assert shop.gap("The lead from A1 C1:9").key not in {one.gap for one in project.operations}


def make_pick_up(*, fused: bool) -> Shop:
    shop = make_lamp_shop()
    shop.part("G1", "battery")
    shop.part("F7", "fuse", ways=(("passes", "1", "2"),))
    shop.lead("G1:+", "F7:1" if fused else "E1:9")
    if fused:
        shop.lead("F7:2", "E1:9")
        shop.fuse("F7", 10)
    shop.supply("G1:+")
    shop.lead("E1:9", "X9:9", new=True, area=0.5)
    return shop


def test_an_unfused_pick_up_is_refused_and_one_behind_a_fuse_is_not():
    bare = [o for o in make_pick_up(fused=False).offers("The lead from E1:9") if o.pick_up]
    assert bare
    assert all("no unfused pick-up" in o.forbidden for o in bare)
    assert all("at most 180 mm from the pick-up" in o.treatment for o in bare)
    behind = [o for o in make_pick_up(fused=True).offers("The lead from E1:9") if o.kind == "tap"]
    assert any(not o.forbidden and "near E1" in o.pick_up.where for o in behind)


@pytest.mark.parametrize(("distance_mm", "is_met"), [(180, True), (181, False)])
def test_the_fuse_of_a_pick_up_lies_at_most_180_mm_from_it(distance_mm, is_met):
    """Source: 33 CFR 183.455 and ABYC E-11, 7 in (178 mm), rounded; from memory."""
    shop = make_pick_up(fused=False)
    shop.choose(
        "The lead from E1:9",
        "tap",
        fuse_distance_mm=distance_mm,
        in_spite_of="An in-line fuse of its own",
        fuse_a=5,
    )
    stops = [f for f in shop.plan().findings if f.severity == "stop"]
    assert [f.bound.title for f in stops] == ([] if is_met else ["fuse of the pick-up"])


def test_a_thick_orange_lead_is_not_made_by_hand_while_its_circuit_is_not_noted():
    shop = make_lamp_shop()
    shop.lead("A1 C9:1", "X9:30", new=True, area=35, colour="OG")
    both = next(o for o in shop.offers("The lead from A1 C9:1") if o.kind == "lead into cavity")
    assert "taken for high voltage" in both.forbidden


def test_ground_studs_are_no_live_pick_ups():
    shop = make_lamp_shop()
    shop.part("G1", "battery")
    shop.lead("G1:-", "GND1:9")
    shop.supply("G1:+")
    assert all("unfused" not in o.forbidden for o in shop.offers("X9:3"))


def test_what_the_target_has_is_named_by_the_option():
    assert OPTION in {name for fit in Shop().project.fits for name in fit.options_with}


def test_a_specimen_without_a_harness_is_no_donor():
    shop = make_lamp_shop()
    shop.project = edits.add_specimen(shop.project, name="Old loom", kind="donor loom").project
    assert any(isinstance(s, Specimen) and s.harness is None for s in shop.project.specimens)
    assert "donor lead" not in kinds(shop.offers("The lead from A1 C1:5"))
