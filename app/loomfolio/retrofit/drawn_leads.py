"""The leads of a connector map as equipment: each lead by its ends, drawn joints as nodes of their own.

Rows that are the same as in the call before make the same leads, so that an edit costs its own rows only.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from loomfolio.nets import MapRow
from loomfolio.project import PinKey
from loomfolio.retrofit.lead_table import LeadTable
from loomfolio.retrofit.nodes import ends_of
from loomfolio.retrofit.records import Ends, EquippedLead, Node

_RowKey = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class DrawnLeads:
    """The leads of a map; `joints` are the drawn dots that are no named splice, with what they are called."""

    leads: LeadTable
    joints: Mapping[str, str]
    loose: frozenset[PinKey]


@dataclass(frozen=True, slots=True)
class _Made:
    """What rows were made into. The rows are held, so that their identities stay theirs."""

    rows: tuple[MapRow, ...]
    leads: Mapping[Ends, EquippedLead]
    joint: str = ""
    joint_name: str = ""


@dataclass
class KeptLeads:
    """What the call before made, by the rows that it was made of."""

    ground: tuple[object, ...] = ()
    made: dict[tuple[_RowKey, ...], _Made] = field(default_factory=dict)
    table: LeadTable = field(default_factory=LeadTable)

    def leads_of(
        self,
        rows: Sequence[MapRow],
        hubs: Mapping[str, object],
        part_names: Mapping[str, str],
        sheet_titles: Mapping[str, str],
    ) -> DrawnLeads:
        """Return the leads of a map, and keep them for the next call."""
        ground = (dict(hubs), dict(part_names), dict(sheet_titles))
        if ground != self.ground:
            self.ground, self.made, self.table = ground, {}, LeadTable()
        maker = _Maker(hubs, part_names, sheet_titles)
        before, self.made = self.made, {}
        fresh: list[_Made] = []
        for group in _groups(rows):
            key = tuple(map(_row_key, group))
            known = before.pop(key, None)
            if known is None:
                known = maker.made(group)
                fresh.append(known)
            self.made[key] = known
        self._update([*before.values()], fresh)
        joints = {one.joint: one.joint_name for one in self.made.values() if one.joint}
        loose = frozenset(row.a for row in rows if row.b is None)
        return DrawnLeads(self.table, joints, loose)

    def _update(self, lost: Sequence[_Made], fresh: Sequence[_Made]) -> None:
        """Bring the table up to date.

        Of two rows that make one lead (from one pin to one splice twice) the first in order counts,
        whichever was there before.
        """
        gone = {ends for one in lost for ends in one.leads}
        new: dict[Ends, EquippedLead] = {}
        for one in fresh:
            _take(new, one.leads)
        doubled = {e for e in (*gone, *new) if any(isinstance(node, str) for node in e)}
        if doubled:
            for one in self.made.values():
                _take(new, {e: lead for e, lead in one.leads.items() if e in doubled})
        self.table = self.table.changed(gone=gone, new=new)


def _take(new: dict[Ends, EquippedLead], leads: Mapping[Ends, EquippedLead]) -> None:
    for ends, lead in leads.items():
        known = new.get(ends)
        if known is None or _order(lead) < _order(known):
            new[ends] = lead


def _order(lead: EquippedLead) -> list[tuple[object, ...]]:
    return [pin.sort_key for pin in lead.pins]


def _groups(rows: Sequence[MapRow]) -> list[tuple[MapRow, ...]]:
    """Rows one by one, but those of one drawn joint together."""
    groups: list[tuple[MapRow, ...]] = []
    joints: dict[PinKey, list[MapRow]] = {}
    for row in rows:
        if row.b is None:
            continue
        if row.is_branch:
            joints.setdefault(row.a, []).append(row)
        else:
            groups.append((row,))
    return [*groups, *map(tuple, joints.values())]


def _row_key(row: MapRow) -> _RowKey:
    """What a row is recognised by: these objects are the same ones where nothing but a net's number changed."""
    return (id(row.a), id(row.b), id(row.pieces), id(row.places), id(row.colour), row.is_branch)


@dataclass(frozen=True)
class _Maker:
    hubs: Mapping[str, object]
    part_names: Mapping[str, str]
    sheet_titles: Mapping[str, str]

    def made(self, rows: tuple[MapRow, ...]) -> _Made:
        first = rows[0]
        if not first.is_branch:
            ends = ends_of(self._node(first.a), self._node(first.b or first.a))
            leads = {ends: self._lead(first, _pins(first))} if ends[0] != ends[1] else {}
            return _Made(rows, leads)
        pin = first.a
        joint = f"joint {pin.part}/{pin.connector}/{pin.half}/{pin.pin}"
        pins = [pin, *(row.b for row in rows if row.b is not None)]
        legs: dict[Ends, EquippedLead] = {}
        for end, row in zip(pins, (first, *rows), strict=True):
            look = self._lead(row, (end,))
            if end is pin and len({row.colour for row in rows}) > 1:
                look = replace(look, colour=None)
            legs.setdefault(ends_of(self._node(end), joint), look)
        return _Made(rows, legs, joint, f"the joint of {', '.join(map(self._text, pins))}")

    def _node(self, pin: PinKey) -> Node:
        return pin.part if pin.part in self.hubs else pin

    def _text(self, pin: PinKey) -> str:
        connector = f" {pin.connector}" if pin.connector else ""
        half = f".{pin.half}" if pin.half else ""
        return f"{self.part_names[pin.part]}{connector}{half}:{pin.pin}"

    def _lead(self, row: MapRow, pins: tuple[PinKey, ...]) -> EquippedLead:
        return EquippedLead(
            pins=pins,
            colour=row.colour,
            area_mm2=row.area_mm2,
            source=self._source(row),
            place=row.places[0] if row.places else None,
            doubts=tuple(piece.sentence for piece in row.open_pieces),
            is_seen=row.known.how in {"seen", "measured"},
        )

    def _source(self, row: MapRow) -> str:
        """Where a lead is documented: its sheets, or how else it is known."""
        if row.sheets:
            return "sheet " + ", ".join(self.sheet_titles[sheet] for sheet in row.sheets)
        return f"{row.known.how} {row.known.source}".strip()


def _pins(row: MapRow) -> tuple[PinKey, ...]:
    return (row.a,) if row.b is None else (row.a, row.b)
