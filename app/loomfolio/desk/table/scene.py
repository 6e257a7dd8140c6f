"""Everything the table shows of one document at one moment, with look-ups that are made once.

A `Scene` is made anew when the document changes and never altered. Gestures read it, painters read
it; it knows no Qt.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

from loomfolio.basics import MmPoint
from loomfolio.desk.table.geometry import direction_outwards
from loomfolio.desk.table.layout import TableLayout
from loomfolio.desk.table.seams import TableNetlist
from loomfolio.nets import DrawnConductor, MapRow, Net, PlacedPin, Spot, derive
from loomfolio.project import (
    Anchor,
    BodyMark,
    LeadColour,
    Link,
    Mark,
    NameMark,
    PinKey,
    Project,
    pin_text,
)
from loomfolio.reading import PrintedWord
from loomfolio.retrofit import Gap

_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class LinkEnd:
    """One end of a link, as seen from the sheet that it is drawn on."""

    link: Link
    sheet: str
    here: MmPoint
    there: Anchor | None
    is_leaving: bool
    """Whether this is the end that the link was drawn from."""


@dataclass(frozen=True, slots=True)
class LineEnd:
    """An open end of a drawn conductor."""

    at: MmPoint
    conductor: int


@dataclass(frozen=True, slots=True)
class Release:
    """Whether the leads of a net may go to the bench, and how many pieces are still open."""

    is_released: bool
    open_pieces: int


class Scene:
    """The document, its netlist and map as the table needs them, sheet by sheet."""

    def __init__(
        self,
        project: Project,
        netlist: TableNetlist,
        rows: Sequence[MapRow],
        gaps: Sequence[Gap] = (),
        words: Mapping[str, Sequence[PrintedWord]] | None = None,
    ) -> None:
        self.words = words or {}
        self.project, self.netlist = project, netlist
        self._gaps = tuple(gaps)
        self.layout = TableLayout(project)
        self.release = _release_by_net(rows)
        self.leads = _leads_by_net(rows)
        self._conductors: dict[str, dict[int, DrawnConductor]] = {}
        self._ends: dict[str, tuple[LineEnd, ...]] = {}
        self._outwards: dict[LinkEnd, float] = {}
        self._pin_texts: dict[PinKey, str] = {}

    @staticmethod
    def empty() -> Scene:
        """Return the scene of an empty table."""
        project = Project()
        return Scene(project, derive(project, {}), ())

    # ------------------------------------------------------------------ what the person put there
    @cached_property
    def marks(self) -> Mapping[str, tuple[Mark, ...]]:
        """The marks of each sheet."""
        return _by_sheet((mark.sheet, mark) for mark in self.project.marks)

    @cached_property
    def mark_by_id(self) -> Mapping[str, Mark]:
        """All marks by id."""
        return {mark.id: mark for mark in self.project.marks}

    @cached_property
    def link_ends(self) -> Mapping[str, tuple[LinkEnd, ...]]:
        """The ends of links on each sheet."""
        pairs: list[tuple[str, LinkEnd]] = []
        for link in self.project.links:
            pairs.append(
                (link.a.sheet, LinkEnd(link, link.a.sheet, link.a.at, link.b, is_leaving=True))
            )
            if link.b is not None:
                pairs.append(
                    (link.b.sheet, LinkEnd(link, link.b.sheet, link.b.at, link.a, is_leaving=False))
                )
        return _by_sheet(pairs)

    @cached_property
    def _link_letters(self) -> Mapping[str, str]:
        return {link.id: letters_of(i) for i, link in enumerate(self.project.links)}

    def link_letter(self, link: Link) -> str:
        """Return the letter printed at a link's ends: its own label, or one by its turn."""
        return link.label or self._link_letters[link.id]

    def outwards(self, end: LinkEnd) -> float:
        """Return the direction in which a link leaves its sheet here (radians, y down)."""
        if end not in self._outwards:
            held = self.netlist.snap(end.sheet, end.here).conductor
            drawn = self.conductors(end.sheet).get(held) if held is not None else None
            self._outwards[end] = direction_outwards(end.here, drawn.lines if drawn else ())
        return self._outwards[end]

    def confirmed_places(self, sheet_id: str) -> tuple[MmPoint, ...]:
        """Return the places of a sheet that carry a tick, from the top left."""
        return self._confirmed_places.get(sheet_id, ())

    @cached_property
    def _confirmed_places(self) -> Mapping[str, tuple[MmPoint, ...]]:
        records = {c.record for c in self.project.confirmations if c.record}
        places = {(c.place.sheet, c.place.at) for c in self.project.confirmations if c.place}
        places |= {
            (sheet_id, end.here)
            for sheet_id, ends in self.link_ends.items()
            for end in ends
            if end.link.id in records
        }
        return _by_sheet(sorted(places))

    def bodies_on(self, sheet_id: str) -> tuple[BodyMark, ...]:
        """Return the bodies marked on a sheet."""
        return self._bodies.get(sheet_id, ())

    @cached_property
    def _bodies(self) -> Mapping[str, tuple[BodyMark, ...]]:
        return _by_sheet((m.sheet, m) for m in self.project.marks if isinstance(m, BodyMark))

    def part_name(self, body: BodyMark) -> str:
        """Return what stands on a body: part, connector and half."""
        name = next((p.name for p in self.project.parts if p.id == body.part), body.part)
        text = f"{name} {body.connector}".strip()
        return f"{text}.{body.half}" if body.half else text

    def pin_text(self, pin: PinKey) -> str:
        """Return a pin as a person writes it."""
        if pin not in self._pin_texts:
            self._pin_texts[pin] = pin_text(self.project, pin)
        return self._pin_texts[pin]

    # ------------------------------------------------------------------ what is derived
    @cached_property
    def open_gaps(self) -> Mapping[str, tuple[Gap, ...]]:
        """The open gaps of each sheet that have a place on it, those in scope first."""
        return _by_sheet(
            (gap.place.sheet, gap) for gap in self._gaps if gap.is_open and gap.place is not None
        )

    def conductors(self, sheet_id: str) -> Mapping[int, DrawnConductor]:
        """Return the conductors of a sheet by number."""
        if sheet_id not in self._conductors:
            drawn = self.netlist.conductors_on(sheet_id)
            self._conductors[sheet_id] = {c.number: c for c in drawn}
        return self._conductors[sheet_id]

    def net_of(self, sheet_id: str, conductor: int | None) -> int | None:
        """Return the number of the net that a conductor of a sheet belongs to."""
        drawn = self.conductors(sheet_id).get(conductor) if conductor is not None else None
        return drawn.net if drawn else None

    def net(self, number: int | None) -> Net | None:
        """Return a net; None for None and for a number that is gone."""
        if number is None:
            return None
        try:
            return self.netlist.net(number)
        except LookupError:
            return None

    def pins(self, sheet_id: str) -> Sequence[PlacedPin]:
        """Return the pins that a sheet draws."""
        return self.netlist.pins_on(sheet_id)

    @cached_property
    def pins_of_net(self) -> Mapping[int, tuple[PlacedPin, ...]]:
        """Where the pins of each net are drawn, over all sheets."""
        found: dict[int, list[PlacedPin]] = defaultdict(list)
        for laid in self.layout.sheets:
            for placed in self.pins(laid.id):
                net = self.netlist.net_of_pin(placed.pin)
                if net is not None:
                    found[net.number].append(placed)
        return {net: tuple(pins) for net, pins in found.items()}

    def spots(self, sheet_id: str) -> Sequence[Spot]:
        """Return the places of a sheet that can be answered."""
        return self.netlist.spots_on(sheet_id)

    def ends(self, sheet_id: str) -> tuple[LineEnd, ...]:
        """Return the open ends of a sheet's conductors: vertices that only one line touches once."""
        if sheet_id not in self._ends:
            self._ends[sheet_id] = tuple(
                LineEnd(at, conductor.number)
                for conductor in self.conductors(sheet_id).values()
                for at in _open_ends(conductor)
            )
        return self._ends[sheet_id]

    def name_marks_of(self, number: int) -> tuple[NameMark, ...]:
        """Return the name marks that give a net its name."""
        net = self.net(number)
        marks = (self.mark_by_id.get(claim.source) for claim in net.claims) if net else ()
        return tuple(mark for mark in marks if isinstance(mark, NameMark))


