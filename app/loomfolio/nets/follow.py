"""Follow a pin: every way from it to a module pin, a supply, a ground point or a dead end.

The walk takes all three relations and says which: *joined* (drawn lead, splice, bar, mated contacts),
*passes* (fuse, switch, contact) and *loads* (coil, lamp, motor). A link or mate that is only proposed is
walked too, with its open piece on the step, so that the doubt is seen where it is. The walk stops at
supplies and ground points: what else hangs there is no part of the way.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from loomfolio.nets.connector_map import connector_map
from loomfolio.nets.netlist import Netlist
from loomfolio.nets.pieces import piece_of_mate, pieces_of_path
from loomfolio.nets.records import MapRow, Piece, Relation, Way, WayStep
from loomfolio.nets.runs import Hop, Run, RunMap, RunPin, lines_of
from loomfolio.project import (
    JOINED_THROUGHOUT,
    Anchor,
    InnerWay,
    PartKind,
    PinKey,
    natural_order,
    pin_text,
)

MAX_WAYS = 500
"""A pin with more ways than this is listed up to here, and the last way says so."""

_STOPS: frozenset[PartKind] = frozenset({"ground point", "supply"})


@dataclass(frozen=True, slots=True)
class _Move:
    """One move of the walk: how it is made, and the pin at its end (None where the lead goes nowhere)."""

    relation: Relation
    what: str
    label: str
    end: PinKey | None
    row: MapRow | None = None
    run: Run | None = None
    steps: tuple[WayStep, ...] = ()


def follow(
    netlist: Netlist,
    pin: PinKey,
    *,
    to: PinKey | None = None,
    rows: Sequence[MapRow] | None = None,
) -> tuple[Way, ...]:
    """Return the ways from `pin`, nearest first; with `to`, only those that reach it, ending there.

    A pin that is drawn nowhere has one way: a dead end that says so.
    """
    walker = _Walker(netlist, RunMap(netlist), rows)
    ways: list[Way] = []
    for way in walker.ways(pin):
        ended = way if to is None else _ending_at(netlist, way, to)
        if ended is None or ended in ways:
            continue
        if len(ways) == MAX_WAYS:
            ways[-1] = replace(
                ways[-1],
                ends_at=f"{ways[-1].ends_at} (more than {MAX_WAYS} ways; the rest is not listed)",
            )
            break
        ways.append(ended)
    return tuple(sorted(ways, key=lambda way: (len(way.steps), natural_order(way.ends_at))))


def _ending_at(netlist: Netlist, way: Way, to: PinKey) -> Way | None:
    for position, step in enumerate(way.steps):
        if step.pin == to and position > 0:
            return Way(way.steps[: position + 1], pin_text(netlist.project, to))
    return None


class _Walker:
    """What the walk looks up: rows by pin, runs, inner ways, mates."""

    def __init__(self, netlist: Netlist, runs: RunMap, rows: Sequence[MapRow] | None) -> None:
        self.netlist = netlist
        self.project = netlist.project
        self.runs = runs
        self._rows = rows
        self._parts = {part.id: part for part in netlist.project.parts}

    @cached_property
    def _rows_by_pin(self) -> Mapping[PinKey, list[MapRow]]:
        found: dict[PinKey, list[MapRow]] = {}
        rows = connector_map(self.netlist, self.runs) if self._rows is None else self._rows
        for row in rows:
            for pin in {row.a, row.b} - {None}:
                found.setdefault(pin, []).append(row)  # type: ignore[arg-type]  # None was taken out
        return found

    def ways(self, start: PinKey) -> Iterator[Way]:
        """Yield each way from `start`, depth first in a fixed order."""
        first = self._pin_step(start, "joined")
        yield from self._walk((first,), start, frozenset({start}), is_start=True)

    def _walk(
        self,
        steps: tuple[WayStep, ...],
        at: PinKey,
        seen: frozenset[PinKey],
        *,
        is_start: bool = False,
    ) -> Iterator[Way]:
        if not is_start and self._parts[at.part].kind in _STOPS:
            yield self._end(steps, at)
            return
        goes_on = False
        for move in self._moves(at):
            if move.end is None:
                goes_on = True
                where = f"{pin_text(self.project, at)} goes nowhere"
                yield Way((*steps, *move.steps), where, is_dead_end=True)
            elif move.end not in seen:
                goes_on = True
                walked = (*steps, *move.steps, self._pin_step(move.end, move.relation))
                yield from self._walk(walked, move.end, self._seen(seen, move, at))
        if not goes_on:
            yield self._end(steps, at)

    def _seen(self, seen: frozenset[PinKey], move: _Move, at: PinKey) -> frozenset[PinKey]:
        """Pins that the way must not come back to: the pin itself, and all others of a run or splice passed."""
        passed = set(seen) | {at}
        if move.end is not None:
            passed.add(move.end)
        if move.run is not None:
            passed.update(pin.key for pin in move.run.pins)
        if move.what in {"splice", "joint bar"}:
            passed.update(self._together(at))
        return frozenset(passed)

    def _end(self, steps: tuple[WayStep, ...], at: PinKey) -> Way:
        part = self._parts[at.part]
        kind = "" if part.kind == "device" else f" ({part.kind})"
        is_alone = len(steps) == 1
        text = f"{pin_text(self.project, at)}{kind}"
        return Way(
            steps, f"{text} is drawn with no lead" if is_alone else text, is_dead_end=is_alone
        )

    def _moves(self, at: PinKey) -> Iterator[_Move]:
        yield from self._along_runs(at)
        yield from self._along_known_leads(at)
        yield from self._through_mates(at)
        yield from self._inside(at)

    def _along_runs(self, at: PinKey) -> Iterator[_Move]:
        for run in self.runs.runs_of_pin(at):
            own = next(pin for pin in run.pins if pin.key == at)
            others = [pin for pin in run.pins if pin.key != at]
            if not others:
                if not self._is_settled_elsewhere(at):
                    yield _Move("joined", "lead", "", None, None, run, (self._open_step(own),))
                continue
            paths = self.runs.paths_from(own)
            for other in others:
                reached = [paths[node] for node, _ in other.places if node in paths]
                if reached:
                    hops = min(reached, key=len)
                    step = self._lead_step(at, other.key, hops)
                    yield _Move("joined", "lead", step.label, other.key, None, run, (step,))

    def _is_settled_elsewhere(self, at: PinKey) -> bool:
        """Does another sheet, or a lead that is known, show where this one goes?"""
        return any(row.b is not None for row in self._rows_by_pin.get(at, ()))

    def _along_known_leads(self, at: PinKey) -> Iterator[_Move]:
        drawn = {pin.key for run in self.runs.runs_of_pin(at) for pin in run.pins}
        for row in self._rows_by_pin.get(at, ()):
            other = row.b if row.a == at else row.a
            if other is not None and other not in drawn:
                step = self._row_step(row, ())
                yield _Move("joined", "lead", step.label, other, row, None, (step,))

    def _through_mates(self, at: PinKey) -> Iterator[_Move]:
        for other, mate, detail in self.netlist.mated.get(at, ()):
            piece = piece_of_mate(self.netlist, at, other, mate, detail)
            step = WayStep(
                what="in-line connector",
                label=f"{self._parts[at.part].name} {at.pin}={other.pin}",
                relation="joined",
                pin=None,
                net=None,
                place=piece.place,
                pieces=(piece,),
                note="" if piece.is_confirmed else "proposed, not confirmed",
            )
            yield _Move("joined", "in-line connector", step.label, other, None, None, (step,))

    def _inside(self, at: PinKey) -> Iterator[_Move]:
        part = self._parts[at.part]
        if part.kind in JOINED_THROUGHOUT:
            for other in self._together(at):
                yield _Move("joined", "splice", part.name, other)
            return
        for way in part.ways:
            if at.inner in way.pins:
                for inner in way.pins:
                    if inner != at.inner:
                        end = PinKey(part=part.id, **inner.model_dump())
                        step = self._inner_step(way, part.name, part.kind)
                        yield _Move(way.relation, step.what, step.label, end, None, None, (step,))

    def _together(self, at: PinKey) -> list[PinKey]:
        """The other pins that are the same metal inside the part of `at`."""
        part = self._parts[at.part]
        if part.kind in JOINED_THROUGHOUT:
            return [pin for pin in self.netlist.net_by_pin if pin.part == at.part and pin != at]
        bars = [way for way in part.ways if way.relation == "joined" and at.inner in way.pins]
        return [
            PinKey(part=part.id, **inner.model_dump())
            for way in bars
            for inner in way.pins
            if inner != at.inner
        ]

    def _inner_step(self, way: InnerWay, part: str, kind: PartKind) -> WayStep:
        what = {"joined": "joint bar", "passes": kind, "loads": kind}[way.relation]
        rest = (
            f", {way.at_rest} at rest"
            if way.relation == "passes" and way.at_rest != "unknown"
            else ""
        )
        return WayStep(
            what=what,
            label=f"{part} {way.label}".strip(),
            relation=way.relation,
            pin=None,
            net=None,
            place=None,
            note=f"{way.relation}{rest}",
        )

    def _pin_step(self, pin: PinKey, relation: Relation) -> WayStep:
        return WayStep(
            what="pin",
            label=pin_text(self.project, pin),
            relation=relation,
            pin=pin,
            net=self.netlist.net_by_pin.get(pin),
            place=self.netlist.place_of.get(pin),
            note=self._parts[pin.part].kind,
        )

    def _lead_step(self, a: PinKey, b: PinKey, hops: Sequence[Hop]) -> WayStep:
        for row in self._rows_by_pin.get(a, ()):
            if b in (row.a, row.b):
                return self._row_step(row, hops)
        # two pins of one branch that the map lists from a third: the path itself tells what it rests on
        from_a = next(row for row in self._rows_by_pin.get(a, ()) if row.is_branch)
        return self._row_step(replace(from_a, a=a, b=b, pieces=self._path_pieces(hops)), hops)

    def _path_pieces(self, hops: Sequence[Hop]) -> tuple[Piece, ...]:
        return pieces_of_path(self.netlist, hops)

    def _row_step(self, row: MapRow, hops: Sequence[Hop]) -> WayStep:
        text = " ".join(
            part
            for part in (
                row.colour.text if row.colour is not None else "",
                f"{row.area_mm2:g} mm²" if row.area_mm2 is not None else "",
            )
            if part
        )
        lines = lines_of(hops)
        middle = lines[0][1][len(lines[0][1]) // 2] if lines else None
        return WayStep(
            what="lead",
            label=text or row.net_name or "lead",
            relation="joined",
            pin=None,
            net=row.net,
            place=Anchor(sheet=lines[0][0], at=middle) if middle is not None else None,
            pieces=tuple(p for p in row.pieces if p.kind != "mate"),
            note="" if row.is_released else "not released",
            lines=lines,
        )

    def _open_step(self, pin: RunPin) -> WayStep:
        hops = max(self.runs.paths_from(pin).values(), key=len)
        lines = lines_of(hops)
        return WayStep(
            what="lead",
            label="goes nowhere",
            relation="joined",
            pin=None,
            net=self.netlist.net_by_pin.get(pin.key),
            place=Anchor(sheet=lines[-1][0], at=lines[-1][1][-1]) if lines else None,
            note="ends in the open",
            lines=lines,
        )
