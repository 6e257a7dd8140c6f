"""What a person has to know of a plan, or to decide: refused work, sizes that fail, joints too near, full openings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from loomfolio.electrics import Bound
from loomfolio.project import Operation, PinKey
from loomfolio.retrofit.records import Gap
from loomfolio.retrofit.work.chosen import Chosen, is_allowed, is_in_spite_of_bounds
from loomfolio.retrofit.work.part_plan import PartPlan
from loomfolio.retrofit.work.practice import practice
from loomfolio.retrofit.work.records import (
    OpeningFill,
    PlanFinding,
    PlannedJoint,
    PlannedLead,
    PlannedPart,
)


def findings_of_choice(chosen: Sequence[Chosen]) -> Iterator[PlanFinding]:
    """Yield a finding for each choice that is made no more, refused, or taken in spite of a refusal."""
    for one in chosen:
        gap, operation, offer = one.gap, one.operation, one.offer
        if offer is None:
            yield PlanFinding(
                key=f"offer gone: {gap.key}",
                severity="stop",
                title="What was chosen is not offered any more",
                sentence=f"{gap.sentence}: what was chosen for it is no longer possible; choose anew",
                subject=gap.key,
                place=gap.place,
            )
        elif offer.forbidden and not is_allowed(one):
            allowed = (
                f" Allowed with: {offer.treatment}" if offer.treatment else " Nothing allows it"
            )
            yield PlanFinding(
                key=f"refused: {gap.key}",
                severity="stop",
                title="It must not be done so",
                sentence=f"{offer.title}: {offer.forbidden}.{allowed}",
                subject=gap.key,
                place=gap.place,
            )
        elif operation.in_spite_of.strip():
            yield _in_spite(gap, operation, offer.title)


def _in_spite(gap: Gap, operation: Operation, title: str) -> PlanFinding:
    return PlanFinding(
        key=f"in spite of: {gap.key}",
        severity="look",
        title="Taken in spite of what speaks against it",
        sentence=f"{title}: {operation.in_spite_of.strip()}",
        subject=gap.key,
        place=gap.place,
    )


def findings_of_leads(
    leads: Sequence[PlannedLead], chosen: Sequence[Chosen]
) -> Iterator[PlanFinding]:
    """Yield a finding for each bound that a lead fails, each size that is not to be had, each cavity taken twice."""
    excused = {one.gap.key for one in chosen if is_in_spite_of_bounds(one)}
    for lead in leads:
        if lead.is_bought:
            continue
        spite = not excused.isdisjoint(lead.gaps)
        for bound in (bound for bound in lead.bounds if not bound.is_met):
            yield PlanFinding(
                key=f"bound: {bound.title}: {lead.key}",
                severity="look" if spite else "stop",
                title="The lead fails a bound",
                sentence=f"{lead.ends[0].text} to {lead.ends[1].text}, {lead.size or 'any size'}: {bound}",
                subject=lead.key,
                bound=bound,
            )
    yield from _taken_twice(leads)


def _taken_twice(leads: Sequence[PlannedLead]) -> Iterator[PlanFinding]:
    at: dict[PinKey, list[PlannedLead]] = {}
    for lead in leads:
        for end in lead.ends:
            if end.pin is not None and end.terminal.startswith("terminal of"):
                at.setdefault(end.pin, []).append(lead)
    for pin, own in at.items():
        if len(own) > 1:
            names = " and ".join(f"{lead.ends[0].text} to {lead.ends[1].text}" for lead in own)
            yield PlanFinding(
                key=f"cavity taken twice: {pin.part}/{pin.connector}/{pin.half}/{pin.pin}",
                severity="stop",
                title="Two new leads for one cavity",
                sentence=f"{names} would go into one cavity: one of them needs a joint",
                subject=own[0].key,
            )


def findings_of_joints(joints: Sequence[PlannedJoint]) -> Iterator[PlanFinding]:
    """Yield a finding for each joint that lies too near to its connector."""
    least = practice("least distance of a joint from a connector")
    for joint in joints:
        if joint.kind == "splice":
            continue
        bound = Bound("distance from the connector", joint.distance_mm, least, "at least")
        if not bound.is_met:
            yield PlanFinding(
                key=f"joint too near: {joint.key}",
                severity="look",
                title="A joint too near to a connector",
                sentence=f"{joint.sentence}: {bound}",
                subject=joint.key,
                bound=bound,
            )


def findings_of_parts(plan: PartPlan, parts: Sequence[PlannedPart]) -> Iterator[PlanFinding]:
    """Yield a finding for each part whose rating fails, and for a relay that does not go into its socket."""
    for part in parts:
        for bound in part.bounds:
            if not bound.is_met:
                yield PlanFinding(
                    key=f"part: {bound.title}: {part.key}",
                    severity="stop",
                    title="The part fails a bound",
                    sentence=f"{part.what}, {part.rating}: {bound}",
                    subject=part.key,
                    bound=bound,
                )
        said = plan.misfit(part.part) if part.part is not None else ""
        if said:
            yield PlanFinding(
                key=f"relay layout: {part.key}",
                severity="stop",
                title="The relay does not go into its socket",
                sentence=said,
                subject=part.key,
            )


def findings_of_openings(openings: Sequence[OpeningFill]) -> Iterator[PlanFinding]:
    """Yield a finding for each opening that is too narrow for the new leads."""
    for opening in openings:
        if not opening.bound.is_met:
            yield PlanFinding(
                key=f"opening: {opening.way}",
                severity="look",
                title="An opening too narrow for the new leads",
                sentence=f"{opening.label}, {len(opening.leads)} leads: {opening.bound};"
                " what lies in it already is not counted",
                subject=opening.way,
                bound=opening.bound,
            )
