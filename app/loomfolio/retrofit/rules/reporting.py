"""Findings of nets and rules together, as the contract `loomfolio.check/1` and as lines for a terminal."""

from __future__ import annotations

from collections.abc import Sequence

from pydantic import BaseModel, ConfigDict

from loomfolio.basics import MmPoint
from loomfolio.nets import CheckRecord, Finding, findings_record
from loomfolio.project import Project, pin_text
from loomfolio.retrofit.rules.records import RuleFinding


class RuleFindingRecord(BaseModel):
    """One finding of a rule: which rule and why it is one, the sentence, its place in mm, the pins."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    rule: str
    title: str
    reason: str
    source: str
    severity: str
    sentence: str
    key: str
    sheet: str | None
    at_mm: MmPoint | None
    pins: tuple[str, ...]
    in_scope: bool
    accepted: str | None
    bound: str | None


class CheckReport(CheckRecord):
    """All findings of a document: those of the nets, and those of the rules."""

    rules: tuple[RuleFindingRecord, ...] = ()


def check_report(
    project: Project, found: Sequence[Finding], of_rules: Sequence[RuleFinding]
) -> CheckReport:
    """Return the contract of what `findings` and `check_job` found."""
    return CheckReport(
        findings=findings_record(project, found).findings,
        rules=tuple(
            RuleFindingRecord(
                rule=one.rule,
                title=one.title,
                reason=one.reason,
                source=one.source,
                severity=one.severity,
                sentence=one.sentence,
                key=one.key,
                sheet=None if one.place is None else one.place.sheet,
                at_mm=None if one.place is None else one.place.at,
                pins=tuple(pin_text(project, pin) for pin in one.pins),
                in_scope=one.in_scope,
                accepted=one.accepted,
                bound=None if one.bound is None else str(one.bound),
            )
            for one in of_rules
        ),
    )


def rule_text(finding: RuleFinding, *, with_reason: bool = False) -> str:
    """Return a finding of a rule as a line, with its reason and source below where they are asked for."""
    line = f"{finding.severity:4}  {finding.rule}: {finding.sentence}"
    if not with_reason:
        return line
    return f"{line}\n      {finding.title}. {finding.reason} ({finding.source})"
