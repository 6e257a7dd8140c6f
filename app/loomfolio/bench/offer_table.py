"""Every way to close each gap as lines with columns that stay, with what is chosen, findings and hours.

CSV, XLSX and JSON carry the same columns. The JSON is `loomfolio.plan/1`; its schema is published as
`assets/schemas/plan-1.schema.json`. After a change of the columns:

    PYTHONPATH=app python -c "from loomfolio.bench import write_plan_schema; write_plan_schema()"
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Final, Literal

from pydantic import BaseModel, ConfigDict, Field

from loomfolio.basics import asset_path
from loomfolio.bench.json_records import record_bytes, schema_text
from loomfolio.bench.output_files import write_files
from loomfolio.bench.plan_words import PlanWords
from loomfolio.bench.sheet_words import counted
from loomfolio.bench.spreadsheets import UNDATED, Table, workbook_bytes
from loomfolio.bench.tables import Line
from loomfolio.bench.text_tables import columns_text, csv_bytes
from loomfolio.bench.work_tables import work_tables
from loomfolio.project import Project
from loomfolio.retrofit import JobGaps, Offer, PlanComparison, WorkPlan, all_offers

PLAN_SCHEMA: Final = "loomfolio.plan/1"
PLAN_SCHEMA_PATH = asset_path("schemas", "plan-1.schema.json")


class OfferLine(Line):
    """One way to close one gap; `rank` counts from 1, least cutting first, what must not be last."""

    gap: str = Field(description="what is missing")
    rank: int
    chosen: bool
    work: str = Field(description="the kind of work")
    title: str
    cuts: int = Field(description="leads of the vehicle that are cut or opened")
    joints: int
    length_m: float | None = Field(description="of the new lead; empty: measure on the vehicle")
    hours_least: float
    hours_most: float
    reasons: tuple[str, ...]
    against: tuple[str, ...]
    risk: str
    reach: str = Field(description="what comes off before the net can be picked up there")
    must_not_be: str = Field(description="why it is refused; empty where it may be done")
    allowed_with: str = Field(description="what makes a refused way allowed, stated in writing")
    gap_key: str
    key: str


class FindingLine(Line):
    """Something in the plan that a person has to know or decide; `stop` where it must not be done so."""

    severity: str
    title: str
    sentence: str
    key: str


class PlanRecord(BaseModel):
    """The ways to close every gap, what is chosen, and what is wrong with it."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)

    format: Literal["loomfolio.plan/1"] = Field(default=PLAN_SCHEMA, alias="schema")
    job: str
    open_gaps: tuple[str, ...] = Field(description="keys of the gaps without a chosen operation")
    hours_least: float
    hours_most: float
    offers: tuple[OfferLine, ...]
    findings: tuple[FindingLine, ...]


OFFER_COLUMNS = tuple(OfferLine.model_fields)
FINDING_COLUMNS = tuple(FindingLine.model_fields)


def offer_lines(
    project: Project, job: JobGaps, offers: Mapping[str, tuple[Offer, ...]]
) -> tuple[OfferLine, ...]:
    """Return the offers of every gap in their rank, gaps in the order of the job."""
    chosen = {one.gap: one.offer for one in project.operations}
    sentences = {gap.key: gap.sentence for gap in job.gaps}
    return tuple(
        _line(offer, rank, sentences[gap], is_chosen=chosen.get(gap) == offer.key)
        for gap, own in offers.items()
        for rank, offer in enumerate(own, 1)
    )


def _line(offer: Offer, rank: int, sentence: str, *, is_chosen: bool) -> OfferLine:
    return OfferLine(
        gap=sentence,
        rank=rank,
        chosen=is_chosen,
        work=offer.kind,
        title=offer.title,
        cuts=offer.cuts,
        joints=offer.joints,
        length_m=None if offer.length_m is None else offer.length_m.value,
        hours_least=round(offer.effort_h.least, 2),
        hours_most=round(offer.effort_h.most, 2),
        reasons=offer.reasons,
        against=offer.against,
        risk=offer.risk,
        reach="" if offer.pick_up is None else offer.pick_up.reach,
        must_not_be=offer.forbidden,
        allowed_with=offer.treatment,
        gap_key=offer.gap,
        key=offer.key,
    )


