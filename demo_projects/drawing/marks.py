"""Marks for sheets whose plan is known: every position is the plan's, turned with the page as it was scanned.

`Marker` holds a document and puts one thing after the other on it, by the project's own edits. What it
is asked to put is up to the caller: everything, or what a person has got to half way.
"""

from __future__ import annotations

import hashlib
import itertools
from collections.abc import Iterable, Sequence
from pathlib import Path

import shapely

from drawing.paper import Skew
from drawing.plan import BodyPlan, SheetPlan, Side, WirePlan
from drawing.wiring import arrow_pairs
from loomfolio.basics import MmBox, MmPoint
from loomfolio.project import (
    Anchor,
    BodyPin,
    HalfKey,
    Known,
    LeadColour,
    PieceKind,
    PinKey,
    Project,
    edits,
)
from loomfolio.sheets import page_list

PRINTED = Known(how="printed")
STATED = Known()
_GAP_MM = MmPoint(315.0, 228.0)
_SHEETS_IN_A_ROW = 4
_NAME_OFF_MM = 4.0
_BOX_OUTSIDE_MM = 0.5


def add_sheets(
    project: Project, plans: Sequence[SheetPlan], folder: Path
) -> tuple[Project, dict[int, str]]:
    """Return the document with all sheets, whose files lie in `folder`/sheets, and their ids by number."""
    ids: dict[int, str] = {}
    for place, plan in enumerate(plans):
        path = folder / "sheets" / plan.file
        (page,) = page_list(path)
        row, column = divmod(place, _SHEETS_IN_A_ROW)
        added = edits.add_sheet(
            project,
            title=f"{plan.number} {plan.title}",
            file=f"sheets/{plan.file}",
            sha256=hashlib.sha256(path.read_bytes()).hexdigest(),
            width_px=page.width_px,
            height_px=page.height_px,
            x_dpi=page.x_dpi or plan.dpi,
            y_dpi=page.y_dpi or plan.dpi,
            resolution_from="file",
            kind=plan.kind,
            when=plan.when,
            valid_for=plan.valid_for,
            is_read=plan.kind == "circuit",
            table_at=MmPoint(column * _GAP_MM.x, row * _GAP_MM.y),
        )
        project, ids[plan.number] = added.project, added.id
    return project, ids


class Marker:
    """Puts marks on the sheets of a document. Sheets are named by number, pins as the plans write them."""

    def __init__(
        self, project: Project, plans: Sequence[SheetPlan], sheet_ids: dict[int, str]
    ) -> None:
        self.project = project
        self._plans = {plan.number: plan for plan in plans}
        self._sheet_ids = sheet_ids
        self._part_ids = {part.name: part.id for part in project.parts}

    # ------------------------------------------------------------------------------------ addresses

    def anchor(self, number: int, at: MmPoint) -> Anchor:
        """Return a place on the plan of a sheet as a place on its scan, to a hundredth of a mm."""
        turned = Skew(self._plans[number].skew_degrees).turned(at)
        return Anchor(
            sheet=self._sheet_ids[number],
            at=MmPoint(round(turned.x, 2), round(turned.y, 2)),
        )

    def part_id(self, name: str) -> str:
        """Return the id of a part by its name."""
        return self._part_ids[name]

    def pin_key(self, text: str) -> PinKey:
        """Return the key of a pin written as on the plans."""
        half_text, _, pin = text.rpartition(":")
        half_text, _, half = half_text.partition(".")
        part, _, connector = half_text.partition(" ")
        return HalfKey(part=self._part_ids[part], connector=connector, half=half).pin(pin)

    # ---------------------------------------------------------------------------------------- bodies

    def box(self, number: int, body: BodyPlan, *, pins: Iterable[str] | None = None) -> None:
        """Box a body and number its pins: all of them, or those named."""
        wanted = {spot.pin for spot in body.pins} if pins is None else set(pins)
        box = self._box_of(number, body)
        self.project = edits.put_body(
            self.project,
            sheet=self._sheet_ids[number],
            box=box,
            part=self._part_ids[body.part],
            connector=body.connector,
            half=body.half,
            pins=tuple(
                BodyPin(
                    at=_on_edge(self.anchor(number, body.place_of(spot)).at, spot.side, box),
                    pin=spot.pin,
                    known=PRINTED,
                )
                for spot in body.pins
                if spot.pin in wanted
            ),
        ).project

    def _box_of(self, number: int, body: BodyPlan) -> MmBox:
        """The box that a person drags: upright, a little outside the outline, halves of a pair edge to edge."""
        left = 0.0 if body.look == "in-line right" else _BOX_OUTSIDE_MM
        right = 0.0 if body.look == "in-line left" else _BOX_OUTSIDE_MM
        middle = self.anchor(number, body.box.centre).at
        half_width, half_height = (
            (body.box.x1 - body.box.x0) / 2,
            (body.box.y1 - body.box.y0) / 2 + _BOX_OUTSIDE_MM,
        )
        edges = (
            middle.x - half_width - left,
            middle.y - half_height,
            middle.x + half_width + right,
            middle.y + half_height,
        )
        return MmBox(*(round(edge, 2) for edge in edges))

    # ------------------------------------------------------------------------------ names and notes

    def name(self, number: int, pin: str, name: str, *, known: Known = PRINTED) -> None:
        """Put a name on the wire of a pin, a little away from the body."""
        plan = self._plans[number]
        wire = next(wire for wire in plan.wires if pin in (wire.a, wire.b))
        at = self.anchor(number, off_pin(plan, wire, pin))
        self.project = edits.put_name(
            self.project, sheet=at.sheet, at=at.at, name=name, known=known
        ).project

    def note(self, number: int, wire: WirePlan) -> None:
        """Note colour and area of a wire where they are printed."""
        if wire.label_at is None:
            return
        at = self.anchor(number, wire.label_at)
        base, _, stripe = wire.colour.partition("/")
        colour = LeadColour(text=wire.colour, base=base, stripe=stripe, code_set="IEC 60757")
        self.project = edits.put_lead_note(
            self.project,
            sheet=at.sheet,
            at=at.at,
            colour=colour,
            area_mm2=wire.area_mm2,
            known=PRINTED,
        ).project

    # -------------------------------------------------------------------------------------- drawing

    def draw(self, number: int, wire: WirePlan) -> None:
        """Draw a wire by hand, corner by corner; a hop is drawn straight over."""
        places = [self.anchor(number, at) for at in self._plans[number].course(wire)]
        self.project = edits.put_line(
            self.project,
            sheet=places[0].sheet,
            points=[place.at for place in places],
            when=wire.when,
        ).project

    def accept(self, key: str, reason: str) -> None:
        """Let a finding stand, for a reason."""
        self.project = edits.accept_finding(self.project, key, reason).project

    # -------------------------------------------------------------------------- links and their like

    def link(self, letter: str, source: int, target: int | None, *, known: Known = STATED) -> None:
        """Link an arrow to the one of the same letter on another sheet, or to an end not yet found."""
        self.project = edits.add_link(
            self.project,
            a=self.anchor(source, self._plans[source].places[f">{letter}"]),
            b=None
            if target is None
            else self.anchor(target, self._plans[target].places[f">{letter}"]),
            label=letter,
            known=known,
        ).project

    def confirm_at(self, kind: PieceKind, number: int, at: MmPoint) -> None:
        """Give the person's word for a join or crossing at a place of the plan."""
        self.project = edits.confirm(
            self.project, piece=kind, place=self.anchor(number, at)
        ).project

    def confirm_node(self, number: int, node: str) -> None:
        """Give the person's word for the dot `@node` of a sheet."""
        self.confirm_at("join", number, self._plans[number].places[node])

    def confirm_crossings(self, number: int, pin: str) -> None:
        """Give the person's word for every crossing on the wires of a pin of a sheet."""
        for wire in self._plans[number].wires:
            if pin in (wire.a, wire.b):
                for at in crossings(self._plans[number], wire):
                    self.confirm_at("crossing", number, at)


