"""Each kind of gap on a small vehicle, what it rests on, and how sure it is."""

from __future__ import annotations

from datetime import date

import pytest

from loomfolio.project import (
    BarEntry,
    CableGroup,
    CavityEntry,
    HalfEntry,
    HalfKey,
    HeaderEntry,
    Known,
    Lead,
    LeadColour,
    LeadEntry,
    Mate,
    PinPair,
    PositionEntry,
)
from loomfolio.retrofit import Gap, find_gaps
from support.make_fits import (
    VAN,
    A,
    B,
    Branch,
    Drawn,
    J,
    K,
    S,
    X,
    make_vehicle_in_fits,
    pin,
)

SEEN = Known(how="seen", on=date(2026, 3, 1))


def lead(number: int, a: object, b: object, when: str = "", **fields: object) -> Lead:
    return Lead(id=f"lead-{100 + number}", ends=(a, b), when=when, **fields)


def saw(kind: type, number: int = 1, **fields: object) -> object:
    return kind(id=f"entry-{200 + number}", specimen=VAN.id, known=SEEN, **fields)


def gaps(*leads: Lead, survey: tuple[object, ...] = (), **fields: object) -> tuple[Gap, ...]:
    drawn = make_vehicle_in_fits(leads, survey, **fields)
    return found_in(drawn)


def found_in(drawn: Drawn) -> tuple[Gap, ...]:
    return find_gaps(drawn.target, drawn.vehicle)


def kinds(found: tuple[Gap, ...]) -> list[str]:
    return [gap.kind for gap in found]


# -------------------------------------------------------------------------------------------- leads


def test_a_lead_that_the_target_alone_has_is_missing():
    (gap,) = gaps(lead(1, pin(A, 1), pin(B, 1), "t"))
    assert gap.kind == "lead missing"
    assert gap.pins == (pin(A, 1), pin(B, 1))
    assert gap.sentence == "The lead from A1 C1:1 to B2 C1:1 is missing"
    assert gap.sureness == "to be looked at"
    assert gap.decides == ("Nobody has looked at A1 C1:1 yet", "Nobody has looked at B2 C1:1 yet")
    assert gap.evidence == (
        "Fit equipped: lead A1 C1:1 to B2 C1:1, stated",
        "Fit base (this vehicle): no lead A1 C1:1 to B2 C1:1",
    )


def test_an_empty_cavity_makes_the_gap_sure_and_asks_for_a_terminal():
    empty = saw(CavityEntry, pin=pin(A, 1), state="empty")
    found = gaps(lead(1, pin(A, 1), pin(B, 1), "t"), lead(2, pin(A, 2), pin(B, 2)), survey=(empty,))
    assert kinds(found) == ["terminal missing", "lead missing"]
    assert [gap.sureness for gap in found] == ["sure", "sure"]
    assert "Survey of Van 7, 2026-03-01: A1 C1:1 is empty" in found[1].evidence


@pytest.mark.parametrize("state", ["terminal without lead", "cut"])
def test_a_terminal_that_is_there_is_not_asked_for_again(state: str):
    bare = saw(CavityEntry, pin=pin(A, 1), state=state)
    assert kinds(gaps(lead(1, pin(A, 1), pin(B, 1)), survey=(bare,))) == ["lead missing"]


def test_a_cavity_that_is_filled_against_the_documents_is_a_question():
    filled = saw(CavityEntry, pin=pin(A, 1), state="filled")
    drawn = make_vehicle_in_fits((lead(1, pin(A, 1), pin(B, 1), "t"),), (filled,))
    (gap,) = found_in(drawn)
    assert any("measure where it goes" in line for line in gap.decides)
    assert drawn.vehicle.contradictions == ("A1 C1:1 is filled; the documents show no lead there",)


def test_a_branch_into_leads_that_are_there_is_told_as_a_branch():
    (gap,) = gaps(
        lead(1, pin(A, 1), pin(S, 1)),
        lead(2, pin(B, 1), pin(S, 2)),
        lead(3, pin(K, "85"), pin(S, 3), "t"),
    )
    assert gap.kind == "branch missing"
    assert gap.sentence == "The branch from K3:85 to S4 is missing"


def test_the_same_net_drawn_in_another_way_is_no_gap():
    through_splice = [
        lead(1, pin(A, 1), pin(S, 1), "t"),
        lead(2, pin(B, 1), pin(S, 2), "t"),
        lead(3, pin(K, "85"), pin(S, 3), "t"),
    ]
    in_a_row = [lead(4, pin(A, 1), pin(B, 1), "!t"), lead(5, pin(B, 1), pin(K, "85"), "!t")]
    assert gaps(*through_splice, *in_a_row) == ()


