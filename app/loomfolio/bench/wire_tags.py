"""Wire tags: for both ends of each new lead a flag with its number, where it is, where it goes, how it looks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from loomfolio.bench.frame import Frame, Paper, Subject, frame_of
from loomfolio.bench.joint_sheet import PrintedPlanLead, printed_leads
from loomfolio.bench.plan_words import PlanWords
from loomfolio.bench.work_tables import plan_lead_lines


@dataclass(frozen=True, slots=True)
class WireTag:
    """The tag for one end of a lead."""

    number: str
    here: str
    far: str
    look: str
    is_released: bool


@dataclass(frozen=True, slots=True)
class TagSheet:
    """The tags as they are printed."""

    frame: Frame
    tags: tuple[WireTag, ...]


def tag_sheet(words: PlanWords, *, paper: Paper, today: date) -> TagSheet:
    """Return the tags of all new leads, both ends of one beside each other; without leads it says so."""
    leads = printed_leads(words)
    held = sum(not lead.is_released for lead in leads)
    note = f"{held} not released: their tags are dashed." if held else "All leads are released."
    subject = Subject("Wire tags", (), note, has_hollow=False)
    frame = frame_of(words.project, subject, plan_lead_lines(words), paper=paper, today=today)
    return TagSheet(frame, tuple(tag for lead in leads for tag in _tags(lead)))


def _tags(lead: PrintedPlanLead) -> tuple[WireTag, WireTag]:
    look = " ".join(text for text in (lead.wire.text, lead.size, lead.net) if text)
    return (
        WireTag(lead.number, lead.a.to, lead.b.to, look, lead.is_released),
        WireTag(lead.number, lead.b.to, lead.a.to, look, lead.is_released),
    )
