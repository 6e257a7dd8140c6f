"""The connector-to-connector map: every lead, from pin to pin, with what it rests on.

A run with two pins is one lead. A run with more is a drawn branch: its leads meet at a join that is no
named splice, and each is listed from the run's first pin in natural order. A run with one pin goes nowhere.
A lead drawn on two sheets is one row; a lead that a list or a look at the vehicle bears out needs no
confirming of what is drawn.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from operator import itemgetter

from loomfolio.nets.kept_rows import kept_batches, row_order
from loomfolio.nets.netlist import Netlist
from loomfolio.nets.pieces import piece_of_lead, piece_of_mate, pieces_of_name, pieces_of_path
from loomfolio.nets.records import MapRow, Piece
from loomfolio.nets.runs import Hop, Run, RunMap, RunPin
from loomfolio.nets.sheet_memory import KeptRows
from loomfolio.project import Anchor, Known, Lead, LeadMark, PinKey


def connector_map(netlist: Netlist, run_map: RunMap | None = None) -> tuple[MapRow, ...]:
    """Return every lead of the netlist in natural order of its pins; `b` is None where it goes nowhere.

    Rows of sheets on which nothing changed since the last call with the netlist's memory are taken over.
    """
    runs = run_map or RunMap(netlist)
    batches = list(kept_batches(netlist, runs, _rows_of_run))
    pairs = [pair for batch in batches for pair in zip(batch.keys, batch.rows, strict=True)]
    if _may_repeat(netlist, batches):
        pairs = [(row_order(row), row) for row in _without_repeats([row for _, row in pairs])]
    if netlist.project.leads:
        rows = _with_known_leads(netlist, [row for _, row in pairs])
        pairs = [(row_order(row), row) for row in rows]
    return tuple(row for _, row in sorted(pairs, key=itemgetter(0)))


def _may_repeat(netlist: Netlist, batches: Sequence[KeptRows]) -> bool:
    """May one lead stand in two rows? Only where a part is drawn on several sheets, or a pin twice on one."""
    parts: set[str] = set()
    for own in netlist.sheets.values():
        drawn = own.pins_of_part.keys()
        if not parts.isdisjoint(drawn) or own.draws_a_pin_twice:
            return True
        parts.update(drawn)
    return len(batches) > len(netlist.sheets)


def _rows_of_run(netlist: Netlist, runs: RunMap, run: Run) -> Iterator[MapRow]:
    if not run.pins:
        return
    first, *others = run.pins
    if not others:
        yield _row(netlist, run, first, None, ())
        return
    paths = runs.paths_from(first)
    for other in others:
        reached = [paths[node] for node, _ in other.places if node in paths]
        if reached:
            yield _row(netlist, run, first, other, min(reached, key=len))


def _row(netlist: Netlist, run: Run, a: RunPin, b: RunPin | None, hops: Sequence[Hop]) -> MapRow:
    net = netlist.nets[netlist.net_by_pin[a.key]]
    pieces = [*pieces_of_path(netlist, hops), *_mate_pieces(netlist, a.key)]
    pieces += _mate_pieces(netlist, b.key) if b is not None else ()
    pieces += pieces_of_name(netlist, net.claims)
    pieces += _number_pieces(a, b)
    notes = _lead_notes(netlist, hops) if b is not None else _run_notes(netlist, run)
    colours = {note.colour for note in notes if note.colour is not None}
    areas = {note.area_mm2 for note in notes if note.area_mm2 is not None}
    sheets = sorted({netlist.sheet_of_conductor(number) for number in run.conductors})
    return MapRow(
        net=net.number,
        net_name=net.name or (_name_of(netlist, b.key) if b is not None else ""),
        a=a.key,
        b=None if b is None else b.key,
        colour=next(iter(colours)) if len(colours) == 1 else None,
        area_mm2=next(iter(areas)) if len(areas) == 1 else None,
        is_branch=len(run.pins) > 2,
        places=_places(a, b),
        sheets=tuple(sheets),
        pieces=tuple(pieces),
        known=Known(how="printed", source=", ".join(sheets)),
        noted_colours=tuple(sorted(colours, key=lambda colour: colour.text)),
    )


def _name_of(netlist: Netlist, pin: PinKey) -> str:
    net = netlist.net_of_pin(pin)
    return net.name if net is not None else ""


def _places(a: RunPin, b: RunPin | None) -> tuple[Anchor, ...]:
    pins = (a,) if b is None else (a, b)
    return tuple(
        Anchor(sheet=node[0], at=matched.pin.at) for pin in pins for node, matched in pin.places
    )


def _mate_pieces(netlist: Netlist, pin: PinKey) -> tuple[Piece, ...]:
    return tuple(
        piece_of_mate(netlist, pin, other, mate, detail)
        for other, mate, detail in netlist.mated.get(pin, ())
    )


def _number_pieces(a: RunPin, b: RunPin | None) -> tuple[Piece, ...]:
    """A pin whose number nobody has confirmed holds its lead back."""
    return tuple(
        Piece(
            kind="name",
            sentence=f"The pin number {matched.pin.pin} is only inferred",
            is_confirmed=False,
            place=Anchor(sheet=node[0], at=matched.pin.at),
        )
        for pin in ((a,) if b is None else (a, b))
        for node, matched in pin.places
        if not matched.pin.known.is_sure
    )


def _lead_notes(netlist: Netlist, hops: Sequence[Hop]) -> list[LeadMark]:
    """The colour and area notes that stand on a path."""
    on_path = {(hop.start[0], hop.edge.number) for hop in hops if hop.edge is not None}
    return [
        held.mark
        for sheet in sorted({sheet for sheet, _ in on_path})
        for held in netlist.sheets[sheet].graph.holds
        if isinstance(held.mark, LeadMark) and (sheet, held.edge) in on_path
    ]


def _run_notes(netlist: Netlist, run: Run) -> list[LeadMark]:
    """The colour and area notes that stand anywhere on a run."""
    notes: list[LeadMark] = []
    for number in run.conductors:
        sheet = netlist.sheet_of_conductor(number)
        local = number - netlist.first_conductor[sheet]
        notes += [
            held.mark
            for held in netlist.sheets[sheet].graph.holds
            if isinstance(held.mark, LeadMark) and held.snap.conductor == local
        ]
    return notes


def _without_repeats(rows: Sequence[MapRow]) -> list[MapRow]:
    """Make one row of a lead that is drawn on several sheets: the drawing with the fewest open pieces counts."""
    by_ends: dict[tuple[PinKey, PinKey | None], MapRow] = {}
    for row in rows:
        known = by_ends.get((row.a, row.b))
        if known is None:
            by_ends[row.a, row.b] = row
            continue
        best = min((known, row), key=lambda r: len(r.open_pieces))
        by_ends[row.a, row.b] = replace(
            best,
            colour=known.colour or row.colour,
            area_mm2=known.area_mm2 or row.area_mm2,
            places=(*known.places, *row.places),
            sheets=tuple(sorted({*known.sheets, *row.sheets})),
        )
    loose = {row.a for row in by_ends.values() if row.b is None}
    if not loose:
        return list(by_ends.values())
    # another sheet may show where a lead goes that ends in the open on one
    shown = {
        (pin, row.net)
        for row in by_ends.values()
        if row.b is not None
        for pin in (row.a, row.b)
        if pin in loose
    }
    return [r for r in by_ends.values() if r.b is not None or (r.a, r.net) not in shown]


def _with_known_leads(netlist: Netlist, rows: Sequence[MapRow]) -> list[MapRow]:
    if not netlist.project.leads:
        return list(rows)
    by_ends = {frozenset((row.a, row.b)): row for row in rows}
    for lead in netlist.project.leads:
        ends = frozenset(lead.ends)
        drawn = by_ends.get(ends)
        by_ends[ends] = _row_of_lead(netlist, lead) if drawn is None else _borne_out(drawn, lead)
    return list(by_ends.values())


def _row_of_lead(netlist: Netlist, lead: Lead) -> MapRow:
    a, b = sorted(lead.ends, key=lambda pin: pin.sort_key)
    net = netlist.nets[netlist.net_by_pin[a]]
    return MapRow(
        net=net.number,
        net_name=net.name,
        a=a,
        b=b,
        colour=lead.colour,
        area_mm2=lead.area_mm2,
        is_branch=False,
        places=(),
        sheets=(),
        pieces=(piece_of_lead(netlist, lead), *_mate_pieces(netlist, a), *_mate_pieces(netlist, b)),
        known=lead.known,
    )


def _borne_out(row: MapRow, lead: Lead) -> MapRow:
    """A lead that is drawn and also known otherwise: two sources, so its drawn places need no confirming."""
    drawn = {"join", "crossing", "gap", "touch", "end", "link"}
    settles = lead.known.is_sure and not row.is_branch
    pieces = tuple(
        replace(piece, is_confirmed=True) if settles and piece.kind in drawn else piece
        for piece in row.pieces
    )
    return replace(
        row,
        pieces=pieces,
        colour=row.colour or lead.colour,
        area_mm2=row.area_mm2 or lead.area_mm2,
    )
