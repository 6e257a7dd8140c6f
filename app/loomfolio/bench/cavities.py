"""Cavity views: each connector that the work touches, from the wire side and from the mating side, changes marked.

The two sides are mirror images, so no face is drawn without the name of its side; where the documents do
not say which side a face shows, none is drawn, and the cavities are listed by the numbers on the housing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from loomfolio.bench import svg
from loomfolio.bench.printed import PrintedWire, printed_wire
from loomfolio.project import (
    CavityEntry,
    Face,
    FaceSide,
    HalfKey,
    LeadColour,
    PinKey,
    Project,
    half_text,
    natural_order,
    pin_text,
)
from loomfolio.retrofit import Gap, JobGaps, WorkPlan, face_places

Change = Literal["new lead", "terminal", "moved", "taken out", "look", ""]
"""look: what is there is not as drawn, or has to be looked at; empty: nothing is done here."""
_CHANGE_OF: Mapping[str, Change] = {
    "lead missing": "new lead",
    "branch missing": "new lead",
    "cable group missing": "new lead",
    "terminal missing": "terminal",
    "lead goes elsewhere": "moved",
    "extra lead": "taken out",
    "other colour": "look",
    "other area": "look",
    "pin missing in header": "look",
    "section or driver not populated": "look",
}
_RANK: tuple[Change, ...] = ("new lead", "moved", "taken out", "terminal", "look", "")
SIDES: tuple[FaceSide, FaceSide] = ("wire side", "mating side")


@dataclass(frozen=True, slots=True)
class CavityCell:
    """One cavity: what is in it once the work is done, and what is changed there."""

    pin: str
    change: Change
    lead: str
    wire: PrintedWire
    goes_to: str
    is_known: bool
    """Does any document or survey speak of it? A cavity of which nothing is known is not empty."""


@dataclass(frozen=True, slots=True)
class FacePicture:
    """One side of a housing: rows from the top, each from the left; an empty text is no cavity."""

    side: FaceSide
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class CavityView:
    """One half: its faces, both sides or none, and its cavities as one counts."""

    title: str
    kind: str
    faces: tuple[FacePicture, ...]
    cells: tuple[CavityCell, ...]
    note: str

    @property
    def changed(self) -> tuple[CavityCell, ...]:
        """The cavities at which something is done."""
        return tuple(cell for cell in self.cells if cell.change)

    def cell(self, pin: str) -> CavityCell:
        """Return one cavity of the half; one that is only on the face is unknown."""
        found = next((cell for cell in self.cells if cell.pin == pin), None)
        return found or CavityCell(pin, "", "", printed_wire(None, None), "", is_known=False)


def cavity_views(
    project: Project,
    job: JobGaps,
    plan: WorkPlan | None = None,
    *,
    lead_numbers: Mapping[str, str] | None = None,
) -> tuple[CavityView, ...]:
    """Return a view of each connector half at which the work does something, in the order of names."""
    changes = _changes(job.gaps, plan)
    halves = {pin.half_key for pin, change in changes.items() if change}
    kinds = {part.id: part.kind for part in project.parts}
    drawn = [
        half
        for half in halves
        if kinds.get(half.part) not in {"splice", "ground point", "fuse", "relay", "battery"}
    ]
    book = _Contents(project, job, plan, lead_numbers or {})
    in_order = sorted(drawn, key=lambda half: natural_order(half_text(project, half)))
    return tuple(_view(project, half, changes, book, kinds[half.part]) for half in in_order)


def _changes(gaps: Iterable[Gap], plan: WorkPlan | None) -> dict[PinKey, Change]:
    found: dict[PinKey, Change] = {}

    def note(pin: PinKey, change: Change) -> None:
        if _RANK.index(change) < _RANK.index(found.get(pin, "")):
            found[pin] = change

    for gap in gaps:
        if gap.in_scope and gap.is_open:
            for pin in gap.pins:
                note(pin, _CHANGE_OF.get(gap.kind, ""))
    for lead in plan.leads if plan is not None else ():
        for end in lead.ends:
            if end.pin is not None:
                note(end.pin, "new lead")
    return found


class _Contents:
    """What is in each cavity: the target's lead, or the new one in its place."""

    def __init__(
        self, project: Project, job: JobGaps, plan: WorkPlan | None, numbers: Mapping[str, str]
    ) -> None:
        self._project = project
        self._side = job.target.equipment
        own = {one.id for one in project.specimens if one.kind == "this vehicle"}
        self._seen = {
            entry.pin: entry
            for entry in project.survey
            if isinstance(entry, CavityEntry) and entry.specimen in own
        }
        self._new: dict[PinKey, tuple[str, LeadColour | None, float | None, str]] = {}
        for lead in plan.leads if plan is not None else ():
            for end, other in (lead.ends, lead.ends[::-1]):
                if end.pin is not None:
                    to = pin_text(project, other.pin) if other.pin else other.text
                    number = numbers.get(lead.key, "")
                    self._new[end.pin] = (number, lead.colour, lead.area_mm2, to)

    def pins(self, half: HalfKey) -> set[str]:
        """Every cavity of a half that a document or the survey speaks of."""
        known = {pin.pin for pin in self._side.pins if pin.half_key == half}
        return known | {pin.pin for pin in self._seen if pin.half_key == half}

    def cell(self, pin: PinKey, change: Change) -> CavityCell:
        if pin in self._new:
            number, colour, area, to = self._new[pin]
            return CavityCell(
                pin.pin, change, number, printed_wire(colour, area), to, is_known=True
            )
        leads = self._side.leads_at.get(pin, ())
        entry = self._seen.get(pin)
        colour = area = None
        to = ""
        if leads:
            lead = self._side.leads[leads[0]]
            colour, area = lead.colour, lead.area_mm2
            to = self._side.text(leads[0][1] if leads[0][0] == pin else leads[0][0])
        if entry is not None and entry.colour is not None:
            colour = entry.colour
        return CavityCell(pin.pin, change, "", printed_wire(colour, area), to, is_known=True)