def letters_of(index: int) -> str:
    """Return A to Z for 0 to 25, then AA, AB and so on, as columns are counted.

    >>> [letters_of(i) for i in (0, 25, 26, 701, 702)]
    ['A', 'Z', 'AA', 'ZZ', 'AAA']
    """
    text = ""
    rest = index + 1
    while rest:
        rest, digit = divmod(rest - 1, 26)
        text = chr(ord("A") + digit) + text
    return text


def _by_sheet(pairs: Iterable[tuple[str, _T]]) -> Mapping[str, tuple[_T, ...]]:
    found: dict[str, list[_T]] = defaultdict(list)
    for sheet_id, record in pairs:
        found[sheet_id].append(record)
    return {sheet_id: tuple(records) for sheet_id, records in found.items()}


def _open_ends(conductor: DrawnConductor) -> tuple[MmPoint, ...]:
    touched = Counter(point for line in conductor.lines for point in line)
    tips = (tip for line in conductor.lines for tip in (line[0], line[-1]))
    return tuple(dict.fromkeys(tip for tip in tips if touched[tip] == 1))


def lead_text(colour: LeadColour | None, area_mm2: float | None) -> str:
    """Return a lead's colour and area as they are written beside it: `BU/BK 0.75 mm²`."""
    area = f"{area_mm2:g} mm²" if area_mm2 else ""
    return " ".join(word for word in (colour.text if colour else "", area) if word)


def _leads_by_net(rows: Sequence[MapRow]) -> Mapping[int, tuple[str, ...]]:
    """What is known of the colours and areas of each net's leads, each once."""
    found: dict[int, dict[str, None]] = defaultdict(dict)
    for row in rows:
        text = lead_text(row.colour, row.area_mm2)
        if text:
            found[row.net][text] = None
    return {net: tuple(texts) for net, texts in found.items()}


def _release_by_net(rows: Sequence[MapRow]) -> Mapping[int, Release]:
    """A net is released when each of its leads is."""
    found: dict[int, Release] = {}
    for row in rows:
        before = found.get(row.net, Release(True, 0))
        found[row.net] = Release(
            before.is_released and row.is_released, before.open_pieces + len(row.open_pieces)
        )
    return found
