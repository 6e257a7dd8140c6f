"""The pack for the bench as one file: cover, joints, cut list, cavities, charts, steps, parts, tests.

Everything that is printed is ready text in the records here; the template only gives it its place. What
is not released prints hollow, stays out of the cut list, and is counted on the cover.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from loomfolio.bench.cavities import CavityView, cavity_views
from loomfolio.bench.frame import Frame, Paper, Subject, frame_of
from loomfolio.bench.joint_sheet import (
    PrintedPlanJoint,
    PrintedPlanLead,
    printed_joints,
    printed_leads,
)
from loomfolio.bench.plan_words import NOT_CONFIRMED, PlanWords
from loomfolio.bench.proof import Probe, ProofPlan, ProofTest, judge, last_reading, limit_text
from loomfolio.bench.proof.loops import QUALIFIED
from loomfolio.bench.sheet_words import counted
from loomfolio.bench.step_sheet import (
    PrintedFuse,
    PrintedItem,
    PrintedRelay,
    PrintedStep,
    hours_text,
    opening_lines,
    printed_fuses,
    printed_items,
    printed_relays,
    printed_steps,
    tools_of,
)
from loomfolio.bench.tables import Line
from loomfolio.bench.work_tables import plan_lines
from loomfolio.project import Project
from loomfolio.retrofit import WorkPlan

PACK_TITLE = "Bench pack"
MOST_DOUBTS = 2
"""Doubts of one lead that are printed; the files hold them all."""


@dataclass(frozen=True, slots=True)
class PrintedTest:
    """One test as it is read at the bench, with room for what is read."""

    number: str
    title: str
    passes: str
    note: str
    reading: str
    outcome: str
    by_qualified_only: bool


@dataclass(frozen=True, slots=True)
class PrintedStage:
    """The tests of one stage, with the conditions that all of them share."""

    title: str
    shared: tuple[str, ...]
    tests: tuple[PrintedTest, ...]


@dataclass(frozen=True, slots=True)
class WorkPack:
    """What the pack prints; `sections` names the parts of it that are to be set."""

    frame: Frame
    sections: tuple[str, ...]
    state: tuple[tuple[str, str], ...]
    stops: tuple[str, ...]
    joints: tuple[PrintedPlanJoint, ...]
    cut: tuple[PrintedPlanLead, ...]
    bought: tuple[PrintedPlanLead, ...]
    held_back: tuple[PrintedPlanLead, ...]
    shared_doubts: tuple[str, ...]
    cavities: tuple[CavityView, ...]
    fuses: tuple[PrintedFuse, ...]
    relays: tuple[PrintedRelay, ...]
    steps: tuple[PrintedStep, ...]
    items: tuple[PrintedItem, ...]
    tools: tuple[str, ...]
    openings: tuple[str, ...]
    stages: tuple[PrintedStage, ...]
    foot_note: str


SECTIONS = ("cover", "splice", "cavities", "steps", "parts")
PROOF_ONLY = ("proof",)
SPLICE_ONLY = ("splice",)
PROBING = (
    "Probe plugs from their mating side with a fitting test pin, fuses and relays at the clips of their"
    " sockets, grounds on bare metal, batteries at the terminal"
)
"""How points are probed where nothing else stands at the test."""


def work_pack(
    words: PlanWords,
    proof: ProofPlan,
    *,
    title: str = PACK_TITLE,
    sections: Sequence[str] = SECTIONS,
    paper: Paper = "a4",
    today: date,
) -> WorkPack:
    """Return the pack as it is printed, whole or for the zone of `words`."""
    leads = printed_leads(words)
    joints = printed_joints(words)
    held = [lead for lead in leads if not lead.is_released]
    shared = _shared_doubts(held)
    held_joints = sum(not joint.is_released for joint in joints)
    frame = _frame(words, title, len(leads), len(held), paper, today)
    return WorkPack(
        frame=frame,
        sections=tuple(sections),
        state=_state(words, proof, leads, held_joints),
        stops=_stops(words.plan),
        joints=joints,
        cut=tuple(lead for lead in leads if lead.is_released and not lead.is_bought),
        bought=tuple(lead for lead in leads if lead.is_released and lead.is_bought),
        held_back=tuple(_with_own_doubts(lead, shared) for lead in held),
        shared_doubts=shared,
        cavities=cavity_views(
            words.project, words.job, words.plan, lead_numbers=words.lead_numbers
        ),
        fuses=printed_fuses(words),
        relays=printed_relays(words),
        steps=printed_steps(words),
        items=printed_items(words),
        tools=tools_of(words),
        openings=opening_lines(words),
        stages=printed_stages(words.project, proof),
        foot_note=f"{NOT_CONFIRMED} rests on a value from memory: not confirmed.",
    )


def _shared_doubts(held: Sequence[PrintedPlanLead]) -> tuple[str, ...]:
    """What holds every one of several leads back: said once."""
    if len(held) < 2:
        return ()
    return tuple(d for d in held[0].doubts if all(d in lead.doubts for lead in held))


def _with_own_doubts(lead: PrintedPlanLead, shared: Sequence[str]) -> PrintedPlanLead:
    own = [doubt for doubt in lead.doubts if doubt not in shared]
    more = len(own) - MOST_DOUBTS
    shown = own[:MOST_DOUBTS] + ([f"{more} more, in splice_sheet.xlsx"] if more > 0 else [])
    return replace(lead, doubts=tuple(shown))


def _frame(
    words: PlanWords, title: str, count: int, held_back: int, paper: Paper, today: date
) -> Frame:
    verb = "is" if held_back == 1 else "are"
    note = (
        f"{held_back} of {counted(count, 'lead')} {verb} not released: hollow, not in the cut list."
        if held_back
        else f"All {counted(count, 'lead')} released."
        if count > 1
        else "Released."
    )
    zone = (("Zone", words.zone),) if words.zone else ()
    subject = Subject(title, zone, note, has_hollow=held_back > 0)
    lines: Sequence[Line] = plan_lines(words)
    return frame_of(words.project, subject, lines, paper=paper, today=today)


def _state(
    words: PlanWords, proof: ProofPlan, leads: Sequence[PrintedPlanLead], held_joints: int
) -> tuple[tuple[str, str], ...]:
    job, plan = words.job, words.plan
    in_scope = [gap for gap in job.gaps if gap.in_scope]
    holds = [step for step in plan.steps if step.hold is not None]
    signed = {signature.hold for signature in words.project.signatures}
    released = sum(lead.is_released for lead in leads)
    outcomes = [_outcome(words.project, test) for test in proof.tests]
    return (
        ("Gaps", f"{len(in_scope)}, of which {len(plan.open_gaps)} without a chosen operation"),
        ("Leads", f"{len(leads)}: {released} released, {len(leads) - released} held back"),
        ("Joints", f"{len(plan.joints)}, of which {held_joints} held back"),
        ("Steps", f"{len(plan.steps)}, {sum(words.is_done(step.key) for step in plan.steps)} done"),
        (
            "Hold points",
            f"{len(holds)}, {sum(s.hold.key in signed for s in holds if s.hold)} signed",
        ),
        (
            "Tests",
            f"{len(outcomes)}: {outcomes.count('pass')} passed, {outcomes.count('fail')} failed",
        ),
        ("Hours", hours_text(words)),
    )


def _stops(plan: WorkPlan) -> tuple[str, ...]:
    return tuple(f"{f.title}: {f.sentence}" for f in plan.findings if f.severity == "stop")


def _outcome(project: Project, test: ProofTest) -> str:
    reading = last_reading(test, project.meter_readings)
    return "" if reading is None else judge(test, reading).outcome


def printed_stages(project: Project, proof: ProofPlan) -> tuple[PrintedStage, ...]:
    """Return the tests stage by stage, what all of a stage share said once."""
    number = 0
    stages: list[PrintedStage] = []
    for stage in dict.fromkeys(test.stage for test in proof.tests):
        own = proof.of(stage)
        shared = tuple(
            line for line in own[0].conditions.lines if all(line in t.conditions.lines for t in own)
        )
        printed: list[PrintedTest] = []
        for test in own:
            number += 1
            printed.append(_test(project, number, test, shared))
        probed = (PROBING,) if any(test.probes for test in own) else ()
        trained = (QUALIFIED,) if any(test.by_qualified_only for test in own) else ()
        said = tuple(line for line in shared if line != QUALIFIED)
        stages.append(PrintedStage(stage, (*trained, *said, *probed), tuple(printed)))
    return tuple(stages)


def _is_unusual(probe: Probe) -> bool:
    """Is a point probed otherwise than `PROBING` says?"""
    return "back-probed" in probe.how


def _test(project: Project, number: int, test: ProofTest, shared: Sequence[str]) -> PrintedTest:
    reading = last_reading(test, project.meter_readings)
    read = ""
    if reading is not None:
        value = "over range" if reading.is_over_range else reading.text
        read = value if reading.value is None else f"{reading.value:g} {reading.unit}"
    own = tuple(line for line in test.conditions.lines if line not in shared)
    own = tuple(text for line in own if (text := line.replace(QUALIFIED, "").strip()))
    own += tuple(f"{probe.text}: {probe.how}" for probe in test.probes if _is_unusual(probe))
    return PrintedTest(
        number=f"T{number}",
        title=test.title,
        passes=limit_text(test.limit),
        note=" · ".join(own),
        reading=read,
        outcome=_outcome(project, test),
        by_qualified_only=test.by_qualified_only,
    )