def _view(
    project: Project,
    half: HalfKey,
    changes: Mapping[PinKey, Change],
    book: _Contents,
    kind: str,
) -> CavityView:
    face = _face(project, half)
    pins = book.pins(half) | {pin.pin for pin in changes if pin.half_key == half}
    cells = tuple(
        book.cell(half.pin(pin), changes.get(half.pin(pin), ""))
        for pin in sorted(pins, key=natural_order)
    )
    faces, note = _faces(face)
    return CavityView(half_text(project, half), kind, faces, cells, note)


def _face(project: Project, half: HalfKey) -> Face | None:
    for connector in project.part(half.part).connectors:
        for one in connector.halves:
            if (connector.name, one.name) == (half.connector, half.half):
                return one.face
    return None


def _faces(face: Face | None) -> tuple[tuple[FacePicture, ...], str]:
    if face is None:
        return (), "No face of it is known: go by the numbers moulded on the housing."
    if face.side == "unknown":
        return (
            (),
            "Its face shows no side: nothing is drawn from it. Go by the numbers on the housing.",
        )
    return tuple(FacePicture(side, face_places(face, side)) for side in SIDES), ""


# --------------------------------------------------------------------------------------------- SVG

_CELL_MM, _GAP_MM, _HEAD_MM, _BETWEEN_MM = 11.0, 1.4, 14.0, 12.0


def cavity_svg(view: CavityView) -> str:
    """Return both sides of a half as SVG in mm, each under the name of its side; changes have a thick frame.

    A half without a known side is a line of text that says so.
    """
    step = _CELL_MM + _GAP_MM
    columns = max((len(row) for face in view.faces for row in face.rows), default=6)
    rows = max((len(face.rows) for face in view.faces), default=0)
    width = max(len(view.faces), 1) * columns * step + _BETWEEN_MM
    elements = [svg.text(view.title, (0, 5), 4.6, is_bold=True)]
    if view.note:
        elements.append(svg.text(view.note, (0, 11), 3))
    for number, face in enumerate(view.faces):
        x0 = number * (columns * step + _BETWEEN_MM)
        elements.append(svg.text(face.side, (x0, 11.5), 3.8))
        for y, row in enumerate(face.rows):
            for x, pin in enumerate(row):
                if pin:
                    elements += _svg_cell(view.cell(pin), x0 + x * step, _HEAD_MM + y * step)
    size = (max(width, 110.0 if view.note else 0.0), _HEAD_MM + rows * step + 2)
    return svg.picture(*size, elements, title=f"Cavities of {view.title}")


def _svg_cell(cell: CavityCell, x: float, y: float) -> Sequence[str]:
    centre = x + _CELL_MM / 2
    frame = svg.rect(
        (x, y, _CELL_MM, _CELL_MM),
        width=0.9 if cell.change else 0.25,
        dash="" if cell.is_known else "0.8 0.7",
        radius=1.2,
    )
    parts = [
        frame,
        svg.text(cell.pin, (centre, y + 5), 4.4, font=svg.MONO, is_bold=True, anchor="middle"),
    ]
    if cell.wire.base:
        band = (x + 1.4, y + 6.4, _CELL_MM - 2.8, 1.2)
        parts.append(svg.rect(band, fill=cell.wire.base, width=0.15))
    words = cell.lead or cell.wire.text
    if words:
        fill = svg.INK if cell.change else svg.GREY
        at = (centre, y + 10)
        parts.append(svg.text(words, at, 2.4, font=svg.MONO, anchor="middle", fill=fill))
    return parts
