"""The lines of each ledger: what a sheet, net, pin, lead or finding says; no Qt in here.

Lines are compared by value, so that a ledger repaints only what differs. Numbers of nets hold
inside one `Netlist` only; a line's `key` says what it is in words of the document and outlives an edit.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass
from typing import Literal

from loomfolio.desk.derived import Derived
from loomfolio.desk.ledgers.columns import Wire
from loomfolio.nets import Finding, MapRow, Net
from loomfolio.project import Anchor, PinKey, Sheet, all_pins
from loomfolio.retrofit import Gap
from loomfolio.sheets import outside_validity

SheetProgress = Literal["read", "reading", "not read", "reading off"]


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One sheet: what it shows, of which vehicles it speaks, and how it stands."""

    sheet: Sheet
    progress: SheetProgress
    misfits: tuple[str, ...]
    open_count: int

    @property
    def key(self) -> Hashable:
        """What this line is about."""
        return self.sheet.id

    @property
    def is_open(self) -> bool:
        """Whether the sheet wants a look: outside its validity, or of an assumed size."""
        return bool(self.misfits) or self.sheet.resolution_from == "assumed"

    @property
    def valid_for(self) -> str:
        """Of which vehicles the sheet speaks, in a few words."""
        valid = self.sheet.valid_for
        years = [str(year) if year else "" for year in (valid.year_from, valid.year_to)]
        span = "–".join(years) if any(years) and years[0] != years[1] else years[0]
        return " ".join(word for word in (valid.make, valid.model, span, valid.market) if word)


@dataclass(frozen=True, slots=True)
class NetLine:
    """One net: its names and pins."""

    key: Hashable
    number: int
    names: tuple[str, ...]
    known: str
    pins: str
    pin_count: int
    sheets: str
    in_scope: bool

    @property
    def name(self) -> str:
        """The name, or the rivals."""
        return " / ".join(self.names)

    @property
    def is_open(self) -> bool:
        """Whether the net wants a name, or has too many."""
        return len(self.names) != 1 and self.pin_count > 0


@dataclass(frozen=True, slots=True)
class PinLine:
    """One pin: where it is drawn and which net it is on."""

    pin: PinKey
    text: str
    net: int | None
    net_name: str
    sheets: str
    state: Literal["joined", "open", "not drawn"]
    place: Anchor | None
    in_scope: bool

    @property
    def key(self) -> Hashable:
        """What this line is about."""
        return self.pin

    @property
    def is_open(self) -> bool:
        """Whether the pin meets nothing where it is drawn."""
        return self.state == "open"


@dataclass(frozen=True, slots=True)
class LeadLine:
    """One lead of the connector-to-connector map, released or hollow."""

    row: MapRow
    a: str
    b: str
    wire: Wire | None
    sheets: str
    open_text: str
    in_scope: bool
    is_asked: bool = True
    """Does the job wait for it? Not where gaps are known and none of them is at this lead."""

    @property
    def key(self) -> Hashable:
        """What this line is about."""
        return (self.row.a, self.row.b)

    @property
    def is_open(self) -> bool:
        """Whether the lead is not released yet."""
        return not self.row.is_released


@dataclass(frozen=True, slots=True)
class DoubtLine:
    """One finding or doubt."""

    finding: Finding
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
        """Whether nobody has accepted it."""
        return self.finding.accepted is None

    @property
    def kind(self) -> str:
        """What kind of finding it is."""
        return self.finding.kind

    @property
    def tip(self) -> str:
        """The whole sentence."""
        return self.finding.sentence


@dataclass(frozen=True, slots=True)
class GapLine:
    """One gap: what the target fit has and this vehicle lacks, or has in excess."""

    gap: Gap
    where: str
    sheet: str

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
        """Whether nothing has closed it."""
        return self.gap.is_open

    @property
    def closed(self) -> str:
        """By what it was closed, and the written reason."""
        closing = self.gap.closed_by
        return f"{closing.by}: {closing.reason}" if closing is not None else ""


Line = SheetLine | NetLine | PinLine | LeadLine | DoubtLine | GapLine


def sheet_lines(state: Derived, progress: Mapping[str, SheetProgress]) -> tuple[SheetLine, ...]:
    """Return a line for each sheet, in the order in which they were brought in."""
    misfits = {sheet.id: tuple(reasons) for sheet, reasons in outside_validity(state.project)}
    counts: dict[str, int] = {}
    for finding in state.open_findings:
        if finding.place is not None and finding.in_scope:
            counts[finding.place.sheet] = counts.get(finding.place.sheet, 0) + 1
    return tuple(
        SheetLine(
            sheet=sheet,
            progress=_progress(sheet, state, progress),
            misfits=misfits.get(sheet.id, ()),
            open_count=counts.get(sheet.id, 0),
        )
        for sheet in state.project.sheets
    )


