"""What the proof takes from the plan of the work: lengths and areas of leads, and in which zone a connector lies."""

from __future__ import annotations

from collections.abc import Mapping

from loomfolio.bench.proof.plan import WorkFacts, proof_plan
from loomfolio.bench.proof.records import ProofPlan
from loomfolio.project import HalfKey, Project
from loomfolio.retrofit import Ends, JobGaps, WorkPlan


def work_facts(project: Project, job: JobGaps, plan: WorkPlan | None) -> WorkFacts:
    """Return what a plan says that the proof needs; without a plan only where connectors lie.

    A lead that ends at a joint counts for its own piece only: from the pin to the splice of that name.
    """
    lengths: dict[Ends, float] = {}
    areas: dict[Ends, float] = {}
    side = job.target.equipment
    for lead in () if plan is None else plan.leads:
        a, b = (end.pin for end in lead.ends)
        if a is None or b is None:
            continue
        ends = side.ends(a, b)
        if lead.length_m is not None:
            lengths[ends] = lead.length_m.value
        if lead.area_mm2 is not None:
            areas[ends] = lead.area_mm2
    return WorkFacts(lengths=lengths, areas=areas, covers=_covers(project))


def job_proof(project: Project, job: JobGaps, plan: WorkPlan | None = None) -> ProofPlan:
    """Return the proof of a job, with what a plan of the work says of lengths and sizes."""
    return proof_plan(project, job, work_facts(project, job, plan))


def _covers(project: Project) -> Mapping[HalfKey, str]:
    """The zone of each half that was placed: what is opened to get at it."""
    zones = {zone.id: zone.name for zone in project.zones}
    found: dict[HalfKey, str] = {}
    for placement in project.placements:
        name = zones.get(placement.zone)
        if name:
            found[placement.half or HalfKey(part=placement.part)] = name
    return found
