"""Joints on paper: which stub of the vehicle is in them, and when to ring out before one cuts."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loomfolio.basics import demo_projects_path
from loomfolio.bench.joint_sheet import printed_joints, ring_out_first, tool_of
from loomfolio.bench.plan_words import PlanWords
from loomfolio.project import LeadColour, PinKey, ProjectFolder
from loomfolio.reading import readings_of
from loomfolio.retrofit import job_gaps
from support.make_plan import make_plan


@pytest.fixture(scope="module")
def words():
    path = demo_projects_path() / "parcel_van_towing"
    with ProjectFolder.open(path, read_only=True) as folder:
        job = job_gaps(folder.project, readings_of(folder, folder.project))
        return PlanWords(folder.project, job, make_plan(job))


def with_joint(words, **changes):
    joint = replace(words.plan.joints[0], **changes)
    plan = replace(words.plan, joints=(joint,))
    return PlanWords(words.project, words.job, plan)


def vehicle_stubs(words):
    (joint,) = printed_joints(words)
    return [stub.to for stub in joint.stubs if stub.whose == "VEHICLE"]


def ends_of(words):
    return [words.node(node) for node in words.plan.joints[0].lead_ends]


def test_a_tap_shows_both_sides_of_the_lead(words):
    assert vehicle_stubs(with_joint(words, kind="tap")) == ends_of(words)


@pytest.mark.parametrize("number", [0, 1], ids=["first end", "second end"])
def test_a_cap_shows_the_one_stub_that_it_names(words, number):
    end = ends_of(words)[number]
    capped = with_joint(words, kind="cap", stubs=(f"the stub at {end}: goes nowhere any more",))
    assert vehicle_stubs(capped) == [end]


def test_a_stub_that_is_extended_is_the_one_away_from_the_cut(words):
    a, b = words.plan.joints[0].lead_ends
    near = words.half(a)
    joint = with_joint(
        words, kind="butt splice", stubs=("vehicle: the other stub",), near_half=near
    )
    assert vehicle_stubs(joint) == [words.node(b)]


def test_pin_1_is_not_taken_for_pin_12(words):
    a, b = ends_of(words)
    named = with_joint(words, kind="cap", stubs=(f"the stub at {b}2, and at {a}: nothing",))
    assert vehicle_stubs(named) == [a]


def test_a_lead_of_unknown_colour_is_rung_out_first(words):
    state = words.job.state.equipment
    ends = words.plan.joints[0].lead_ends
    bare = {ends: replace(state.leads[ends], colour=None, is_seen=True)}
    equipment = replace(state, leads=state.leads.changed(gone=(), new=bare))
    job = replace(words.job, state=replace(words.job.state, equipment=equipment))
    unknown = PlanWords(words.project, job, words.plan)
    assert "colour is not known" in ring_out_first(unknown, unknown.plan.joints[0])


def test_two_leads_of_one_colour_in_a_housing_are_rung_out_first(words):
    state = words.job.state.equipment
    ends = next(
        ends
        for ends, lead in state.leads.items()
        if lead.colour is not None and all(isinstance(node, PinKey) for node in ends)
    )
    colour = state.leads[ends].colour
    beside = next(
        other
        for other in state.leads
        if other != ends
        and any(
            isinstance(n, PinKey) and n.half_key in {e.half_key for e in ends} and n not in ends
            for n in other
        )
    )
    twin = {beside: replace(state.leads[beside], colour=colour)}
    equipment = replace(state, leads=state.leads.changed(gone=(), new=twin))
    job = replace(words.job, state=replace(words.job.state, equipment=equipment))
    twins = PlanWords(words.project, job, with_joint(words, lead_ends=ends).plan)
    said = ring_out_first(twins, twins.plan.joints[0])
    assert said.startswith("Ring out first")
    assert colour.text in said


def test_a_colour_seen_otherwise_than_drawn_is_rung_out_first(words):
    state = words.job.state.equipment
    ends = next(
        e
        for e, lead in words.side.leads.items()
        if lead.colour is not None and all(isinstance(n, PinKey) for n in e) and e in state.leads
    )
    seen = {ends: replace(state.leads[ends], colour=LeadColour(text="PK", base="PK"), is_seen=True)}
    equipment = replace(state, leads=state.leads.changed(gone=(), new=seen))
    job = replace(words.job, state=replace(words.job.state, equipment=equipment))
    changed = PlanWords(words.project, job, with_joint(words, lead_ends=ends).plan)
    drawn = words.side.leads[ends].colour.text
    assert ring_out_first(changed, changed.plan.joints[0]) == (
        f"Ring out first: drawn {drawn}, seen otherwise."
    )
    (joint,) = printed_joints(changed)
    assert {stub.drawn for stub in joint.stubs if stub.whose == "VEHICLE"} == {drawn}


def test_a_joint_names_its_tool(words):
    assert tool_of(words.plan.joints[0]) == "crimp tool for this barrel and hot air"
    capped = with_joint(words, kind="cap", sleeve="").plan.joints[0]
    assert tool_of(capped) == "cutter"