def _progress(sheet: Sheet, state: Derived, at: Mapping[str, SheetProgress]) -> SheetProgress:
    if not sheet.is_read or sheet.kind != "circuit":
        return "reading off"
    return at.get(sheet.id, "read" if sheet.id in state.readings else "not read")


def net_lines(state: Derived) -> tuple[NetLine, ...]:
    """Return a line for each net that carries a pin or a name, or is drawn at all."""
    titles = _titles(state)
    return tuple(
        NetLine(
            key=_net_key(state, net),
            number=net.number,
            names=tuple(sorted({claim.name for claim in net.claims})),
            known=net.claims[0].known.how if net.claims else "",
            pins="  ".join(state.pin_word(pin) for pin in net.pins),
            pin_count=len(net.pins),
            sheets=", ".join(titles[sheet] for sheet in net.sheets),
            in_scope=state.is_net_in_scope(net.number),
        )
        for net in state.netlist.nets
    )


def _net_key(state: Derived, net: Net) -> Hashable:
    """What a net is in words of the document: its first pin, else where it is first drawn."""
    if net.pins:
        return net.pins[0]
    conductor = state.netlist.conductors[net.conductors[0]]
    return (conductor.sheet, conductor.lines[0][0])


def pin_lines(state: Derived) -> tuple[PinLine, ...]:
    """Return a line for each pin that the document knows."""
    titles = _titles(state)
    return tuple(_pin_line(state, pin, titles) for pin in all_pins(state.project))


def _pin_line(state: Derived, pin: PinKey, titles: Mapping[str, str]) -> PinLine:
    placed = state.places_of_pin(pin)
    net = state.net_of(pin)
    open_places = [p for p in placed if p.conductor is None]
    first = [*open_places, *placed][0].anchor if placed else None
    return PinLine(
        pin=pin,
        text=state.pin_word(pin),
        net=net.number if net else None,
        net_name=net.name if net else "",
        sheets=", ".join(dict.fromkeys(titles[p.anchor.sheet] for p in placed)),
        state="not drawn" if not placed else "open" if open_places else "joined",
        place=first,
        in_scope=net is not None and state.is_net_in_scope(net.number),
    )


def lead_lines(state: Derived) -> tuple[LeadLine, ...]:
    """Return a line for each lead of the map."""
    titles = _titles(state)
    at_gaps = {pin for gap in state.gaps if gap.is_open and gap.in_scope for pin in gap.pins}
    return tuple(
        LeadLine(
            row=row,
            a=state.pin_word(row.a),
            b=state.pin_word(row.b) if row.b else "goes nowhere",
            wire=Wire.of(row.colour),
            sheets=", ".join(titles[sheet] for sheet in row.sheets),
            open_text=_open_text(row),
            in_scope=state.is_net_in_scope(row.net),
            is_asked=state.job_gaps is None or bool(at_gaps & {row.a, row.b}),
        )
        for row in state.rows
    )


def _open_text(row: MapRow) -> str:
    if row.is_released:
        return "released"
    count = len(row.open_pieces)
    return f"{count} to confirm" if count else "ends in the open"


def doubt_lines(state: Derived) -> tuple[DoubtLine, ...]:
    """Return a line for each finding, open ones as the walk goes, accepted ones after them."""
    titles = _titles(state)
    accepted = tuple(finding for finding in state.findings if finding.accepted is not None)
    return tuple(
        DoubtLine(finding, titles[finding.place.sheet] if finding.place else "")
        for finding in (*state.open_findings, *accepted)
    )


def gap_lines(state: Derived) -> tuple[GapLine, ...]:
    """Return a line for each gap, open ones in scope first, closed ones with their reason."""
    titles = _titles(state)
    names = {part.id: part.name for part in state.project.parts}
    return tuple(
        GapLine(
            gap,
            "  ".join(state.pin_word(pin) for pin in gap.pins) or names.get(gap.part or "", ""),
            titles[gap.place.sheet] if gap.place else "",
        )
        for gap in state.gaps
    )


def _titles(state: Derived) -> dict[str, str]:
    return {sheet.id: sheet.title for sheet in state.project.sheets}
