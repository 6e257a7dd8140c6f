"""What a gap rests on: sentences that name sheet and place and survey entry, and what still decides it.

A gap is sure only where this vehicle was looked at and the target's lead is settled. What the
documents alone say, or leave open, makes a question: the sentences here say what has to be looked at.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from loomfolio.project import Anchor, AnyEntry, HalfKey, PinKey
from loomfolio.retrofit.nodes import node_order
from loomfolio.retrofit.records import Ends, EquippedLead
from loomfolio.retrofit.seen import (
    NO_LEAD,
    NO_LEADS_AT_POSITION,
    survey_words,
)
from loomfolio.retrofit.side_words import SideWords
from loomfolio.retrofit.state import bar_name

MOST_DOUBTS = 3
"""Open pieces of a lead that are told by name; of more than these, the count."""


@dataclass(frozen=True)
class Grounds:
    """What a gap rests on, and what has to be looked at or settled before it is sure."""

    evidence: tuple[str, ...]
    decides: tuple[str, ...]
    place: Anchor | None = None


class Sides(SideWords):
    """The two sides that are compared, and the grounds of what differs between them."""

    # ------------------------------------------------------------------------------------- leads

    def of_missing_lead(self, ends: Ends) -> Grounds:
        """Return the grounds of a lead that the vehicle lacks."""
        lead = self.target.leads[ends]
        evidence = [f"{self._fit(self.target)}: {self._lead_text(ends, lead)}"]
        dropped = self.state.dropped.get(ends)
        if dropped is not None:
            evidence.append(survey_words(dropped, self.seen, self.target))
        else:
            evidence.append(self.vehicle_has_not(f"lead {self._pair(ends)}"))
        evidence += self._looks_at(lead.pins)
        decides = [*self.open_in_target(ends), *self._open_in_vehicle(ends, lead)]
        return Grounds(tuple(dict.fromkeys(evidence)), tuple(dict.fromkeys(decides)), lead.place)

    def open_in_target(self, ends: Ends) -> list[str]:
        """Return what has to be settled before the target's documents may be relied on for a lead."""
        lead = self.target.leads[ends]
        decides = [*lead.doubts[:MOST_DOUBTS]]
        if len(lead.doubts) > MOST_DOUBTS:
            decides.append(f"{len(lead.doubts) - MOST_DOUBTS} more pieces of it are not confirmed")
        if lead.is_undetermined:
            decides.append(self._open_options(self.target))
        return decides

    def _open_in_vehicle(self, ends: Ends, lead: EquippedLead) -> list[str]:
        decides = [self._open_options(self.vehicle)] if ends in self.state.doubtful else []
        for pin in lead.pins:
            stray = self.state.strays.get(pin)
            if stray is not None:
                decides.append(f"A lead at {self.text(pin)} goes elsewhere; follow it first")
            elif self._is_loose(pin):
                decides.append(
                    f"A lead at {self.text(pin)} is drawn, and not where it goes: find its other end"
                )
            elif self._is_unaccounted(pin):
                decides.append(
                    f"{self.text(pin)} is filled, and no lead is documented there: measure where it goes"
                )
        dropped = self.state.dropped.get(ends)
        if dropped is None and not any(self._is_seen_without_lead(pin) for pin in lead.pins):
            ends_to_see = [pin for pin in lead.pins if self.target.node(pin) == pin]
            decides += [f"Nobody has looked at {self.text(pin)} yet" for pin in ends_to_see]
        return decides

    def _is_loose(self, pin: PinKey) -> bool:
        """Do the vehicle's documents show a lead there, but not where it goes?"""
        return pin in self.vehicle.loose and not self._is_seen_without_lead(pin)

    def _is_unaccounted(self, pin: PinKey) -> bool:
        """Was a lead seen in a cavity where none is documented?"""
        cavity = self.seen.cavities.get(pin)
        is_filled = cavity is not None and cavity.state in {"filled", "corroded"}
        return is_filled and not self.vehicle.leads_at.get(pin)

    def _is_seen_without_lead(self, pin: PinKey) -> bool:
        cavity, half = self.seen.cavities.get(pin), self.seen.halves.get(pin.half_key)
        position = self.seen.positions.get(pin.part)
        return (
            (cavity is not None and cavity.state in NO_LEAD)
            or (half is not None and half.state == "not there")
            or (position is not None and position.grade in NO_LEADS_AT_POSITION)
        )

    def of_present_lead(self, ends: Ends) -> Grounds:
        """Return the grounds of a lead that the vehicle has."""
        lead = self.vehicle.leads[ends]
        own = set(lead.pins)
        traced = [e for e in self.seen.leads if set(e.ends) == own]
        moved = [e for e in self.seen.leads if e.goes_to and {e.ends[0], e.goes_to} == own]
        evidence = [survey_words(entry, self.seen, self.target) for entry in (*traced, *moved)]
        evidence += (
            []
            if moved
            else [f"{self._fit(self.vehicle)} (this vehicle): {self._lead_text(ends, lead)}"]
        )
        evidence += self._looks_at(lead.pins)
        decides = [] if lead.is_seen else [f"Nobody has looked where lead {self._pair(ends)} goes"]
        return Grounds(tuple(dict.fromkeys(evidence)), tuple(decides), lead.place)

    def of_other_look(self, ends: Ends) -> Grounds:
        """Return the grounds of a lead that looks other than drawn."""
        there = self.of_present_lead(ends)
        drawn = self.target.leads[ends]
        evidence = (f"{self._fit(self.target)}: {self._lead_text(ends, drawn)}", *there.evidence)
        return Grounds(evidence, there.decides, drawn.place or there.place)

    def of_entry(self, entry: AnyEntry, pin: PinKey) -> Grounds:
        """Return the grounds of what the survey alone says of a pin that the target uses."""
        leads = self.target.leads_at.get(pin, ())
        wanted = [
            f"{self._fit(self.target)}: {self._lead_text(e, self.target.leads[e])}" for e in leads
        ]
        decides = [line for ends in leads for line in self.open_in_target(ends)]
        seen = survey_words(entry, self.seen, self.target)
        return Grounds((*wanted, seen), tuple(decides), self.at(pin))

    # ------------------------------------------------------------------------------ whole things

    def of_part(self, part: str) -> Grounds:
        """Return the grounds of a part that the vehicle does not have."""
        pin = self._first_pin(part)
        kind = self.target.part_kinds[part]
        name = self.target.part_names[part]
        entries = self._looks_for(part)
        evidence = [self.target_has(f"{kind} {name}", pin)]
        evidence += [survey_words(entry, self.seen, self.target) for entry in entries]
        if not entries:
            evidence.append(self.vehicle_has_not(f"{kind} {name}"))
        decides = [] if entries else [f"Nobody has looked whether {name} is there"]
        return Grounds(tuple(evidence), (*self._open_thing(part), *decides), self.at(pin))

    def _looks_for(self, part: str) -> list[AnyEntry]:
        """What was seen where a part should be: its position, or that its connectors are not there."""
        position = self.seen.positions.get(part)
        if position is not None:
            return [position]
        return [
            entry
            for half, entry in self.seen.halves.items()
            if half.part == part and entry.state == "not there"
        ]

    def _open_thing(self, thing: object) -> list[str]:
        """What an open option has to do with a part, half or bar, on either side."""
        decides = [self._open_options(self.target)] if thing in self.target.undetermined else []
        return decides + (
            [self._open_options(self.vehicle)] if thing in self.state.doubtful else []
        )

    def _first_pin(self, part: str) -> PinKey | None:
        return min(self._drawn_pins.get(part, ()), key=node_order, default=None)

    @cached_property
    def _drawn_pins(self) -> Mapping[str, list[PinKey]]:
        """The pins that the target draws, by their part."""
        found: dict[str, list[PinKey]] = {}
        for pin in self.target.places:
            found.setdefault(pin.part, []).append(pin)
        return found

    def of_half(self, half: HalfKey) -> Grounds:
        """Return the grounds of a connector that the vehicle does not have."""
        pins = [pin for pin in self._drawn_pins.get(half.part, ()) if pin.half_key == half]
        pin = min(pins, key=node_order, default=None)
        name = self.target.half_text(half)
        entry = self.seen.halves.get(half)
        evidence = [self.target_has(f"connector {name}", pin)]
        if entry is not None:
            evidence.append(survey_words(entry, self.seen, self.target))
        else:
            evidence.append(self.vehicle_has_not(f"connector {name}"))
        decides = [] if entry is not None else [f"Nobody has looked whether {name} is there"]
        return Grounds(tuple(evidence), (*self._open_thing(half), *decides), self.at(pin))

    def of_bar(self, bar: tuple[PinKey, ...]) -> Grounds:
        """Return the grounds of a bar that the vehicle lacks."""
        part, label = bar[0].part, self.target.bars[bar]
        name = f"{bar_name(label)} of {self.target.part_names[part]}"
        entry = self.seen.bars.get((part, label))
        pins = ", ".join(pin.pin for pin in bar)
        evidence = [self.target_has(f"{name} joins {pins}", bar[0])]
        if entry is not None:
            evidence.append(survey_words(entry, self.seen, self.target))
        else:
            evidence.append(self.vehicle_has_not(name))
        decides = [] if entry is not None else [f"Nobody has looked whether the {name} is there"]
        return Grounds(tuple(evidence), (*self._open_thing(bar), *decides), self.at(bar[0]))

    def of_wrong_bar(self, bar: tuple[PinKey, ...]) -> Grounds:
        """Return the grounds of a bar of the vehicle that joins too much."""
        part, label = bar[0].part, self.vehicle.bars[bar]
        entry = self.seen.bars.get((part, label)) or self.seen.halves.get(bar[0].half_key)
        name = f"{bar_name(label)} of {self.target.part_names[part]}"
        pins = ", ".join(pin.pin for pin in bar)
        evidence = [f"{self._fit(self.vehicle)} (this vehicle): {name} joins {pins}"]
        evidence += [survey_words(entry, self.seen, self.target)] if entry is not None else []
        decides = () if entry is not None else (f"Nobody has looked at the {name}",)
        return Grounds(tuple(evidence), decides, self.at(bar[0]))

    def of_foreign_part(self, part: str, halves: tuple[HalfKey, ...]) -> Grounds:
        """Return the grounds of a part that the target does not have, and that stands in the way."""
        name = self.target.part_names[part]
        entries = [self.seen.halves.get(half) for half in halves]
        entries_seen = [entry for entry in entries if entry is not None]
        evidence = [f"{self._fit(self.vehicle)} (this vehicle): {name} is plugged on"]
        evidence += [survey_words(entry, self.seen, self.target) for entry in entries_seen]
        evidence.append(f"{self._fit(self.target)}: no {name}")
        decides = () if entries_seen else (f"Nobody has looked whether {name} is plugged on",)
        pins = [pin for pin in self.vehicle.places if pin.part == part]
        return Grounds(tuple(evidence), decides, self.at(min(pins, key=node_order, default=None)))
