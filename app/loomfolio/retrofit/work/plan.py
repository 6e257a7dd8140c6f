"""From gaps to a plan: what is chosen, with its leads, joints, parts, steps, findings and hours.

How the data flows::

    project, job ─> Situation ─> offers
    operations of the document + offers ─> chosen ─> leads ─> joints ─> parts
                                                  ─> steps in order, hold points
                                                  ─> findings, material, hours
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Literal

from loomfolio.electrics import Figure
from loomfolio.project import Project, edits
from loomfolio.retrofit.effort import Span
from loomfolio.retrofit.job import JobGaps
from loomfolio.retrofit.work.chosen import Chosen, chosen_in, is_allowed
from loomfolio.retrofit.work.feeds import target_feeds
from loomfolio.retrofit.work.joint_plan import JointPlan
from loomfolio.retrofit.work.lead_plan import LeadPlan
from loomfolio.retrofit.work.lead_sizes import LeadSizes
from loomfolio.retrofit.work.material import material_of
from loomfolio.retrofit.work.offers import offers_in
from loomfolio.retrofit.work.part_plan import PartPlan
from loomfolio.retrofit.work.plan_findings import (
    findings_of_choice,
    findings_of_joints,
    findings_of_leads,
    findings_of_openings,
    findings_of_parts,
)
from loomfolio.retrofit.work.records import (
    Offer,
    OpeningFill,
    PlanComparison,
    PlanFinding,
    PlannedLead,
    PlannedOperation,
    WorkPlan,
)
from loomfolio.retrofit.work.situation import Situation
from loomfolio.retrofit.work.step_book import StepBook
from loomfolio.retrofit.work.step_plan import made_steps
from loomfolio.retrofit.work.zones import bundle_diameter, opening_bound

Preference = Literal["least cutting", "least time"]


def plan_work(project: Project, job: JobGaps) -> WorkPlan:
    """Return the plan that the document's operations make; what is open and what is wrong stands in it.

    Neither the order of records nor of gaps changes it.
    """
    situation = Situation(project, job)
    chosen = chosen_in(situation, offers_in(situation))
    feeds = target_feeds(situation)
    sizes = LeadSizes(situation, feeds)
    leads = LeadPlan(situation, sizes, chosen).leads()
    joints = JointPlan(situation, chosen, leads).joints()
    part_plan = PartPlan(situation, feeds, chosen)
    parts = part_plan.parts()
    openings = _openings(situation, leads)
    made = made_steps(StepBook(situation, chosen, leads, joints, parts))
    findings = (
        *findings_of_choice(chosen),
        *findings_of_leads(leads, chosen),
        *findings_of_joints(joints),
        *findings_of_parts(part_plan, parts),
        *findings_of_openings(openings),
        *made.findings,
    )
    works = Counter(_works(chosen))
    return WorkPlan(
        operations=tuple(_planned(one) for one in chosen),
        leads=leads,
        joints=joints,
        parts=parts,
        steps=made.steps,
        open_gaps=_open_gaps(situation, chosen),
        findings=_in_order(findings),
        openings=openings,
        material=material_of(leads, joints, parts),
        hours=sum((step.hours for step in made.steps), Span()),
        cost=situation.effort.cost(works),
        effort=tuple(
            (work, count, situation.effort.hours(work, count))
            for work, count in sorted(works.items())
        ),
    )


def _planned(one: Chosen) -> PlannedOperation:
    return PlannedOperation(
        one.operation.id, one.gap.key, one.gap.sentence, one.offer, one.operation.in_spite_of
    )


def _works(chosen: Sequence[Chosen]) -> Iterator[str]:
    for one in chosen:
        yield from () if one.offer is None else one.offer.works


def _open_gaps(situation: Situation, chosen: Sequence[Chosen]) -> tuple[str, ...]:
    """The gaps for which nothing that may be done is chosen, in the order of the job."""
    closed = {
        key
        for one in chosen
        if one.offer is not None and is_allowed(one)
        for key in one.offer.closes
    }
    return tuple(key for key in situation.gaps if key not in closed)


def _in_order(findings: Sequence[PlanFinding]) -> tuple[PlanFinding, ...]:
    """Each once, those that stop the work first."""
    once = {finding.key: finding for finding in findings}
    return tuple(sorted(once.values(), key=lambda one: (one.severity != "stop", one.key)))


def _openings(situation: Situation, leads: Sequence[PlannedLead]) -> tuple[OpeningFill, ...]:
    """The new leads through each opening of a known bore, where all of them have a known diameter."""
    found: list[OpeningFill] = []
    for way in sorted(situation.zones.ways.values(), key=lambda one: one.id):
        own = [lead for lead in leads if _runs_through(lead, way.zones)]
        outsides = [outside for lead in own if (outside := _outside(lead)) is not None]
        if way.opening_mm is None or not own:
            continue
        label = way.label or " to ".join(situation.zones.name(zone) for zone in way.zones)
        if len(outsides) < len(own):
            label += f" (without {len(own) - len(outsides)} of unknown diameter)"
        bound = opening_bound(bundle_diameter(outsides), way.opening_mm)
        found.append(OpeningFill(way.id, label, tuple(lead.key for lead in own), bound))
    return tuple(found)


def _runs_through(lead: PlannedLead, ends: tuple[str, str]) -> bool:
    pairs = zip(lead.zones, lead.zones[1:], strict=False)
    return any({a, b} == set(ends) for a, b in pairs)


def _outside(lead: PlannedLead) -> Figure | None:
    return None if lead.conductor is None else lead.conductor.outside_diameter


# ---------------------------------------------------------------------------- choosing, comparing


def take_best(
    project: Project, job: JobGaps, *, by: Preference = "least cutting", anew: bool = False
) -> Project:
    """Return the document in which each gap has the best offer that may be taken.

    Parameters
    ----------
    by
        Least cutting, or least time at the most hours.
    anew
        Also for gaps for which something is chosen already; else those stay as they are.

    A gap of which every offer is refused, or that another choice closes already, gets none.
    """
    situation = Situation(project, job)
    offers = offers_in(situation)
    kept = set() if anew else {one.gap for one in project.operations}
    closed = {
        key
        for one in chosen_in(situation, offers)
        if one.gap.key in kept and one.offer is not None and is_allowed(one)
        for key in one.offer.closes
    }
    for key in situation.gaps:
        best = _best(offers[key], by)
        if key not in kept and key not in closed and best is not None:
            project = edits.choose_operation(
                project, gap=key, offer=best.key, kind=best.kind
            ).project
            closed.update(best.closes)
    return project


def _best(offers: Sequence[Offer], by: Preference) -> Offer | None:
    allowed = [offer for offer in offers if not offer.forbidden]
    if by == "least time":
        return min(allowed, key=lambda offer: (offer.effort_h.most, offer.key), default=None)
    return allowed[0] if allowed else None


def compare_plans(a: WorkPlan, b: WorkPlan) -> PlanComparison:
    """Return two plans side by side: their measures, and the gaps that they close in other ways."""
    rows = tuple(
        (name, text_a, text_b)
        for (name, text_a), (_, text_b) in zip(_measures(a), _measures(b), strict=True)
    )
    titles_a, titles_b = _titles(a), _titles(b)
    differing = tuple(
        (sentence, titles_a.get(sentence, "nothing"), titles_b.get(sentence, "nothing"))
        for sentence in dict.fromkeys((*titles_a, *titles_b))
        if titles_a.get(sentence) != titles_b.get(sentence)
    )
    return PlanComparison(rows, differing)


def _titles(plan: WorkPlan) -> dict[str, str]:
    return {one.sentence: one.offer.title for one in plan.operations if one.offer is not None}


def _measures(plan: WorkPlan) -> tuple[tuple[str, str], ...]:
    offers = [one.offer for one in plan.operations if one.offer is not None]
    known = [lead.length_m.value for lead in plan.leads if lead.length_m is not None]
    unknown = len(plan.leads) - len(known)
    to_measure = f" and {unknown} to measure" if unknown else ""
    cost = "not given" if plan.cost is None else f"{plan.cost:.2f}"
    stops = sum(finding.severity == "stop" for finding in plan.findings)
    return (
        ("leads of the vehicle cut or opened", str(sum(offer.cuts for offer in offers))),
        ("joints", str(len(plan.joints))),
        ("new leads", str(len(plan.leads))),
        ("length of new leads", f"{sum(known):.1f} m{to_measure}"),
        ("parts", str(len(plan.parts))),
        ("hours", f"{plan.hours.least:.1f} to {plan.hours.most:.1f}"),
        ("cost", cost),
        ("gaps with nothing chosen", str(len(plan.open_gaps))),
        ("findings that stop the work", str(stops)),
    )
