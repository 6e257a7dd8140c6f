"""The lines of the ledgers of the plan: how each gap is closed, what is done at the bench, what is proved; no Qt."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from typing import Literal

from loomfolio.bench import ProofTest, Verdict, judge, last_reading, limit_text
from loomfolio.desk.derived import Derived
from loomfolio.desk.ledgers.columns import Wire
from loomfolio.desk.planning import Planned
from loomfolio.project import Doing, MeterReading, Signature
from loomfolio.retrofit import (
    Gap,
    Offer,
    PlannedJoint,
    PlannedLead,
    PlannedPart,
    PlannedStep,
    RuleFinding,
    Span,
)


@dataclass(frozen=True, slots=True)
class WorkLine:
    """A gap, and how it is going to be closed."""

    gap: Gap
    offer: Offer | None
    others: int
    """How many other ways there are that may be taken."""
    leads: tuple[PlannedLead, ...] = ()
    joints: tuple[PlannedJoint, ...] = ()
    parts: tuple[PlannedPart, ...] = ()

    @property
    def key(self) -> Hashable:
        """What this line is about."""
        return self.gap.key

    @property
    def in_scope(self) -> bool:
        """Whether it is about the job."""
        return self.gap.in_scope

    @property
    def is_open(self) -> bool:
        """Whether nothing is chosen for it yet."""
        return self.gap.is_open and self.offer is None

    @property
    def wire(self) -> Wire | None:
        """The colour of the lead that is made."""
        return Wire.of(self.leads[0].colour) if self.leads else None

    @property
    def size(self) -> str:
        """The sizes of the leads that are made."""
        return ", ".join(dict.fromkeys(lead.size for lead in self.leads if lead.size))

    @property
    def length(self) -> str:
        """The lengths of the leads that are made."""
        return ", ".join(length_text(lead) for lead in self.leads)

    @property
    def is_held_back(self) -> bool:
        """Whether something of it is not released to the bench."""
        return not all(self.released_things)

    @property
    def released_things(self) -> tuple[bool, ...]:
        """For each lead and joint of it whether it is released."""
        return (*(lead.released for lead in self.leads), *(one.released for one in self.joints))

    @property
    def doubts(self) -> tuple[str, ...]:
        """What holds its leads and joints back, each once."""
        every = (
            *(d for lead in self.leads for d in lead.doubts),
            *(d for j in self.joints for d in j.doubts),
        )
        return tuple(dict.fromkeys(every))


def length_text(lead: PlannedLead) -> str:
    """Return the length of a lead as the bench reads it."""
    if lead.is_bought:
        return "bought"
    return "measure" if lead.length_m is None else f"{lead.length_m.value:.2f} m"


Thing = PlannedLead | PlannedJoint | PlannedPart
Subject = PlannedStep | Thing


@dataclass(frozen=True, slots=True)
class BenchLine:
    """Something to do, in its order: a step, and under it what is made in it."""

    subject: Subject
    title: str
    detail: str
    zone: str
    place: int
    doing: Doing | None
    signature: Signature | None = None
    blocked_by: str = ""
    is_held_back: bool = False

    @property
    def key(self) -> Hashable:
        """What this line is about."""
        return self.subject.key

    @property
    def is_step(self) -> bool:
        """Is it a step, and not a thing that is made in one?"""
        return isinstance(self.subject, PlannedStep)

    @property
    def is_hold(self) -> bool:
        """Does work stop here until somebody has signed?"""
        return isinstance(self.subject, PlannedStep) and self.subject.hold is not None

    @property
    def is_done(self) -> bool:
        """Is it ticked, or signed?"""
        if self.is_hold:
            return self.signature is not None
        return self.doing is not None and self.doing.is_done

    @property
    def is_open(self) -> bool:
        """Whether it has still to be done."""
        return not self.is_done

    @property
    def stands(self) -> str:
        """How it stands, in words."""
        if self.signature is not None:
            return f"signed by {self.signature.by}"
        if self.is_done and self.doing is not None:
            changed = len(self.doing.deviations)
            return f"done, {changed} otherwise" if changed else "done"
        if self.blocked_by:
            return f"waits for: {self.blocked_by}"
        if self.is_hold:
            return "stop: to be signed"
        return "not released" if self.is_held_back else ""


@dataclass(frozen=True, slots=True)
class ProofLine:
    """One test, its limit, and its last reading with what follows from it."""

    test: ProofTest
    limit: str
    reading: MeterReading | None
    verdict: Verdict | None
    place: int

    @property
    def key(self) -> Hashable:
        """What this line is about."""
        return self.test.key

    @property
    def outcome(self) -> Literal["", "pass", "fail", "doubtful"]:
        """What the last reading says; empty before there is one."""
        return self.verdict.outcome if self.verdict is not None else ""

    @property
    def is_open(self) -> bool:
        """Whether it is not passed yet."""
        return self.outcome != "pass"


@dataclass(frozen=True, slots=True)
class RuleLine:
    """Something that a rule found in the job or its plan."""

    finding: RuleFinding
    sheet: str

    @property
    def key(self) -> Hashable:
        """What this line is about."""
        return self.finding.key

    @property
    def in_scope(self) -> bool:
        """Whether it is about the job."""
        return self.finding.in_scope

    @property
    def is_open(self) -> bool:
        """Whether nobody has let it stand."""
        return self.finding.is_open

    @property
    def kind(self) -> str:
        """Which rule it breaks."""
        return self.finding.title

    @property
    def tip(self) -> str:
        """The sentence, why the rule asks for it, and by whom."""
        found = self.finding
        return f"{found.sentence}\n{found.reason}\nSource: {found.source}"


def rule_lines(state: Derived, planned: Planned | None) -> tuple[RuleLine, ...]:
    """Return a line for each finding of a rule, open ones first."""
    if planned is None:
        return ()
    titles = {sheet.id: sheet.title for sheet in state.project.sheets}
    lines = [
        RuleLine(one, titles.get(one.place.sheet, "") if one.place else "") for one in planned.rules
    ]
    return tuple(sorted(lines, key=lambda line: (not line.in_scope, not line.is_open)))


def work_lines(state: Derived, planned: Planned | None) -> tuple[WorkLine, ...]:
    """Return a line for each open gap, those without an operation first; none before the plan is there."""
    if planned is None:
        return ()
    plan = planned.plan
    lines = [
        WorkLine(
            gap,
            planned.offer(gap.key),
            sum(not offer.forbidden for offer in planned.offers.get(gap.key, ())) - 1,
            tuple(lead for lead in plan.leads if gap.key in lead.gaps),
            tuple(joint for joint in plan.joints if gap.key in joint.gaps),
            tuple(part for part in plan.parts if gap.key in part.gaps),
        )
        for gap in state.gaps
        if gap.is_open
    ]
    return tuple(sorted(lines, key=lambda line: (not line.in_scope, not line.is_open)))


def bench_lines(state: Derived, planned: Planned | None) -> tuple[BenchLine, ...]:
    """Return the steps in their order, each followed by what is made in it."""
    if planned is None or not planned.plan.operations:
        return ()
    plan, project = planned.plan, state.project
    things: dict[str, Thing] = {lead.key: lead for lead in plan.leads}
    things |= {joint.key: joint for joint in plan.joints}
    things |= {part.key: part for part in plan.parts}
    doings = {doing.subject: doing for doing in project.doings}
    signatures = {one.hold: one for one in project.signatures}
    zones = {zone.id: zone.name for zone in project.zones}
    lines: list[BenchLine] = []
    for step in plan.steps:
        hold = signatures.get(step.hold.key) if step.hold is not None else None
        lines.append(
            BenchLine(
                step,
                step.title,
                "; ".join((*step.detail, *(step.hold.to_read if step.hold else ()))),
                zones.get(step.zone or "", ""),
                len(lines),
                doings.get(step.key),
                hold,
                step.blocked_by,
            )
        )
        for key in step.subjects:
            if key in things:
                lines.append(_thing_line(things[key], len(lines), doings, step.blocked_by))
    return tuple(lines)


def _thing_line(
    thing: Thing,
    place: int,
    doings: dict[str, Doing],
    blocked_by: str,
) -> BenchLine:
    match thing:
        case PlannedLead():
            ends = " to ".join(end.text for end in thing.ends)
            detail = ", ".join(
                word
                for word in (
                    thing.colour.text if thing.colour else "",
                    thing.size,
                    length_text(thing),
                    *(f"{end.terminal} {end.seal}".strip() for end in thing.ends if end.terminal),
                )
                if word
            )
            title, is_held_back = ends, not thing.released
        case PlannedJoint():
            title, detail, is_held_back = thing.sentence, "; ".join(thing.stubs), not thing.released
        case PlannedPart():
            title, is_held_back = thing.what, False
            detail = ", ".join(word for word in (thing.rating, thing.colour, *thing.notes) if word)
    return BenchLine(
        thing,
        title,
        detail,
        "",
        place,
        doings.get(thing.key),
        blocked_by=blocked_by,
        is_held_back=is_held_back,
    )


def proof_lines(state: Derived, planned: Planned | None) -> tuple[ProofLine, ...]:
    """Return a line for each test in the order of the proof, with its last reading judged."""
    if planned is None or not planned.plan.operations:
        return ()
    readings = state.project.meter_readings
    lines: list[ProofLine] = []
    for place, test in enumerate(planned.proof.tests):
        reading = last_reading(test, readings)
        verdict = judge(test, reading) if reading is not None else None
        lines.append(ProofLine(test, limit_text(test.limit), reading, verdict, place))
    return tuple(lines)


def hours_text(hours: Span) -> str:
    """Return a range of hours as it is said."""
    if not hours.most:
        return ""
    return f"{hours.least:.1f} to {hours.most:.1f} h"
