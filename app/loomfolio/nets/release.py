"""Whether a piece of a lead's path is confirmed: by the person, or borne out by two independent sources.

What the person stated, saw or measured is the person's word. What was printed, imported from a list or
fixed by a standard is one source; two that differ bear each other out. What is inferred counts for nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from loomfolio.basics import MmPoint
from loomfolio.nets.spots import SPOT_REACH_MM
from loomfolio.project import Anchor, Confirmation, Known, Link, Mate, PieceKind, Project

_PERSON = frozenset({"stated", "seen", "measured"})


def is_borne_out(facts: Iterable[Known]) -> bool:
    """Do these ways of knowing carry a lead to the bench?"""
    sure = [known for known in facts if known.how != "inferred"]
    if any(known.how in _PERSON for known in sure):
        return True
    return len({(known.how, known.source) for known in sure}) > 1


@dataclass(frozen=True)
class Confirmations:
    """The confirmations of a document, found by place or by record."""

    by_sheet: dict[str, list[Confirmation]] = field(default_factory=dict)
    by_record: dict[tuple[PieceKind, str, str], list[Known]] = field(default_factory=dict)

    @staticmethod
    def of(project: Project) -> Confirmations:
        """Sort the document's confirmations once."""
        found = Confirmations()
        for confirmation in project.confirmations:
            if confirmation.record is not None:
                key = (confirmation.piece, confirmation.record, confirmation.detail)
                found.by_record.setdefault(key, []).append(confirmation.known)
            elif confirmation.place is not None:
                found.by_sheet.setdefault(confirmation.place.sheet, []).append(confirmation)
        return found

    def at_place(self, kind: PieceKind, sheet: str, at: MmPoint) -> list[Known]:
        """Return how a piece at a place on the paper has been confirmed."""
        return [
            c.known
            for c in self.by_sheet.get(sheet, ())
            if c.piece == kind
            and c.place is not None
            and c.place.at.distance_mm(at) <= SPOT_REACH_MM
        ]

    def of_record(self, kind: PieceKind, record: str, detail: str = "") -> list[Known]:
        """Return how a piece that is a record of its own has been confirmed."""
        return self.by_record.get((kind, record, detail), [])

    def is_link_confirmed(self, link: Link) -> bool:
        """Is it settled that this link joins its two ends?"""
        return is_borne_out([link.known, *self.of_record("link", link.id)])

    def is_mate_confirmed(self, mate: Mate, detail: str) -> bool:
        """Is it settled that this pair of cavities (`3=7`) meets? Without a pair table only pair by pair."""
        facts = self.of_record("mate", mate.id, detail) + self.of_record("mate", mate.id)
        return is_borne_out([mate.known, *facts] if mate.pairs else facts)


def anchor_of(sheet: str, at: MmPoint) -> Anchor:
    """Return the anchor of a place on a sheet."""
    return Anchor(sheet=sheet, at=at)