def test_a_lead_that_goes_elsewhere_is_one_gap():
    (gap,) = gaps(lead(1, pin(A, 1), pin(B, 1), "t"), lead(2, pin(A, 1), pin(B, 2), "!t"))
    assert gap.kind == "lead goes elsewhere"
    assert gap.sentence == "The lead from A1 C1:1 to B2 C1:2 has to go to B2 C1:1 instead"
    assert gap.key == gaps(lead(1, pin(A, 1), pin(B, 1), "t"))[0].key


def test_a_leg_of_a_drawn_joint_that_moves_is_one_gap():
    joints = (
        Branch((pin(A, 1), pin(A, 2), pin(B, 1)), "t"),
        Branch((pin(A, 1), pin(A, 2), pin(B, 2)), "!t"),
    )
    (gap,) = gaps(
        lead(1, pin(A, 1), pin(K, "30")),
        lead(2, pin(A, 2), pin(K, "85")),
        lead(3, pin(B, 1), pin(K, "86")),
        lead(4, pin(B, 2), pin(K, "87")),
        branches=joints,
    )
    assert gap.kind == "lead goes elsewhere"
    assert gap.sentence.endswith("to B2 C1:2 has to go to B2 C1:1 instead")


def test_two_leads_that_are_swapped_are_two_moves():
    found = gaps(
        lead(1, pin(A, 1), pin(B, 1), "t"),
        lead(2, pin(A, 2), pin(B, 2), "t"),
        lead(3, pin(A, 1), pin(B, 2), "!t"),
        lead(4, pin(A, 2), pin(B, 1), "!t"),
    )
    assert kinds(found) == ["lead goes elsewhere", "lead goes elsewhere"]


def test_a_lead_that_the_target_keeps_apart_is_too_much():
    (gap,) = gaps(
        lead(1, pin(A, 1), pin(K, "85")),
        lead(2, pin(B, 1), pin(K, "86")),
        survey=(saw(LeadEntry, ends=(pin(A, 1), pin(B, 1)), state="there"),),
    )
    assert gap.kind == "extra lead"
    assert gap.sureness == "sure"


def test_a_lead_of_which_nobody_knows_where_it_goes_is_a_question():
    strayed = saw(LeadEntry, ends=(pin(A, 1), pin(B, 1)), state="goes elsewhere")
    (gap,) = gaps(lead(1, pin(A, 1), pin(B, 1)), survey=(strayed,))
    assert gap.sureness == "to be looked at"
    assert "A lead at A1 C1:1 goes elsewhere; follow it first" in gap.decides


def test_a_cable_of_which_all_leads_are_missing_is_one_gap_and_else_each_counts():
    leads = [lead(1, pin(A, 1), pin(B, 1), "t"), lead(2, pin(A, 2), pin(B, 2), "t")]
    group = CableGroup(
        id="group-300",
        name="W1",
        kind="screen",
        pins=tuple(one.ends for one in leads),
        screen_ends=(pin(A, 3),),
    )
    (cable,) = gaps(*leads, groups=(group,))
    assert cable.kind == "cable group missing"
    assert "its screen goes to A1 C1:3" in cable.sentence
    half_there = [leads[0], leads[1].model_copy(update={"when": ""})]
    assert kinds(gaps(*half_there, groups=(group,))) == ["lead missing"]


@pytest.mark.parametrize(
    ("colour", "expected"),
    [
        pytest.param(LeadColour(text="gn/wh"), [], id="the same in other letters"),
        pytest.param(LeadColour(text="GN/YE"), ["other colour"], id="another stripe"),
        pytest.param(None, [], id="not noted"),
    ],
)
def test_a_colour_other_than_drawn_is_a_gap(colour: LeadColour | None, expected: list[str]):
    entry = saw(CavityEntry, pin=pin(A, 1), state="filled", colour=colour)
    drawn = lead(1, pin(A, 1), pin(B, 1), colour=LeadColour(text="GN/WH"))
    assert kinds(gaps(drawn, survey=(entry,))) == expected


def test_an_area_other_than_drawn_is_a_gap():
    found = saw(LeadEntry, ends=(pin(A, 1), pin(B, 1)), state="there", area_mm2=0.5)
    (gap,) = gaps(lead(1, pin(A, 1), pin(B, 1), area_mm2=1.0), survey=(found,))
    assert gap.kind == "other area"
    assert gap.sentence.endswith("has 0.5 mm², drawn with 1 mm²")


# ------------------------------------------------------------------------------------- whole things


def test_a_part_that_the_target_alone_has_is_one_gap_with_its_connectors():
    found = gaps(lead(1, pin(K, "85"), pin(A, 1), "t"), parts={K: "t"})
    assert kinds(found) == ["device missing", "lead missing"]
    assert found[0].part == K
    assert found[0].decides == ("Nobody has looked whether K3 is there",)


def test_a_missing_bar_is_one_gap_and_not_many_leads():
    (gap,) = gaps(bars=("", "t"))
    assert gap.kind == "bar missing"
    assert gap.sentence == "J7 lacks bar b: it joins 3, 4, 5"


