"""Both demo jobs are planned to the last lead: no gap open, nothing that stops the work, every number with its why."""

from __future__ import annotations

import sys
from collections.abc import Iterator

import pytest

from loomfolio.basics import demo_projects_path
from loomfolio.electrics import Figure
from loomfolio.project import Project, ProjectFolder
from loomfolio.reading import readings_of
from loomfolio.retrofit import Gap, WorkPlan, all_offers, job_gaps, plan_work

sys.path.insert(0, str(demo_projects_path()))

import draw_orchard_tractor as tractor
import draw_parcel_van as van

DEMOS = [pytest.param(van, id="van"), pytest.param(tractor, id="tractor")]
_PLANS: dict[str, tuple[Project, WorkPlan, tuple[Gap, ...]]] = {}


@pytest.fixture(params=DEMOS)
def planned(request) -> tuple[Project, WorkPlan, tuple[Gap, ...]]:
    demo = request.param
    if demo.__name__ not in _PLANS:
        project = demo.planned_project(demo.PROJECT)
        job = job_gaps(project, {})
        _PLANS[demo.__name__] = (project, plan_work(project, job), job.open_in_scope)
    return _PLANS[demo.__name__]


def test_every_gap_is_closed_by_an_offer_that_stands(planned):
    project, plan, gaps = planned
    assert plan.open_gaps == ()
    assert all(one.offer is not None for one in plan.operations)
    assert {one.gap for one in plan.operations} == {gap.key for gap in gaps}
    assert len(project.operations) == len(gaps)


def test_nothing_in_the_plan_stops_the_work(planned):
    _, plan, _ = planned
    assert [finding.sentence for finding in plan.findings] == []


def test_every_lead_of_the_gaps_is_planned_and_released(planned):
    _, plan, gaps = planned
    wanted = {lead for gap in gaps for lead in gap.mend.joined}
    assert len(plan.leads) == len(wanted)
    assert all(lead.released for lead in plan.leads)
    assert all(lead.size for lead in plan.leads)


def test_every_bound_is_met_and_every_number_says_why(planned):
    _, plan, _ = planned
    assert all(bound.is_met for lead in plan.leads for bound in lead.bounds)
    for number in numbers(plan):
        assert number.formula or number.source is not None, number
        assert all(leaf.source is not None for leaf in number.leaves()), number.why()


def numbers(plan: WorkPlan) -> Iterator[Figure]:
    for lead in plan.leads:
        yield from (bound.number for bound in lead.bounds)
        yield from (bound.limit for bound in lead.bounds)
        yield from (one for one in (lead.length_m, lead.load_a) if one is not None)
    for joint in plan.joints:
        yield joint.distance_mm
        yield from (one for one in (joint.strip_mm, joint.pull_force_n) if one is not None)
    yield from (opening.bound.number for opening in plan.openings)


def test_every_step_comes_after_its_own_and_every_zone_is_opened_once(planned):
    project, plan, _ = planned
    at = {step.key: number for number, step in enumerate(plan.steps)}
    assert len(at) == len(plan.steps)
    assert all(at[first] < at[step.key] for step in plan.steps for first in step.after)
    opened = [step.zone for step in plan.steps if step.kind == "open"]
    assert len(opened) == len(set(opened))
    assert set(opened) <= {zone.id for zone in project.zones}


def test_the_joints_of_the_van_say_which_stub_is_which():
    project = van.planned_project(van.PROJECT)
    joints = {joint.kind: joint for joint in plan_work(project, job_gaps(project, {})).joints}
    assert set(joints) == {"butt splice", "cap", "splice"}
    assert joints["cap"].stubs == ("the stub at A31 C1:4: goes nowhere any more",)
    assert any("to A27 C1:8" in stub for stub in joints["butt splice"].stubs)
    vehicle = [stub for stub in joints["splice"].stubs if stub.startswith("vehicle")]
    assert len(vehicle) == 2


def test_the_high_voltage_of_the_tractor_gets_the_makers_assembly_and_its_hold_points():
    project = tractor.planned_project(tractor.PROJECT)
    job = job_gaps(project, {})
    plan = plan_work(project, job)
    (cable,) = [gap for gap in job.open_in_scope if "W95" in gap.sentence]
    offers = all_offers(project, job)[cable.key]
    assert [offer.kind for offer in offers if not offer.forbidden] == ["fit cable"]
    assert "70-40E-950" in offers[0].title
    holds = [step.key for step in plan.steps if step.kind == "hold"]
    assert holds[0] == "hold: 12 V off"
    assert holds[-1] == "hold: traction"
    assert len(holds) == 9
    first_open = next(step for step in plan.steps if step.kind == "open")
    assert first_open.blocked_by == "12 V off"


@pytest.mark.parametrize("demo", DEMOS)
def test_half_way_what_is_known_so_far_is_planned_too(demo):
    with ProjectFolder.open(demo.PROJECT, read_only=True) as folder:
        project = folder.project
        job = job_gaps(project, readings_of(folder, project))
    plan = plan_work(project, job)
    assert plan.open_gaps == ()
    assert [finding.sentence for finding in plan.findings if finding.severity == "stop"] == []
    assert any(not lead.released for lead in plan.leads)
