"""A donor loom: what it covers, what it has too much, what must follow. And the estimate that rests on it."""

from __future__ import annotations

import pytest

from loomfolio.basics import EditError
from loomfolio.project import (
    CableGroup,
    HalfEntry,
    HalfKey,
    Harness,
    Lead,
    LeadEntry,
    Project,
    Specimen,
)
from loomfolio.retrofit import DonorCover, Span, donor_cover, estimate, estimate_text, job_gaps
from support.make_fits import VAN, A, B, K, X, make_vehicle_in_fits, pin

REAR = Harness(
    id="harness-1",
    name="Rear loom",
    part_number="R 100",
    ends=(HalfKey(part=B, connector="C1"), HalfKey(part=X, half="B")),
)
FRONT = Harness(
    id="harness-2",
    name="Front loom",
    ends=(HalfKey(part=A, connector="C1"), HalfKey(part=X, half="A")),
)
LOOM = Specimen(id="specimen-95", name="Loom of a wreck", kind="donor loom", harness=REAR.id)


def lead(number: int, a: object, b: object, when: str = "", **fields: object) -> Lead:
    return Lead(id=f"lead-{100 + number}", ends=(a, b), when=when, **fields)


LEADS = (
    lead(1, pin(A, 1), pin(X, 1, "A"), "t"),
    lead(2, pin(B, 1), pin(X, 3, "B"), "t"),
    lead(3, pin(B, 2), pin(X, 2, "B")),
    lead(4, pin(B, 3), pin(K, "85"), "t"),
)


def project(survey: tuple[object, ...] = (), leads: tuple[Lead, ...] = LEADS) -> Project:
    made = make_vehicle_in_fits(leads, survey, harnesses=(REAR, FRONT)).project
    return made.model_copy(update={"specimens": (VAN, LOOM)})


def cover(document: Project) -> DonorCover:
    return donor_cover(job_gaps(document, {}), document, LOOM)


def test_a_donor_covers_the_gaps_whose_leads_it_has():
    found = cover(project())
    assert [gap.pins for gap in found.covered] == [(pin(B, 1), pin(X, 3, "B"))]
    assert {gap.pins for gap in found.left_open} == {
        (pin(A, 1), pin(X, 1, "A")),
        (pin(B, 3), pin(K, "85")),
    }
    assert found.doubled == ((pin(B, 2), pin(X, 2, "B")),)


def test_what_was_seen_on_the_bench_corrects_the_documents_of_the_donor():
    gone = LeadEntry(id="entry-1", specimen=LOOM.id, ends=LEADS[1].ends, state="not there")
    extra = LeadEntry(
        id="entry-2", specimen=LOOM.id, ends=(pin(B, 4), pin(X, 1, "B")), state="there"
    )
    found = cover(project((gone, extra)))
    assert found.covered == ()
    assert found.excess == ((pin(B, 4), pin(X, 1, "B")),)


def test_a_connector_that_differs_is_told_with_its_cavities():
    found = cover(project())
    assert [one.sentence for one in found.differing] == [
        "B2 C1: the donor has 1 more",
        "X8.B: the donor has 3 more",
    ]


def test_a_loom_that_lacks_what_the_swapped_one_needs_must_follow():
    (loom,) = cover(project()).following
    assert loom.harness == FRONT.id
    assert loom.sentence == "Front loom must follow Rear loom: its X8.A lacks leads at 1"


def test_a_loom_without_the_connector_that_the_swapped_one_needs_must_follow():
    entry = HalfEntry(
        id="entry-1",
        specimen=VAN.id,
        half=HalfKey(part=X, half="A"),
        state="not there",
        viewed_from="unknown",
    )
    (loom,) = cover(project((entry,))).following
    assert loom.sentence == "Front loom must follow Rear loom: its X8.A lacks the connector itself"


def test_nothing_must_follow_where_the_facing_loom_has_what_is_needed():
    leads = (LEADS[0].model_copy(update={"when": ""}), *LEADS[1:])
    assert cover(project(leads=leads)).following == ()


def cabled(kind: str, survey: tuple[object, ...] = ()) -> Project:
    """Two leads of the rear loom that this vehicle lacks, as one cable group."""
    pair = (LEADS[1], lead(5, pin(B, 4), pin(X, 4, "B"), "t"))
    group = CableGroup(id="group-1", name="W9", kind=kind, pins=tuple(one.ends for one in pair))
    made = project(survey, (LEADS[0], *pair))
    return made.model_copy(update={"groups": (group,)})


@pytest.mark.parametrize(("kind", "count"), [("cable", 1), ("screen", 1), ("twist", 0)])
def test_a_cable_that_goes_over_whole_only_is_told(kind: str, count: int):
    found = cover(cabled(kind))
    assert len(found.whole_only) == count
    assert [gap.kind for gap in found.covered] == ["cable group missing"]
    assert all(found.is_movable(gap) for gap in found.covered)


