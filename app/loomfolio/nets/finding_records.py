"""Findings as the contract `loomfolio.check/1`: what `check --json` writes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, Literal

from pydantic import BaseModel, ConfigDict, Field

from loomfolio.basics import MmPoint
from loomfolio.nets.records import Finding
from loomfolio.project import Project, pin_text

CHECK_SCHEMA: Final = "loomfolio.check/1"


class _Record(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)


class FindingRecord(_Record):
    """One finding: kind, how grave, the sentence, its place in mm, the pins it is about."""

    kind: str
    severity: str
    sentence: str
    key: str
    sheet: str | None
    at_mm: MmPoint | None
    pins: tuple[str, ...]
    in_scope: bool
    accepted: str | None


class CheckRecord(_Record):
    """All findings of a document."""

    format: Literal["loomfolio.check/1"] = Field(default=CHECK_SCHEMA, alias="schema")
    findings: tuple[FindingRecord, ...]


def findings_record(project: Project, found: Sequence[Finding]) -> CheckRecord:
    """Return the contract of what `findings` found."""
    return CheckRecord(
        findings=tuple(
            FindingRecord(
                kind=finding.kind,
                severity=finding.severity,
                sentence=finding.sentence,
                key=finding.key,
                sheet=None if finding.place is None else finding.place.sheet,
                at_mm=None if finding.place is None else finding.place.at,
                pins=tuple(pin_text(project, pin) for pin in finding.pins),
                in_scope=finding.in_scope,
                accepted=finding.accepted,
            )
            for finding in found
        )
    )
