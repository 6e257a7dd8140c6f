"""The vehicle as it is: what its documents say, corrected by what was seen on it.

The survey wins over the documents. Where the two contradict each other the sentence is kept, so that a
person sees what the survey changed. Leads of which nobody knows where they go are kept apart: they are
reason for a question, never a lead.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from loomfolio.project import (
    AnyEntry,
    BarEntry,
    CavityEntry,
    HalfEntry,
    HalfKey,
    HeaderEntry,
    LeadEntry,
    PinKey,
    PositionEntry,
    Specimen,
)
from loomfolio.retrofit.records import Ends, EquippedLead, Node
from loomfolio.retrofit.state import Equipment, bar_name, is_other_colour

NO_LEAD = frozenset({"empty", "plugged", "terminal without lead", "cut", "not there"})
"""States of a cavity in which no whole lead ends in it."""
NO_LEADS_AT_POSITION = frozenset({"moulding only", "terminals but no lead", "not there"})


@dataclass(frozen=True)
class Seen:
    """The survey of one specimen, found by what each entry is about."""

    specimen: Specimen | None = None
    cavities: Mapping[PinKey, CavityEntry] = field(default_factory=dict)
    headers: Mapping[PinKey, HeaderEntry] = field(default_factory=dict)
    positions: Mapping[str, PositionEntry] = field(default_factory=dict)
    halves: Mapping[HalfKey, HalfEntry] = field(default_factory=dict)
    bars: Mapping[tuple[str, str], BarEntry] = field(default_factory=dict)
    leads: tuple[LeadEntry, ...] = ()

    @staticmethod
    def of(entries: Iterable[AnyEntry], specimen: Specimen | None) -> Seen:
        """Sort the entries of a specimen; those of others are left out."""
        own = [e for e in entries if specimen is not None and e.specimen == specimen.id]
        return Seen(
            specimen,
            {e.pin: e for e in own if isinstance(e, CavityEntry)},
            {e.pin: e for e in own if isinstance(e, HeaderEntry)},
            {e.part: e for e in own if isinstance(e, PositionEntry)},
            {e.half: e for e in own if isinstance(e, HalfEntry)},
            {(e.part, e.label): e for e in own if isinstance(e, BarEntry)},
            tuple(e for e in own if isinstance(e, LeadEntry)),
        )

    def __bool__(self) -> bool:
        return bool(
            self.cavities
            or self.headers
            or self.positions
            or self.halves
            or self.bars
            or self.leads
        )


@dataclass(frozen=True, eq=False)
class VehicleState:
    """The vehicle as it is.

    `strays` are pins at which a lead was found that does not go where it is documented, and nobody knows
    where; `dropped` are documented leads that the survey did not find, with the entry that says so.
    `doubtful` is what its documents have only if an open option is built in. `touched` are the nodes at which
    the survey may have changed anything.
    """

    equipment: Equipment
    seen: Seen = field(default_factory=Seen)
    contradictions: tuple[str, ...] = ()
    strays: Mapping[PinKey, LeadEntry] = field(default_factory=dict)
    dropped: Mapping[Ends, AnyEntry] = field(default_factory=dict)
    doubtful: frozenset[object] = frozenset()
    touched: frozenset[Node] = frozenset()


def vehicle_as_it_is(documented: Equipment, survey: Seen, *, target: Equipment) -> VehicleState:
    """Return what a vehicle has: its documents corrected by its survey.

    Parameters
    ----------
    documented
        What its documents say. What these leave undetermined is not taken to be there.
    target
        What the target's documents say: a part or bar of these that was seen looks as they say.
    """
    worker = _Corrected(documented.speaking_of(target), survey, target)
    worker.positions()
    worker.halves()
    worker.bars()
    worker.cavities()
    worker.traced_leads()
    return worker.state()


class _Corrected:
    """The documents of a vehicle while its survey is worked in."""

    def __init__(self, documented: Equipment, survey: Seen, target: Equipment) -> None:
        self._documented, self._seen, self._target = documented, survey, target
        open_things = documented.undetermined
        self._gone = {e for e in documented.leads if e in open_things} if open_things else set()
        self._new: dict[Ends, EquippedLead] = {}
        self._bars = {b: label for b, label in documented.bars.items() if b not in open_things}
        self._kinds = {p: k for p, k in documented.part_kinds.items() if p not in open_things}
        self._halves = {h: s for h, s in documented.halves.items() if h not in open_things}
        self._contradictions: list[str] = []
        self._strays: dict[PinKey, LeadEntry] = {}
        self._dropped: dict[Ends, AnyEntry] = {}

    def state(self) -> VehicleState:
        equipment = replace(
            self._documented,
            leads=self._documented.leads.changed(gone=self._gone, new=self._new),
            bars=self._bars,
            part_kinds=self._kinds,
            halves=self._halves,
            undetermined=frozenset(),
        )
        return VehicleState(
            equipment,
            self._seen,
            tuple(dict.fromkeys(self._contradictions)),
            self._strays,
            self._dropped,
            self._documented.undetermined,
            frozenset(self._nodes_touched()),
        )

    def _nodes_touched(self) -> Iterator[Node]:
        """The nodes of leads, bars and mates that the survey speaks of or has changed."""
        seen = self._seen
        for ends in (*self._gone, *self._new, *self._dropped):
            yield from ends
        yield from (*seen.cavities, *seen.headers)
        parts = {*seen.positions, *(part for part, _ in seen.bars), *(h.part for h in seen.halves)}
        for side in (self._documented, self._target):
            for leads in side.leads.at_parts(parts).values():
                for ends in leads:
                    yield from ends
            for bar in side.bars:
                if bar[0].part in parts:
                    yield from bar
            for halves, pairs in side.mates.items():
                if any(half.part in parts for half in halves):
                    yield from (pin for pair in pairs for pin in pair)

    def positions(self) -> None:
        for part, entry in self._seen.positions.items():
            if entry.grade in NO_LEADS_AT_POSITION:
                self._drop_leads(self._leads_at_part(part), entry)
            if entry.grade == "not there":
                self._remove_part(part, entry)
            elif part not in self._kinds:
                self._bring_in_part(part, entry)

    def _remove_part(self, part: str, entry: AnyEntry) -> None:
        if part in self._kinds:
            del self._kinds[part]
            self._say(entry, "the documents have it")
        self._halves = {h: s for h, s in self._halves.items() if h.part != part}
        self._bars = {b: label for b, label in self._bars.items() if b[0].part != part}

    def _bring_in_part(self, part: str, entry: AnyEntry) -> None:
        """A part that an open option decides about, or that the documents deny, was seen."""
        if part not in self._documented.part_kinds:
            self._say(entry, "the documents do not have it")
        for side in (self._documented, self._target):
            if part in side.part_kinds:
                self._kinds[part] = side.part_kinds[part]
                self._halves.update({h: s for h, s in side.halves.items() if h.part == part})
                self._bars.update({b: n for b, n in side.bars.items() if b[0].part == part})
                return

    def _leads_at_part(self, part: str) -> list[Ends]:
        return [ends for ends in self._at_parts[part] if ends not in self._gone]

    @cached_property
    def _at_parts(self) -> dict[str, tuple[Ends, ...]]:
        """The documented leads at each part whose position or half was looked at."""
        parts = {*self._seen.positions, *(half.part for half in self._seen.halves)}
        return self._documented.leads.at_parts(parts)

    def halves(self) -> None:
        for half, entry in self._seen.halves.items():
            if entry.state == "not there":
                self._drop_leads(
                    [e for e in self._leads_at_part(half.part) if _touches(e, half)], entry
                )
                if self._halves.pop(half, None) is not None:
                    self._say(entry, "the documents have it")
                continue
            self._halves[half] = entry.state
            if half.part not in self._kinds:
                kinds = {**self._target.part_kinds, **self._documented.part_kinds}
                self._kinds[half.part] = kinds.get(half.part, "device")
            if entry.state == "bridge plug" and len(entry.bridged) > 1:
                self._bars[tuple(half.pin(pin) for pin in entry.bridged)] = "bridge plug"

    def bars(self) -> None:
        known = {**self._target.bars, **self._documented.bars}
        for (part, label), entry in self._seen.bars.items():
            for bar in [b for b, name in self._bars.items() if b[0].part == part and name == label]:
                if entry.state == "missing":
                    del self._bars[bar]
                    self._say(entry, "the documents have it")
            if entry.state == "there":
                found = {b: n for b, n in known.items() if b[0].part == part and n == label}
                if any(bar not in self._bars for bar in found):
                    self._say(entry, "the documents do not have it")
                self._bars.update(found)

    def cavities(self) -> None:
        leads_at = self._documented.leads_at
        for pin, entry in self._seen.cavities.items():
            here = [ends for ends in leads_at.get(pin, ()) if ends not in self._gone]
            if entry.state in NO_LEAD:
                self._drop_leads(here, entry)
            elif not here and pin not in self._documented.loose:
                self._say(entry, "the documents show no lead there")
            elif len(here) == 1 and entry.colour is not None:
                self._look_anew(here[0], entry)

    def _look_anew(self, ends: Ends, entry: CavityEntry) -> None:
        """Give a lead the colour and area that were seen."""
        documented = self._new.get(ends) or self._documented.leads[ends]
        if is_other_colour(documented.colour, entry.colour) and documented.colour is not None:
            self._say(entry, f"the documents show {documented.colour.text}")
        self._new[ends] = replace(
            documented,
            colour=entry.colour,
            area_mm2=entry.area_mm2 or documented.area_mm2,
            is_seen=True,
        )

    def traced_leads(self) -> None:
        for entry in self._seen.leads:
            ends = self._documented.ends(*entry.ends)
            if entry.state == "there":
                self._found(ends, entry, entry.ends)
                continue
            self._drop_leads(self._meant(entry), entry)
            self._dropped.setdefault(ends, entry)
            if entry.state == "goes elsewhere" and entry.goes_to is not None:
                pins = (entry.ends[0], entry.goes_to)
                self._found(self._documented.ends(*pins), entry, pins)
            elif entry.state == "goes elsewhere":
                self._strays[entry.ends[0]] = entry

    def _meant(self, entry: LeadEntry) -> list[Ends]:
        """The lead that was missed; of two legs that meet at a drawn joint, that of the first end."""
        between = self._documented.leads_between(*entry.ends)
        first = [e for e in between if len(between) == 1 or entry.ends[0] in e]
        return [ends for ends in first if ends not in self._gone]

    def _found(self, ends: Ends, entry: LeadEntry, pins: tuple[PinKey, PinKey]) -> None:
        known = self._new.get(ends)
        if known is None and ends not in self._gone:
            known = self._documented.leads.find(ends)
        if known is None:
            self._say(entry, "the documents do not show it")
            known = EquippedLead(pins=pins, source="survey")
        self._dropped.pop(ends, None)
        self._gone.discard(ends)
        self._new[ends] = replace(
            known,
            colour=entry.colour or known.colour,
            area_mm2=entry.area_mm2 or known.area_mm2,
            doubts=(),
            is_seen=True,
        )

    def _drop_leads(self, leads: Sequence[Ends], entry: AnyEntry) -> None:
        for ends in leads:
            self._gone.add(ends)
            self._new.pop(ends, None)
            self._dropped[ends] = entry
            a, b = (self._documented.text(node) for node in ends)
            self._say(entry, f"the documents show a lead from {a} to {b}")

    def _say(self, entry: AnyEntry, otherwise: str) -> None:
        self._contradictions.append(f"{entry_text(entry, self._documented)}; {otherwise}")


def _touches(ends: Ends, half: HalfKey) -> bool:
    return any(isinstance(node, PinKey) and node.half_key == half for node in ends)


def entry_text(entry: AnyEntry, names: Equipment) -> str:
    """Return in words what an entry says: `E7 C1:12 is empty`."""
    match entry:
        case CavityEntry():
            colour = f", {entry.colour.text}" if entry.colour is not None else ""
            return f"{names.text(entry.pin)} is {_CAVITY.get(entry.state, entry.state)}{colour}"
        case HeaderEntry():
            return f"The module's own contact at {names.text(entry.pin)}: {entry.state}"
        case PositionEntry():
            return f"{names.part_names[entry.part]}: {entry.grade}"
        case HalfEntry():
            return f"{names.half_text(entry.half)}: {entry.state}"
        case BarEntry():
            return f"{names.part_names[entry.part]}, {bar_name(entry.label)}: {entry.state}"
        case LeadEntry():
            a, b = (names.text(pin) for pin in entry.ends)
            to = f" to {names.text(entry.goes_to)}" if entry.goes_to is not None else ""
            return f"Lead {a} to {b}: {entry.state}{to}"


_CAVITY = {
    "terminal without lead": "a terminal without lead",
    "cut": "cut off behind the terminal",
    "not there": "no cavity of this housing",
}


def survey_words(entry: AnyEntry, seen: Seen, names: Equipment) -> str:
    """Return an entry as evidence: who was looked at, when, and what was seen."""
    who = seen.specimen.name if seen.specimen is not None else entry.specimen
    when = f", {entry.known.on.isoformat()}" if entry.known.on is not None else ""
    note = f" ({entry.note})" if entry.note else ""
    return f"Survey of {who}{when}: {entry_text(entry, names)}{note}"
