"""Gaps in whole things and in their places: devices, connectors, plugs, headers, terminals, bars."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from loomfolio.project import CavityEntry, HalfKey, PinKey
from loomfolio.retrofit.gap_writer import About, GapWriter, half_key_text, node_key
from loomfolio.retrofit.nodes import node_order
from loomfolio.retrofit.records import Gap, GapKind, Mend
from loomfolio.retrofit.state import Bar, bar_name

BAD_CAVITIES = frozenset({"empty", "plugged", "corroded"})
_HEADER_KINDS: dict[str, GapKind] = {
    "missing": "pin missing in header",
    "driver not populated": "section or driver not populated",
    "needs coding": "needs coding",
}
_POSITION_LACKS = {
    "moulding only": "terminals, leads and the part itself",
    "terminals but no lead": "leads and the part itself",
    "lead but no part": "the part itself",
    "part but nothing feeding it": "its feed",
}


class ThingGaps(GapWriter):
    """Finds what is not there, or stands in the way, as a whole."""

    def gaps(self) -> Iterator[Gap]:
        """Yield every gap once."""
        yield from self._parts()
        yield from self._halves()
        yield from self._plugs()
        yield from self._positions()
        yield from self._headers()
        yield from self._terminals()
        yield from (self._bar(bar) for bar in self.steps.bars)
        yield from self._parted()

    def _parts(self) -> Iterator[Gap]:
        for part in self.steps.whole.parts:
            kind, name = self.target.part_kinds[part], self.target.part_names[part]
            about = About("device missing", part, part=part)
            sentence = f"The {kind} {name} is missing, with its connectors"
            yield self.gap(about, sentence, self.sides.of_part(part), Mend(part=part))

    def _halves(self) -> Iterator[Gap]:
        for half in self.steps.whole.halves:
            about = About("connector missing", half_key_text(half), self.pins_of(half), half.part)
            sentence = f"The connector {self.target.half_text(half)} is missing"
            yield self.gap(about, sentence, self.sides.of_half(half), Mend(half=half))

    def _plugs(self) -> Iterator[Gap]:
        for half in self.steps.whole.plugged:
            entry = self.seen.halves[half]
            about = About(
                "dummy plug or bridge must go", half_key_text(half), self.pins_of(half), half.part
            )
            sentence = f"A {entry.state} sits on {self.target.half_text(half)} and must go"
            grounds = self.sides.of_half(half)
            yield self.gap(about, sentence, grounds, Mend(half=half, gone_halves=(half,)))
        for part, halves in groupby(self.steps.whole.foreign, key=lambda half: half.part):
            yield self._foreign(part, tuple(halves))

    def _foreign(self, part: str, halves: tuple[HalfKey, ...]) -> Gap:
        """A part that the target does not have, plugged on where the target mates otherwise."""
        on = [
            pin
            for mine, other in self.vehicle.mates
            for pin in ({*self.pins_of(mine), *self.pins_of(other)})
            if mine in halves or other in halves
        ]
        name = self.vehicle.part_names[part]
        about = About(
            "dummy plug or bridge must go", part, tuple(sorted(set(on), key=node_order)), part
        )
        grounds = self.sides.of_foreign_part(part, halves)
        return self.gap(about, f"{name} must go", grounds, Mend(gone_halves=halves))

    # ---------------------------------------------------------------------- what was seen in places

    def _positions(self) -> Iterator[Gap]:
        for part, entry in self.seen.positions.items():
            if part in self.target.part_kinds and entry.grade in _POSITION_LACKS:
                name = self.target.part_names[part]
                about = About("device position of a lower grade", part, part=part)
                lacks = _POSITION_LACKS[entry.grade]
                sentence = f"The position of {name} is {entry.grade}: it lacks {lacks}"
                yield self.gap(about, sentence, self.sides.of_part(part), Mend(part=part))

    def _headers(self) -> Iterator[Gap]:
        for pin, entry in self.seen.headers.items():
            kind = _HEADER_KINDS.get(entry.state)
            if kind is None or not self._is_used(pin):
                continue
            name = self.sides.text(pin)
            sentence = {
                "pin missing in header": f"The module has no contact opposite to {name}",
                "section or driver not populated": f"What drives {name} is not populated in the module",
                "needs coding": f"The module has to be coded for {name}",
            }[kind]
            grounds = self.sides.of_entry(entry, pin)
            yield self.gap(About(kind, node_key(pin), (pin,)), sentence, grounds, Mend(header=pin))

    def _is_used(self, pin: PinKey) -> bool:
        return any(True for _ in self.target.neighbours(pin))

    def _terminals(self) -> Iterator[Gap]:
        no_cavity: dict[HalfKey, list[PinKey]] = {}
        gone = set(self.steps.whole.halves)
        for pin, entry in self.seen.cavities.items():
            is_wanted = bool(self.target.leads_at.get(pin)) and pin.half_key not in gone
            if not is_wanted or pin.part in self.steps.whole.parts:
                continue
            if entry.state == "not there":
                no_cavity.setdefault(pin.half_key, []).append(pin)
            position = self.seen.positions.get(pin.part)
            is_bare = position is not None and position.grade == "moulding only"
            if entry.state in BAD_CAVITIES and not is_bare:
                yield self._terminal(pin, entry)
        for half, pins in no_cavity.items():
            yield self._other_housing(half, tuple(sorted(pins, key=node_order)))

    def _terminal(self, pin: PinKey, entry: CavityEntry) -> Gap:
        name = self.sides.text(pin)
        sentence = {
            "empty": f"{name} is empty: it needs a terminal",
            "plugged": f"{name} is plugged: take the plug out and put a terminal in",
            "corroded": f"The terminal in {name} is corroded: it needs a new one",
        }[entry.state]
        about = About("terminal missing", node_key(pin), (pin,))
        return self.gap(about, sentence, self.sides.of_entry(entry, pin), Mend(cavity=(pin,)))

    def _other_housing(self, half: HalfKey, pins: tuple[PinKey, ...]) -> Gap:
        names = ", ".join(pin.pin for pin in pins)
        sentence = f"The housing fitted at {self.target.half_text(half)} has no cavity {names}"
        grounds = self.sides.of_entry(self.seen.cavities[pins[0]], pins[0])
        about = About("connector missing", half_key_text(half), pins, half.part)
        return self.gap(about, sentence, grounds, Mend(cavity=pins))

    # ---------------------------------------------------------------------------------------- bars

    def _bar(self, bar: Bar) -> Gap:
        part, name = self.target.part_names[bar[0].part], bar_name(self.target.bars[bar])
        pins = ", ".join(pin.pin for pin in bar)
        sentence = f"{part} lacks {name}: it joins {pins}"
        about = About("bar missing", " ".join(map(node_key, bar)), bar)
        return self.gap(about, sentence, self.sides.of_bar(bar), Mend(bar=bar))

    def _parted(self) -> Iterator[Gap]:
        for bar, groups in self.steps.parted.items():
            part = self.vehicle.part_names[bar[0].part]
            apart = " from ".join(", ".join(pin.pin for pin in group) for group in groups)
            sentence = f"A bar of {part} joins too much: the target keeps {apart} apart"
            about = About("dummy plug or bridge must go", " ".join(map(node_key, bar)), bar)
            grounds = self.sides.of_wrong_bar(bar)
            yield self.gap(about, sentence, grounds, Mend(bar=bar, parted=groups))
