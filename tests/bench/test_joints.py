"""Leads, the joints where they meet, and what is cut."""

from __future__ import annotations

import pytest

from loomfolio.bench import bench_leads, cut_list, joints_of
from loomfolio.project import Known, Lead, LeadColour, Specimen, pin_text
from support.make_bench import OPEN_JOIN, MapMaker

VAN = Specimen(id="specimen-1", name="this van", kind="this vehicle")
DONOR = Specimen(id="specimen-2", name="the donor", kind="donor loom")


@pytest.fixture
def maker():
    made = MapMaker()
    made.kind("S12", "splice")
    return made


def leads_of(maker, *, leads=(), scope=None):
    project = maker.project.model_copy(update={"specimens": (VAN, DONOR), "leads": tuple(leads)})
    return project, bench_leads(project, maker.rows, scope)


def joints(maker):
    project, leads = leads_of(maker)
    return joints_of(project, leads)


def cut(maker, **options):
    project, leads = leads_of(maker, **options)
    own = [lead for lead in leads if lead.in_scope]
    return [
        (
            piece.leads,
            pin_text(project, piece.a),
            pin_text(project, piece.b) if piece.b else piece.joint,
        )
        for piece in cut_list(own, joints_of(project, own))
    ]


# ------------------------------------------------------------------------------------------ leads


def test_leads_are_numbered_as_the_map_lists_them(maker):
    maker.lead("E7 C1:1", "E8:1")
    maker.lead("E7 C1:2", None)
    _, leads = leads_of(maker)
    assert [lead.number for lead in leads] == [1, 2]
    assert [len(lead.pins) for lead in leads] == [2, 1]
    assert leads[1].other(leads[1].row.a) is None


def test_open_sentences_say_each_thing_once(maker):
    maker.lead("E7 C1:1", "E8:1", opens=(OPEN_JOIN, OPEN_JOIN))
    maker.lead("E7 C1:2", None, opens=(OPEN_JOIN,))
    _, leads = leads_of(maker)
    assert leads[0].open_sentences == (OPEN_JOIN,)
    assert leads[1].open_sentences == ("Its other end is not known", OPEN_JOIN)


@pytest.mark.parametrize(
    ("known", "is_seen"),
    [
        (Known(how="seen", source="this van"), True),
        (Known(how="measured", source="specimen-1"), True),
        (Known(how="seen", source="the donor"), False),
        (Known(how="seen"), False),
        (Known(how="printed", source="this van"), False),
        (Known(how="inferred", source="this van"), False),
    ],
    ids=["seen", "measured", "on the donor", "nobody says where", "printed", "inferred"],
)
def test_seen_is_only_what_was_looked_at_in_the_vehicle_of_the_job(maker, known, is_seen):
    maker.lead("E7 C1:1", "E8:1", known=known)
    _, (lead,) = leads_of(maker)
    assert lead.is_seen is is_seen


def test_lead_that_is_also_recorded_brings_its_length_and_whether_it_was_seen(maker):
    maker.lead("E7 C1:1", "E8:1")
    ends = (maker.pin("E8:1"), maker.pin("E7 C1:1"))
    recorded = Lead(
        id="lead-1", ends=ends, length_m=2.4, known=Known(how="seen", source="this van")
    )
    _, (lead,) = leads_of(maker, leads=[recorded])
    assert lead.length_m == 2.4
    assert lead.is_seen


# ----------------------------------------------------------------------------------------- joints


def test_splice_has_an_end_for_each_lead_that_comes_to_it(maker):
    maker.lead("E7 C1:1", "S12:1", "GN", 0.5, net="STOP")
    maker.lead("S12:2", "E8:1", "GN/WH", 1.5, net="STOP")
    maker.lead("E7 C1:2", "E8:2")
    (joint,) = joints(maker)
    assert (joint.name, joint.kind, joint.net) == ("S12", "splice", "STOP")
    assert [end.leads for end in joint.ends] == [(1,), (2,)]
    assert [end.pin for end in joint.ends] == [maker.pin("E7 C1:1"), maker.pin("E8:1")]
    assert [end.colour.text for end in joint.ends] == ["GN", "GN/WH"]
    assert [end.area_mm2 for end in joint.ends] == [0.5, 1.5]
    assert joint.is_released