def _on_edge(at: MmPoint, side: Side, box: MmBox) -> MmPoint:
    """The place on an upright box nearest to where a pin stands on the leaning outline."""
    match side:
        case "left":
            return at._replace(x=box.x0)
        case "right":
            return at._replace(x=box.x1)
        case "top":
            return at._replace(y=box.y0)
        case "bottom":
            return at._replace(y=box.y1)


def off_pin(plan: SheetPlan, wire: WirePlan, pin: str) -> MmPoint:
    """Return a point of the first stretch of a wire, seen from the pin: 4 mm out, or half way where it is short."""
    course = plan.course(wire)
    first, second = course[:2] if wire.a == pin else (course[-1], course[-2])
    length = first.distance_mm(second)
    part = min(_NAME_OFF_MM / length, 0.5)
    return MmPoint(first.x + (second.x - first.x) * part, first.y + (second.y - first.y) * part)


def crossings(plan: SheetPlan, wire: WirePlan) -> tuple[MmPoint, ...]:
    """Return where a wire runs across others of its sheet, ends left out, in a fixed order."""
    own = shapely.LineString(plan.course(wire))
    found: set[MmPoint] = set()
    for other in plan.wires:
        if other is wire:
            continue
        meeting = own.intersection(shapely.LineString(plan.course(other)))
        ends = {plan.places[end] for w in (wire, other) for end in (w.a, w.b)}
        for part in shapely.get_parts(meeting):
            if isinstance(part, shapely.Point) and MmPoint(part.x, part.y) not in ends:
                found.add(MmPoint(part.x, part.y))
    return tuple(sorted(found))


def all_crossings(plan: SheetPlan) -> tuple[MmPoint, ...]:
    """Return every place of a sheet where wires cross and are apart."""
    every = itertools.chain.from_iterable(crossings(plan, wire) for wire in plan.wires)
    return tuple(sorted(set(every)))


def mark_all(marker: Marker, plans: Sequence[SheetPlan], *, draw_wires: bool) -> None:
    """Box every body, note every lead, link every arrow and confirm every dot and crossing.

    With `draw_wires` every conductor is drawn by hand and no sheet is left to the reader.
    """
    for plan in plans:
        for body in plan.bodies:
            marker.box(plan.number, body)
        for wire in plan.wires:
            marker.note(plan.number, wire)
            if draw_wires:
                marker.draw(plan.number, wire)
        for node, _ in plan.nodes:
            if node.startswith("@"):
                marker.confirm_node(plan.number, node)
        for at in all_crossings(plan):
            marker.confirm_at("crossing", plan.number, at)
    for letter, source, target in arrow_pairs(plans):
        marker.link(letter, source, target)
    if draw_wires:
        for sheet in marker.project.sheets:
            unread = sheet.model_copy(update={"is_read": False})
            marker.project = edits.change_sheet(marker.project, unread)


def first_sheet_with(plans: Sequence[SheetPlan], pin: str) -> SheetPlan:
    """Return the first sheet on which a wire ends at a pin."""
    return next(plan for plan in plans if any(pin in (w.a, w.b) for w in plan.wires))