def finding_lines(plan: WorkPlan) -> tuple[FindingLine, ...]:
    """Return the findings of a plan, those that stop the work first."""
    return tuple(
        FindingLine(severity=one.severity, title=one.title, sentence=one.sentence, key=one.key)
        for one in plan.findings
    )


def plan_json(project: Project, job: JobGaps, plan: WorkPlan) -> bytes:
    """Return the offers, what is chosen, and the findings as JSON."""
    record = PlanRecord(
        job=project.job.title,
        open_gaps=plan.open_gaps,
        hours_least=round(plan.hours.least, 2),
        hours_most=round(plan.hours.most, 2),
        offers=offer_lines(project, job, all_offers(project, job)),
        findings=finding_lines(plan),
    )
    return record_bytes(record)


def write_plan_csv(project: Project, job: JobGaps, path: Path) -> None:
    """Write the offers of every gap as CSV; `UsageError` if that cannot be done."""
    lines = offer_lines(project, job, all_offers(project, job))
    write_files({path: csv_bytes(OFFER_COLUMNS, [line.cells() for line in lines])})


def write_plan_xlsx(project: Project, job: JobGaps, plan: WorkPlan, path: Path) -> None:
    """Write offers, findings, leads, joints, parts and steps as XLSX; `UsageError` if that cannot be done."""
    offers = offer_lines(project, job, all_offers(project, job))
    own = (
        Table("offers", OFFER_COLUMNS, tuple(line.cells() for line in offers)),
        Table("findings", FINDING_COLUMNS, tuple(line.cells() for line in finding_lines(plan))),
    )
    tables = (*own, *work_tables(PlanWords(project, job, plan)))
    title = f"Plan, {project.job.title}"
    write_files({path: workbook_bytes(tables, title=title, today=UNDATED)})


def plan_text(project: Project, job: JobGaps, plan: WorkPlan) -> str:
    """Return for a terminal what is chosen, the steps in their order, findings, and what stands open."""
    return "\n".join(_text_lines(project, job, plan))


def _text_lines(project: Project, job: JobGaps, plan: WorkPlan) -> Iterator[str]:
    zones = {zone.id: zone.name for zone in project.zones}
    steps = [
        (str(number), step.kind, zones.get(step.zone or "", ""), step.blocked_by, step.title)
        for number, step in enumerate(plan.steps, 1)
    ]
    yield from columns_text(("step", "kind", "zone", "waits for", "what"), steps)
    for finding in plan.findings:
        yield f"{finding.severity}: {finding.sentence}"
    sentences = {gap.key: gap.sentence for gap in job.gaps}
    for key in plan.open_gaps:
        yield f"nothing chosen: {sentences[key]}"
    held_back = sum(not lead.released for lead in plan.leads)
    yield (
        f"{counted(len(plan.leads), 'new lead')}, {held_back} not released;"
        f" {counted(len(plan.joints), 'joint')}; {plan.hours.least:.1f} to {plan.hours.most:.1f} hours"
        " (common practice, not measured);"
        f" {counted(len(plan.open_gaps), 'gap')} with nothing chosen"
    )


def comparison_text(told: PlanComparison, names: tuple[str, str]) -> str:
    """Return two plans side by side for a terminal, and the gaps that they close in other ways."""
    lines = columns_text(("", *names), told.rows)
    for sentence, one, other in told.differing:
        lines += [sentence, f"  {names[0]}: {one}", f"  {names[1]}: {other}"]
    return "\n".join(lines)


def plan_schema_text() -> str:
    """Return the JSON Schema (draft 2020-12) of what `plan_json` returns, as published."""
    return schema_text(PlanRecord)


def write_plan_schema(path: Path = PLAN_SCHEMA_PATH) -> None:
    """Write the published schema anew."""
    path.write_text(plan_schema_text(), encoding="utf-8")
