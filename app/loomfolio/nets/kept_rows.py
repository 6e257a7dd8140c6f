"""Rows of the map that are kept from one call to the next: sheet by sheet, and run by run where sheets are linked.

A row rests on its sheet, on the nets of its pins, on what is confirmed on the sheet, and on the mates and
names at its pins. All but the sheet is put together as a token; while both are the same, the rows are, too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

from loomfolio.nets.netlist import KeptRows, Netlist, RowsKey
from loomfolio.nets.pieces import pieces_of_name
from loomfolio.nets.records import MapRow
from loomfolio.nets.runs import Run, RunMap
from loomfolio.nets.sheet_nets import SheetNets
from loomfolio.project import PinKey

MakeRows = Callable[[Netlist, RunMap, Run], Iterator[MapRow]]
Token = tuple[object, ...]


def kept_batches(netlist: Netlist, runs: RunMap, make: MakeRows) -> Iterator[tuple[MapRow, ...]]:
    """Yield the rows of each sheet, then those of each run over a link; unchanged ones as they were."""
    tokens = _Tokens(netlist, runs)
    before, kept = netlist.memory.rows, dict[RowsKey, KeptRows]()
    for sheet, own in netlist.sheets.items():
        token = tokens.of_sheet(sheet, own)
        known = before.get(sheet)
        if known is None or not _is_same(known, (own,), token):
            rows = tuple(_rows_of_sheet(netlist, runs, sheet, make))
        else:
            rows = _renumbered(netlist, known.rows)
        kept[sheet] = KeptRows((own,), token, rows)
        yield rows
    for conductors in sorted(set(runs.linked.values())):
        run = runs.run_of(conductors[0])
        sheets, token = tokens.of_run(run)
        locals_ = tokens.key(run)
        known = before.get(locals_)
        if known is None or not _is_same(known, sheets, token):
            rows = tuple(make(netlist, runs, run))
        else:
            rows = _renumbered(netlist, known.rows)
        kept[locals_] = KeptRows(sheets, token, rows)
        yield rows
    netlist.memory.rows = kept


def _renumbered(netlist: Netlist, rows: tuple[MapRow, ...]) -> tuple[MapRow, ...]:
    """The same rows with the numbers that their nets have now."""
    numbers = netlist.net_by_pin
    if all(numbers[row.a] == row.net for row in rows):
        return rows
    return tuple(
        row if numbers[row.a] == row.net else replace(row, net=numbers[row.a]) for row in rows
    )


def _is_same(known: KeptRows, sheets: tuple[SheetNets, ...], token: Token) -> bool:
    return (
        len(known.sheets) == len(sheets)
        and all(old is new for old, new in zip(known.sheets, sheets, strict=True))
        and known.token == token
    )


def _rows_of_sheet(netlist: Netlist, runs: RunMap, sheet: str, make: MakeRows) -> Iterator[MapRow]:
    """The rows of the conductors that do not go on to another sheet."""
    first = netlist.first_conductor[sheet]
    for number in range(first, first + len(netlist.sheets[sheet].graph.conductors)):
        if number not in runs.linked:
            yield from make(netlist, runs, runs.run_of(number))


class _Tokens:
    """What rows rest on beside their sheets, to be compared by value."""

    def __init__(self, netlist: Netlist, runs: RunMap) -> None:
        self._netlist, self._runs = netlist, runs
        self._names = {part.id: part.name for part in netlist.project.parts}
        self._mated_parts = {half.part for m in netlist.project.mates for half in (m.a, m.b)}

    def of_sheet(self, sheet: str, own: SheetNets) -> Token:
        """Return what the rows of a sheet rest on."""
        netlist, first = self._netlist, self._netlist.first_conductor[sheet]
        numbers = netlist.net_of_conductor[first : first + len(own.graph.conductors)]
        linked = self._runs.linked
        gone_on = [n - first for n in range(first, first + len(numbers)) if n in linked]
        pins = [
            pin
            for part in own.pins_of_part.keys() & self._mated_parts
            for pin in own.pins_of_part[part]
        ]
        return (
            self._of_names(numbers),
            tuple(netlist.confirmations.by_sheet.get(sheet, ())),
            tuple(gone_on),
            self._of_mates(pins),
        )

    def key(self, run: Run) -> RowsKey:
        """Return what a run over links is known by: its conductors as their sheets count them."""
        netlist = self._netlist
        sheets = [netlist.sheet_of_conductor(number) for number in run.conductors]
        return tuple(
            (sheet, number - netlist.first_conductor[sheet])
            for sheet, number in zip(sheets, run.conductors, strict=True)
        )

    def of_run(self, run: Run) -> tuple[tuple[SheetNets, ...], Token]:
        """Return the sheets of a run over links, and what else its rows rest on."""
        netlist = self._netlist
        sheets = list(dict.fromkeys(map(netlist.sheet_of_conductor, run.conductors)))
        numbers = tuple(netlist.net_of_conductor[n] for n in run.conductors)
        links = {link.id: link for n in run.conductors for link in self._runs.links_on.get(n, ())}
        token = (
            self._of_names(numbers),
            tuple(c for sheet in sheets for c in netlist.confirmations.by_sheet.get(sheet, ())),
            tuple((link, netlist.confirmations.is_link_confirmed(link)) for link in links.values()),
            self._of_mates([pin.key for pin in run.pins]),
        )
        return tuple(netlist.sheets[sheet] for sheet in sheets), token

    def _of_names(self, numbers: Iterable[int]) -> Token:
        """For each conductor whose net has a name claimed: its place, the name, and what of it is not settled."""
        nets = self._netlist.nets
        return tuple(
            (place, nets[number].name, pieces_of_name(self._netlist, nets[number].claims))
            for place, number in enumerate(numbers)
            if nets[number].claims
        )

    def _of_mates(self, pins: Sequence[PinKey]) -> Token:
        """What meets each pin, and whether that is confirmed, in the words in which it is told."""
        netlist = self._netlist
        mated, places = netlist.mated, netlist.place_of
        return tuple(
            (
                pin,
                other,
                mate,
                detail,
                netlist.confirmations.is_mate_confirmed(mate, detail),
                self._names[pin.part],
                self._names[other.part],
                places.get(pin) or places.get(other),
            )
            for pin in pins
            for other, mate, detail in mated.get(pin, ())
        )
