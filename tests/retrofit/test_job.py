"""The gaps of a job: fits by name, closing by work, reason and survey, and an order that puts open ones first."""

from __future__ import annotations

import pytest

from loomfolio.basics import NameNotFoundError, UsageError
from loomfolio.nets import derive
from loomfolio.project import CavityEntry, HalfKey, Lead, LeadEntry, Project, edits
from loomfolio.retrofit import GapMemory, JobGaps, job_gaps
from support.make_fits import VAN, A, B, K, make_vehicle_in_fits, pin


def lead(number: int, a: object, b: object, when: str = "") -> Lead:
    return Lead(id=f"lead-{100 + number}", ends=(a, b), when=when)


LEADS = (lead(1, pin(A, 1), pin(B, 1), "t"), lead(2, pin(A, 2), pin(K, "85"), "t"))
PROJECT = make_vehicle_in_fits(LEADS).project


def found(project: Project) -> JobGaps:
    return job_gaps(project, {})


def test_a_job_finds_its_gaps_by_the_names_of_its_fits():
    job = found(PROJECT)
    assert [gap.kind for gap in job.gaps] == ["lead missing", "lead missing"]
    assert job.open_in_scope == job.gaps
    assert (job.target.equipment.fit_name, job.vehicle.equipment.fit_name) == ("equipped", "base")
    assert job.scope is None


@pytest.mark.parametrize(
    ("fields", "error", "sentence"),
    [
        pytest.param({"target_fit": ""}, UsageError, "which fit is the target", id="no target"),
        pytest.param({"vehicle_fit": ""}, UsageError, "which fit is the vehicle", id="no vehicle"),
        pytest.param(
            {"target_fit": "equiped"}, NameNotFoundError, "did you mean equipped", id="unknown fit"
        ),
    ],
)
def test_fits_that_cannot_be_compared_are_told_in_one_sentence(fields, error, sentence):
    job = PROJECT.job.model_copy(update=fields)
    with pytest.raises(error, match=sentence):
        found(PROJECT.model_copy(update={"job": job}))


def test_a_gap_that_was_closed_stays_listed_with_the_reason_behind_the_open_ones():
    first, second = found(PROJECT).gaps
    closed = edits.close_gap(PROJECT, gap=first.key, by="reason", reason="not wanted").project
    job = found(closed)
    assert [gap.key for gap in job.gaps] == [second.key, first.key]
    closing = job.gaps[1].closed_by
    assert closing is not None
    assert (closing.by, closing.reason, closing.record) == (
        "reason",
        "not wanted",
        closed.closures[0].id,
    )
    assert [gap.key for gap in job.open_in_scope] == [second.key]


def test_a_gap_that_the_survey_settles_is_closed_by_it_and_not_gone():
    entry = LeadEntry(id="entry-1", specimen=VAN.id, ends=LEADS[0].ends, state="there")
    job = found(PROJECT.model_copy(update={"survey": (entry,)}))
    (closed,) = (gap for gap in job.gaps if not gap.is_open)
    assert closed.pins == LEADS[0].ends
    assert closed.closed_by is not None
    assert closed.closed_by.by == "survey"
    assert closed.closed_by.reason == "Survey of Van 7: Lead A1 C1:1 to B2 C1:1: there"


def test_a_closure_holds_when_the_survey_finds_the_lead_elsewhere():
    """However a wanted lead is lacking, its gap keeps its key."""
    gap = next(g for g in found(PROJECT).gaps if g.pins == LEADS[0].ends)
    p = edits.close_gap(PROJECT, gap=gap.key, by="work", reason="made").project
    astray = LeadEntry(
        id="entry-1",
        specimen=VAN.id,
        ends=(pin(A, 1), pin(B, 1)),
        state="goes elsewhere",
        goes_to=pin(B, 3),
    )
    moved = found(p.model_copy(update={"survey": (astray,)}))
    (same,) = (g for g in moved.gaps if g.key == gap.key)
    assert same.kind == "lead goes elsewhere"
    assert not same.is_open


def test_the_survey_of_another_specimen_says_nothing_of_this_vehicle():
    entry = CavityEntry(id="entry-1", specimen="specimen-93", pin=pin(A, 1), state="empty")
    other = VAN.model_copy(update={"id": "specimen-93", "kind": "reference vehicle"})
    p = PROJECT.model_copy(update={"survey": (entry,), "specimens": (VAN, other)})
    assert found(p).gaps == found(PROJECT).gaps


def test_only_what_the_job_is_about_is_in_scope():
    job = found(edits.set_scope(PROJECT, [HalfKey(part=K)]))
    assert [(gap.in_scope, gap.pins[-1]) for gap in job.gaps] == [
        (True, pin(K, "85")),
        (False, pin(B, 1)),
    ]


def test_a_memory_changes_nothing_but_the_time():
    memory = GapMemory()
    for project in (PROJECT, edits.set_scope(PROJECT, [HalfKey(part=K)]), PROJECT):
        assert job_gaps(project, {}, memory=memory).gaps == found(project).gaps


def test_this_vehicles_own_documents_are_matched_with_the_targets():
    """The same van drawn by other hands: every part has another id, A1's connector another name."""
    own = Project(serial=1)
    ids = {}
    for part in PROJECT.parts:
        own, ids[part.id] = edits.add_part(own, name=part.name, kind=part.kind)
    there = (HalfKey(part=ids[A], connector="C1").pin("2"), HalfKey(part=ids[K]).pin("85"))
    own = edits.add_lead(own, ends=there).project
    assert derive(own, {}).net_of_pin(there[0]) is not None
    job = job_gaps(PROJECT, {}, vehicle_project=own, vehicle_readings={})
    missing = [gap for gap in job.gaps if gap.kind == "lead missing"]
    assert [gap.pins for gap in missing] == [LEADS[0].ends]