def test_a_cable_that_is_not_whole_on_the_donor_covers_nothing():
    gone = LeadEntry(id="entry-1", specimen=LOOM.id, ends=LEADS[1].ends, state="not there")
    found = cover(cabled("cable", (gone,)))
    assert found.covered == ()
    (cable,) = found.whole_only
    assert not cable.is_whole
    assert cable.sentence == (
        "W9 is not whole on the donor and is of no use: it lacks B2 C1:1 to X8.B:3"
    )


def test_one_lead_of_a_cable_is_never_taken_out_of_it():
    """This vehicle has one of the two leads; the other is missing, and hangs in the donor's cable."""
    there = LeadEntry(id="entry-1", specimen=VAN.id, ends=LEADS[1].ends, state="there")
    document = cabled("cable", (there,))
    job = job_gaps(document, {})
    found = donor_cover(job, document, LOOM)
    (gap,) = [one for one in found.covered if one.kind == "lead missing"]
    assert not found.is_movable(gap)
    _, part, _ = estimate(job, [found]).alternatives
    assert not part.is_possible


def test_leads_that_a_harness_names_are_its_own_wherever_they_end():
    named = LEADS[3].model_copy(update={"harness": REAR.id})
    found = cover(project(leads=(*LEADS[:3], named)))
    assert (pin(B, 3), pin(K, "85")) in {gap.pins for gap in found.covered}


def test_a_loom_of_which_nobody_said_which_it_is_cannot_be_compared():
    document = project()
    nameless = LOOM.model_copy(update={"harness": None})
    with pytest.raises(EditError, match="choose its harness"):
        donor_cover(job_gaps(document, {}), document, nameless)


# ----------------------------------------------------------------------------------------- estimate


def test_what_is_to_be_looked_at_counts_from_none_to_all():
    document = project()
    found = estimate(job_gaps(document, {}))
    whole, part, direct = found.alternatives
    assert (direct.leads, direct.joints) == (Span(0.0, 3.0), Span(0.0, 0.0))
    assert direct.hours.least < direct.hours.most
    assert not whole.is_possible
    assert not part.is_possible
    assert found.chosen == "direct leads"
    assert "3 of 3 points have not been checked on this vehicle yet" in found.unknowns


def test_what_is_sure_counts_in_full():
    gone = LeadEntry(id="entry-1", specimen=VAN.id, ends=LEADS[0].ends, state="not there")
    direct = estimate(job_gaps(project((gone,)), {})).alternatives[2]
    assert direct.leads == Span(1.0, 3.0)


def test_a_donor_makes_the_other_two_ways_possible():
    document = project()
    job = job_gaps(document, {})
    found = estimate(job, [donor_cover(job, document, LOOM)])
    whole, part, _ = found.alternatives
    assert whole.is_possible
    assert part.is_possible
    assert whole.leads == part.leads == Span(0.0, 2.0)
    assert whole.parts.most == 2.0
    assert whole.remarks == ("One further loom has to be changed with it",)
    assert whole.details == ("Front loom must follow Rear loom: its X8.A lacks leads at 1",)
    assert part.remarks == ("Wires taken over from the donor loom: 1",)


def test_what_is_not_known_is_told_the_customer_without_a_name_and_the_workshop_with_them():
    """The survey finds a lead elsewhere than the documents say, and nobody looked into the modules."""
    moved = LeadEntry(
        id="entry-1",
        specimen=VAN.id,
        ends=LEADS[2].ends,
        state="goes elsewhere",
        goes_to=pin(X, 5, "B"),
    )
    document = project((moved,))
    job = job_gaps(document, {})
    found = estimate(job)
    assert job.contradictions
    assert set(job.contradictions) <= set(found.details)
    assert "At 2 places this vehicle is not as its diagrams say" in found.unknowns
    assert any("modules' own contacts at" in detail for detail in found.details)
    names = [part.name for part in document.parts]
    customer = [*found.unknowns, *(one for way in found.alternatives for one in way.remarks)]
    assert not [told for told in customer for name in names if name in told]


def test_a_job_without_gaps_takes_no_leads():
    document = project(leads=(LEADS[2],))
    direct = estimate(job_gaps(document, {})).alternatives[2]
    assert direct.leads == Span(0.0, 0.0)
    assert direct.remarks == ("Nothing of the job stands open",)


def test_an_estimate_reads_as_text():
    text = estimate_text(estimate(job_gaps(project(), {})))
    assert "direct leads (proposed): 0 to 3 leads, 0 joints" in text
    assert "whole loom: not possible" in text
    assert "The hours are common practice, not measured" in text
    assert "For the workshop:\n  Nobody has looked into" in text


def test_spans_add_and_multiply():
    assert Span(1.0, 2.0) + Span(0.5, 3.0) == Span(1.5, 5.0)
    assert Span(1.0, 2.0).times(Span(2.0, 4.0)) == Span(2.0, 8.0)
