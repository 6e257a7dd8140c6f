"""A plan of the work for the bench's own tests, made of a job's gaps unplanned: every lead, two joints, a hold."""

from __future__ import annotations

from loomfolio.electrics import Figure, Source, given
from loomfolio.project import LeadColour, PinKey
from loomfolio.retrofit import (
    HoldPoint,
    JobGaps,
    LeadEnd,
    MaterialRow,
    PlannedJoint,
    PlannedLead,
    PlannedPart,
    PlannedStep,
    Span,
    WorkPlan,
)

MEMORY = Source("a standard", "memory", "row")


def make_plan(job: JobGaps, *, held_back: int = 1) -> WorkPlan:
    """Return a plan in which each missing lead is made, the last `held_back` of them not released."""
    wanted = [
        (gap, ends)
        for gap in job.gaps
        if gap.in_scope
        for ends in gap.mend.joined
        if all(isinstance(node, PinKey) for node in ends)
    ]
    leads = tuple(
        lead_of(job, gap.key, ends, number < len(wanted) - held_back)
        for number, (gap, ends) in enumerate(wanted)
    )
    joints = joints_of(job, leads)
    parts = tuple(
        PlannedPart(f"part {gap.part}", (gap.key,), gap.part, gap.sentence, "")
        for gap in job.gaps
        if gap.in_scope and gap.part and gap.kind.startswith("device")
    )
    return WorkPlan(
        operations=(),
        leads=leads,
        joints=joints,
        parts=parts,
        steps=steps_of(leads, joints),
        open_gaps=(),
        findings=(),
        openings=(),
        material=(MaterialRow("lead 1.5 mm², PVC", 21.5, "m", tuple(x.key for x in leads)),),
        hours=Span(6, 9),
        cost=None,
        effort=(),
    )


def lead_of(job: JobGaps, gap: str, ends: tuple[PinKey, PinKey], released: bool) -> PlannedLead:
    """Return one new lead between two pins."""
    known = job.target.equipment.leads.find(ends)
    strip = Figure("strip", 5.5, "mm", source=MEMORY)
    return PlannedLead(
        key=f"lead {ends[0].model_dump_json()}",
        gaps=(gap,),
        ends=tuple(LeadEnd(pin, None, "", "blade 2.8", strip, "seal, 1.5 to 2 mm") for pin in ends),
        net_name=job.target.equipment.signals.get(ends[0], ""),
        colour=known.colour if known else LeadColour(text="GN"),
        size="1.5 mm²",
        area_mm2=1.5,
        conductor=None,
        insulation="PVC 105 C",
        length_m=given("length", 2.4, "m"),
        length_reason="",
        zones=(),
        group="",
        sleeve="",
        sizing=None,
        fuse_text="",
        bounds=(),
        load_a=None,
        released=released,
        doubts=() if released else ("The mate is not confirmed",),
    )


def joints_of(job: JobGaps, leads: tuple[PlannedLead, ...]) -> tuple[PlannedJoint, ...]:
    """Return two joints in leads that the vehicle has: a tap, and a break in."""
    state = job.state.equipment
    own = [ends for ends in state.leads if all(isinstance(node, PinKey) for node in ends)][:2]
    return tuple(
        PlannedJoint(
            key=f"joint {number}",
            kind=kind,
            gaps=leads[0].gaps,
            net_name="STOP",
            lead_ends=ends,
            near_half=state.half_text(ends[0].half_key),
            distance_mm=given("distance", 120.0, "mm"),
            stubs=("The stub that leads to the plug stays longer.",),
            sleeve="heat shrink 3:1",
            is_sealed=True,
            strip_mm=Figure("strip", 7.5, "mm"),
            pull_force_n=Figure("least pull", 58, "N", source=MEMORY),
            stagger_mm=given("stagger", 51.0, "mm"),
            zone=None,
            sentence="Crimp, inspect, shrink, inspect again.",
            released=number == 0,
            doubts=() if number == 0 else ("Its lead was not seen.",),
        )
        for number, (kind, ends) in enumerate(zip(("tap", "break in"), own, strict=False))
    )


def steps_of(
    leads: tuple[PlannedLead, ...], joints: tuple[PlannedJoint, ...]
) -> tuple[PlannedStep, ...]:
    """Return three steps, one of them a hold point."""
    hold = HoldPoint("hold dead", "Below 60 V DC", ("Meter proved", "Plus to minus, V", "Proved"))
    return (
        PlannedStep("step off", "12 V minus off", "general", None, ()),
        PlannedStep("step dead", "Prove dead", "hold", None, ("step off",), hold=hold),
        PlannedStep(
            "step make",
            "Make and lay the leads",
            "work",
            None,
            ("step dead",),
            subjects=tuple(x.key for x in (*leads, *joints)),
            blocked_by="Prove dead",
        ),
    )
