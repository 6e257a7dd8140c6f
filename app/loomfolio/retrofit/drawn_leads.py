"""The leads of a connector map as equipment: each lead by its ends, drawn joints as nodes of their own.

Rows that are the same as in the call before make the same leads, so that an edit costs its own rows only.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace

from loomfolio.nets import MapRow, row_order
from loomfolio.project import PinKey
from loomfolio.retrofit.lead_table import LeadTable
from loomfolio.retrofit.nodes import ends_of
from loomfolio.retrofit.records import Ends, EquippedLead, Node

_RowKey = tuple[object, ...]


@dataclass(frozen=True, slots=True)
class DrawnLeads:
    """The leads of a map; `joints` are the drawn dots that are no named splice, with the pins on their legs."""

    leads: LeadTable
    joints: Mapping[str, tuple[PinKey, ...]]
    loose: frozenset[PinKey]


@dataclass(frozen=True, slots=True)
class _Made:
    """What rows were made into. The rows are held, so that their identities stay theirs."""

    rows: tuple[MapRow, ...]
    leads: Mapping[Ends, EquippedLead]
    joint: str = ""
    pins: tuple[PinKey, ...] = ()


_Key = tuple[_RowKey, ...]


@dataclass
class MadeLeads:
    """What rows were made into, for all fits: the same rows make the very same leads."""

    by_rows: dict[_Key, _Made] = field(default_factory=dict)

    def forget_all_but(self, used: Mapping[_Key, _Made]) -> None:
        """Forget what is long gone, once it is much more than what is in use."""
        if len(self.by_rows) > 4 * len(used) + 1000:
            self.by_rows = dict(used)


@dataclass
class KeptLeads:
    """The leads of the call before in one fit, by the rows that they were made of.

    Several of one document may share what they made.
    """

    shared: MadeLeads = field(default_factory=MadeLeads)
    titles: Mapping[str, str] = field(default_factory=dict)
    made: dict[_Key, _Made] = field(default_factory=dict)
    table: LeadTable = field(default_factory=LeadTable)
    rows: tuple[MapRow, ...] = ()
    hubs: frozenset[str] = frozenset()

    def leads_of(
        self, rows: Sequence[MapRow], hubs: Collection[str], sheet_titles: Mapping[str, str]
    ) -> DrawnLeads:
        """Return the leads of a map, and keep them for the next call."""
        own_hubs = frozenset(hubs)
        if sheet_titles != self.titles:
            self.titles, self.shared.by_rows = dict(sheet_titles), {}
            self.made, self.table, self.rows = {}, LeadTable(), ()
        if own_hubs != self.hubs:
            self.hubs, self.made, self.table, self.rows = own_hubs, {}, LeadTable(), ()
        lost_rows, new_rows = _changed_rows(self.rows, rows)
        fresh: list[_Made] = []
        lost = [
            gone
            for group in _groups(lost_rows)
            if (gone := self.made.pop(self._key(group), None)) is not None
        ]
        for group in _groups(new_rows):
            key = self._key(group)
            made = self.shared.by_rows.get(key)
            if made is None:
                made = self.shared.by_rows[key] = _made(group, own_hubs, sheet_titles)
            self.made[key] = made
            fresh.append(made)
        self._update(lost, fresh)
        self.rows = tuple(rows)
        self.shared.forget_all_but(self.made)
        joints = {one.joint: one.pins for one in self.made.values() if one.joint}
        loose = frozenset(row.a for row in rows if row.b is None)
        return DrawnLeads(self.table, joints, loose)

    def _key(self, group: Sequence[MapRow]) -> _Key:
        """The rows, and which of their ends are splices or ground points."""
        hubs = tuple(
            pin.part in self.hubs for row in group for pin in (row.a, row.b) if pin is not None
        )
        return (*map(_row_key, group), hubs)

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
        if doubled and self.rows:
            for one in self.made.values():
                _take(new, {e: lead for e, lead in one.leads.items() if e in doubled})
        self.table = self.table.changed(gone=gone, new=new)


def _changed_rows(
    before: Sequence[MapRow], after: Sequence[MapRow]
) -> tuple[list[MapRow], list[MapRow]]:
    """What is between the rows that both lists begin and end with, and all of drawn joints on both sides."""
    head = 0
    for old, new in zip(before, after, strict=False):
        if old is not new:
            break
        head += 1
    tail = 0
    most = min(len(before), len(after)) - head
    while tail < most and before[-1 - tail] is after[-1 - tail]:
        tail += 1
    lost, new_rows = list(before[head : len(before) - tail]), list(after[head : len(after) - tail])
    joints = {row.a for row in (*lost, *new_rows) if row.is_branch}
    for rows, start, changed in ((before, head, lost), (after, head, new_rows)):
        end = len(rows) - tail
        rest = (*rows[:start], *rows[end:]) if joints else ()
        changed.extend(row for row in rest if row.is_branch and row.a in joints)
    for changed in (lost, new_rows):
        changed.sort(key=row_order)
    return lost, new_rows


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


def _made(rows: Sequence[MapRow], hubs: Collection[str], sheet_titles: Mapping[str, str]) -> _Made:
    """Make one lead of one row, or the legs of a joint of all its rows."""

    def node(pin: PinKey) -> Node:
        return pin.part if pin.part in hubs else pin

    first = rows[0]
    if not first.is_branch:
        ends = ends_of(node(first.a), node(first.b or first.a))
        is_lead = ends[0] != ends[1]
        leads = {ends: _lead(first, _pins(first), sheet_titles)} if is_lead else {}
        return _Made(tuple(rows), leads)
    pin = first.a
    joint = f"joint {pin.part}/{pin.connector}/{pin.half}/{pin.pin}"
    pins = (pin, *(row.b for row in rows if row.b is not None))
    legs: dict[Ends, EquippedLead] = {}
    for end, row in zip(pins, (first, *rows), strict=True):
        look = _lead(row, (end,), sheet_titles)
        if end is pin and len({row.colour for row in rows}) > 1:
            look = replace(look, colour=None)
        legs.setdefault(ends_of(node(end), joint), look)
    return _Made(tuple(rows), legs, joint, pins)


def _lead(row: MapRow, pins: tuple[PinKey, ...], sheet_titles: Mapping[str, str]) -> EquippedLead:
    source = f"{row.known.how} {row.known.source}".strip()
    if row.sheets:
        source = "sheet " + ", ".join(sheet_titles[sheet] for sheet in row.sheets)
    return EquippedLead(
        pins=pins,
        colour=row.colour,
        area_mm2=row.area_mm2,
        source=source,
        place=row.places[0] if row.places else None,
        doubts=tuple(piece.sentence for piece in row.open_pieces),
        is_seen=row.known.how in {"seen", "measured"},
    )


def _pins(row: MapRow) -> tuple[PinKey, ...]:
    return (row.a,) if row.b is None else (row.a, row.b)