def test_a_bar_that_was_seen_is_none():
    assert gaps(bars=("", "t"), survey=(saw(BarEntry, part=J, label="b", state="there"),)) == ()


def test_a_half_that_is_not_there_brings_its_mates_with_it():
    gone = saw(HalfEntry, half=HalfKey(part=X, half="B"), state="not there")
    found = gaps(lead(1, pin(A, 1), pin(X, 1, "A")), survey=(gone,))
    assert kinds(found) == ["connector missing"]
    assert found[0].sureness == "sure"


@pytest.mark.parametrize("state", ["dummy plug", "bridge plug"])
def test_a_plug_must_go(state: str):
    bridged = ("1", "2") if state == "bridge plug" else ()
    plug = saw(HalfEntry, half=HalfKey(part=X, half="A"), state=state, bridged=bridged)
    found = gaps(survey=(plug,))
    assert kinds(found) == ["dummy plug or bridge must go"]
    assert found[0].sentence == f"A {state} sits on X8.A and must go"


def test_a_part_on_a_connector_that_the_target_mates_otherwise_must_go():
    """An interlock loop that a dummy plug closes today; the equipped vehicle has X8.B there."""
    plug = Mate(
        id="mate-81",
        a=HalfKey(part=X, half="A"),
        b=HalfKey(part=J),
        pairs=(PinPair(a="1", b="1"), PinPair(a="2", b="2")),
    )
    drawn = make_vehicle_in_fits(parts={J: "!t"}, more_mates=(plug,))
    (gap,) = found_in(drawn)
    assert gap.kind == "dummy plug or bridge must go"
    assert gap.sentence == "J7 must go"


@pytest.mark.parametrize(
    ("state", "kind"),
    [
        pytest.param("missing", "pin missing in header", id="contact"),
        pytest.param("driver not populated", "section or driver not populated", id="driver"),
        pytest.param("needs coding", "needs coding", id="coding"),
    ],
)
def test_what_stands_behind_a_pin_is_a_gap_where_the_target_uses_it(state: str, kind: str):
    entry = saw(HeaderEntry, pin=pin(A, 1), state=state)
    assert kinds(gaps(lead(1, pin(A, 1), pin(B, 1)), survey=(entry,))) == [kind]
    assert kinds(gaps(lead(1, pin(A, 2), pin(B, 1)), survey=(entry,))) == []


@pytest.mark.parametrize(
    "grade",
    ["moulding only", "terminals but no lead", "lead but no part", "part but nothing feeding it"],
)
def test_a_position_of_a_lower_grade_says_what_it_lacks(grade: str):
    found = gaps(survey=(saw(PositionEntry, part=K, grade=grade),))
    assert kinds(found) == ["device position of a lower grade"]
    assert grade in found[0].sentence
    assert found[0].sureness == "sure"


def test_a_bare_moulding_asks_for_its_leads_but_not_for_single_terminals():
    bare = saw(PositionEntry, part=K, grade="moulding only")
    empty = saw(CavityEntry, 2, pin=pin(K, "85"), state="empty")
    found = gaps(lead(1, pin(K, "85"), pin(A, 1)), survey=(bare, empty))
    assert kinds(found) == ["device position of a lower grade", "lead missing"]


def test_a_housing_without_the_cavities_is_one_gap():
    survey = tuple(saw(CavityEntry, n, pin=pin(A, n), state="not there") for n in (1, 2))
    found = gaps(lead(1, pin(A, 1), pin(B, 1)), lead(2, pin(A, 2), pin(B, 2)), survey=survey)
    assert kinds(found) == ["connector missing", "lead missing", "lead missing"]
    assert found[0].sentence == "The housing fitted at A1 C1 has no cavity 1, 2"


# ----------------------------------------------------------------------------------- undetermined


def test_a_lead_that_an_open_option_decides_about_is_a_question():
    drawn = make_vehicle_in_fits((lead(1, pin(A, 1), pin(B, 1), "x"),))
    (gap,) = found_in(drawn)
    assert gap.sureness == "to be looked at"
    assert gap.decides[:2] == (
        "Fit equipped says nothing of x: say whether it is built in",
        "Fit base says nothing of x: say whether it is built in",
    )


def test_a_survey_answers_what_an_open_option_leaves_open():
    there = saw(LeadEntry, ends=(pin(A, 1), pin(B, 1)), state="there")
    assert gaps(lead(1, pin(A, 1), pin(B, 1), "x"), survey=(there,)) == ()


def test_gaps_in_scope_come_first_and_the_rest_is_there():
    leads = (lead(1, pin(A, 1), pin(B, 1), "t"), lead(2, pin(A, 2), pin(K, "85"), "t"))
    drawn = make_vehicle_in_fits(leads)
    found = find_gaps(drawn.target, drawn.vehicle, frozenset({pin(K, "85")}))
    assert [(gap.in_scope, gap.pins[1]) for gap in found] == [
        (True, pin(K, "85")),
        (False, pin(B, 1)),
    ]
