"""Rows of the map that are kept from one call to the next: sheet by sheet, and run by run where sheets are linked.

A row rests on its sheet, on the nets of its pins, on what is confirmed on the sheet, and on the mates and
names at its pins. All but the sheet is put together as a token; while both are the same, the rows are, too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import partial

from loomfolio.nets.netlist import Netlist
from loomfolio.nets.pieces import pieces_of_name
from loomfolio.nets.records import MapRow
from loomfolio.nets.runs import Run, RunMap
from loomfolio.nets.sheet_memory import KeptRows, RowsKey
from loomfolio.nets.sheet_nets import SheetNets
from loomfolio.project import PinKey

MakeRows = Callable[[Netlist, RunMap, Run], Iterator[MapRow]]
Token = tuple[object, ...]


def kept_batches(netlist: Netlist, runs: RunMap, make: MakeRows) -> Iterator[KeptRows]:
    """Yield the rows of each sheet, then those of each run over a link; unchanged ones as they were."""
    tokens = _Tokens(netlist, runs)
    used: set[RowsKey] = set()
    for sheet, own in netlist.sheets.items():
        used.add(sheet)
        numbers = netlist.numbers_on[sheet]
        token = tokens.of_sheet(sheet, own, numbers)
        yield _batch(
            netlist, sheet, ((own,), token, numbers), partial(_of_sheet, netlist, runs, sheet, make)
        )
    for conductors in sorted(set(runs.linked.values())):
        run = runs.run_of(conductors[0])
        key = tokens.key(run)
        used.add(key)
        yield _batch(netlist, key, tokens.of_run(run), partial(make, netlist, runs, run))
    netlist.memory.sheets.forget_rows_but(used)


Grounds = tuple[tuple[SheetNets, ...], Token, tuple[int, ...]]


def _batch(
    netlist: Netlist, key: RowsKey, grounds: Grounds, make: Callable[[], Iterable[MapRow]]
) -> KeptRows:
    """Rows from memory where they rest on the same, else made; with the numbers that their nets have now."""
    memory = netlist.memory.sheets
    sheets, token, numbers = grounds
    known = memory.found_rows(key, sheets, token, numbers)
    if known is not None and known.numbers == numbers:
        return known
    if known is not None:
        rows = tuple(replace(row, net=netlist.net_by_pin[row.a]) for row in known.rows)
        keys = known.keys
    else:
        rows = tuple(make())
        keys = tuple(map(row_order, rows))
    kept = KeptRows(sheets, token, numbers, rows, keys)
    memory.keep_rows(key, kept)
    return kept


def row_order(row: MapRow) -> tuple[object, ...]:
    """Return a sort key for rows: by their pins, in natural order."""
    return (row.a.sort_key, row.b.sort_key if row.b is not None else ())


def _of_sheet(netlist: Netlist, runs: RunMap, sheet: str, make: MakeRows) -> Iterator[MapRow]:
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

    def of_sheet(self, sheet: str, own: SheetNets, numbers: Sequence[int]) -> Token:
        """Return what the rows of a sheet rest on."""
        netlist, first = self._netlist, self._netlist.first_conductor[sheet]
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

    def of_run(self, run: Run) -> Grounds:
        """Return what the rows of a run over links rest on."""
        netlist = self._netlist
        sheets = list(dict.fromkeys(map(netlist.sheet_of_conductor, run.conductors)))
        numbers = tuple(map(netlist.net_of_conductor, run.conductors))
        links = {link.id: link for n in run.conductors for link in self._runs.links_on.get(n, ())}
        token = (
            self._of_names(numbers),
            tuple(c for sheet in sheets for c in netlist.confirmations.by_sheet.get(sheet, ())),
            tuple((link, netlist.confirmations.is_link_confirmed(link)) for link in links.values()),
            self._of_mates([pin.key for pin in run.pins]),
        )
        return tuple(netlist.sheets[sheet] for sheet in sheets), token, numbers

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