def test_one_lead_that_is_not_released_holds_back_the_joint_but_not_the_other_leads(maker):
    maker.lead("E7 C1:1", "S12:1")
    maker.lead("S12:2", "E8:1", opens=(OPEN_JOIN,))
    (joint,) = joints(maker)
    assert not joint.is_released
    assert [end.is_released for end in joint.ends] == [True, False]
    assert joint.open_sentences == (OPEN_JOIN,)
    assert cut(maker) == [((1,), "E7 C1:1", "S12:1")]


def test_lead_from_a_splice_to_nowhere_has_an_unknown_end(maker):
    maker.lead("S12:1", None)
    (joint,) = joints(maker)
    assert joint.ends[0].pin is None
    assert not joint.is_released


def test_lead_between_two_splices_comes_to_both(maker):
    maker.kind("S2", "splice")
    maker.lead("S12:1", "S2:1")
    assert [(joint.name, joint.ends[0].pin) for joint in joints(maker)] == [
        ("S2", maker.pin("S12:1")),
        ("S12", maker.pin("S2:1")),
    ]


def test_splice_without_leads_is_no_joint(maker):
    maker.lead("E7 C1:1", "E8:1")
    assert joints(maker) == ()
    assert joints_of(maker.project, ()) == ()


def test_branch_joins_its_first_pin_and_all_others(maker):
    for pin, colour, area_mm2 in (("E8:1", "RD", 4.0), ("E9:1", "RD", 2.5), ("E9:2", "RD", 2.5)):
        maker.lead("F3:2", pin, colour, area_mm2, net="SUPPLY", is_branch=True)
    (joint,) = joints(maker)
    assert (joint.name, joint.kind) == ("Branch F3:2", "drawn branch")
    assert [end.leads for end in joint.ends] == [(1, 2, 3), (1,), (2,), (3,)]
    first = joint.ends[0]
    assert first.pin == maker.pin("F3:2")
    assert first.colour == LeadColour(text="RD", base="RD")
    assert first.area_mm2 is None


def test_two_branches_of_one_net_are_two_joints(maker):
    for first in ("F3:2", "F4:2"):
        for pin in ("1", "2"):
            maker.lead(first, f"E{first[1]}:{pin}", net="SUPPLY", is_branch=True)
    assert [joint.name for joint in joints(maker)] == ["Branch F3:2", "Branch F4:2"]


# --------------------------------------------------------------------------------------- cut list


def test_branch_is_cut_from_each_pin_to_the_joint_not_from_pin_to_pin(maker):
    maker.lead("F3:2", "E8:1", "RD", 4.0, is_branch=True, net="SUPPLY")
    maker.lead("F3:2", "E9:1", "RD", 2.5, is_branch=True, net="SUPPLY")
    assert cut(maker) == [
        ((1, 2), "F3:2", "Branch F3:2"),
        ((1,), "E8:1", "Branch F3:2"),
        ((2,), "E9:1", "Branch F3:2"),
    ]


def test_common_piece_of_a_branch_waits_until_all_its_leads_are_released(maker):
    maker.lead("F3:2", "E8:1", is_branch=True, net="SUPPLY")
    maker.lead("F3:2", "E9:1", is_branch=True, net="SUPPLY", opens=(OPEN_JOIN,))
    assert cut(maker) == [((1,), "E8:1", "Branch F3:2")]


def test_what_is_hollow_or_seen_or_out_of_scope_is_not_cut(maker):
    maker.lead("E7 C1:1", "E8:1", net="a")
    maker.lead("E7 C1:2", "E8:2", net="b", opens=(OPEN_JOIN,))
    maker.lead("E7 C1:3", None, net="c")
    maker.lead("E7 C1:4", "E8:4", net="d", known=Known(how="seen", source="this van"))
    maker.lead("E7 C1:5", "E8:5", net="e")
    assert cut(maker, scope={0, 1, 2, 3}) == [((1,), "E7 C1:1", "E8:1")]
