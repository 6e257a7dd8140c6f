"""What a gap rests on: sentences that name sheet and place and survey entry, and what still decides it.

A gap is sure only where this vehicle was looked at and the target's lead is settled. What the
documents alone say, or leave open, makes a question: the sentences here say what has to be looked at.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from loomfolio.project import Anchor, AnyEntry, HalfKey, PinKey
from loomfolio.retrofit.records import Ends, EquippedLead, Node
from loomfolio.retrofit.seen import (
    NO_LEAD,
    NO_LEADS_AT_POSITION,
    VehicleState,
    survey_words,
)
from loomfolio.retrofit.state import Equipment, node_order

MOST_DOUBTS = 3
"""Open pieces of a lead that are told by name; of more than these, the count."""


@dataclass(frozen=True)
class Grounds:
    """What a gap rests on, and what has to be looked at or settled before it is sure."""

    evidence: tuple[str, ...]
    decides: tuple[str, ...]
    place: Anchor | None = None


class Sides:
    """The two sides that are compared, and the sentences about them."""

    def __init__(self, target: Equipment, vehicle: VehicleState) -> None:
        self.target = target.speaking_of(vehicle.equipment)
        self.state = vehicle
        self.vehicle = vehicle.equipment.speaking_of(target)
        self.seen = vehicle.seen

    # --------------------------------------------------------------------------------- in words

    def text(self, node: Node) -> str:
        """Return a node as a person writes it."""
        return self.target.text(node)

    def at(self, pin: PinKey | None) -> Anchor | None:
        """Return where a pin is drawn: in the target's documents, else in the vehicle's."""
        if pin is None:
            return None
        return self.target.places.get(pin) or self.vehicle.places.get(pin)

    def _place_text(self, place: Anchor | None) -> str:
        if place is None:
            return ""
        titles = {**self.vehicle.sheet_titles, **self.target.sheet_titles}
        return f", sheet {titles[place.sheet]} at {place.at.x:.0f}, {place.at.y:.0f} mm"

    def _lead_text(self, ends: Ends, lead: EquippedLead) -> str:
        look = [lead.colour.text] if lead.colour is not None else []
        look += [f"{lead.area_mm2:g} mm²"] if lead.area_mm2 is not None else []
        where = self._place_text(lead.place) or (f", {lead.source}" if lead.source else "")
        return f"lead {self._pair(ends)}{' ' + ' '.join(look) if look else ''}{where}"

    def _fit(self, side: Equipment) -> str:
        name = f"fit {side.fit_name}" if side.fit_name else "the documents"
        return f"{name[:1].upper()}{name[1:]}"

    def target_has(self, what: str, pin: PinKey | None = None) -> str:
        """Return that the target has something, and where it is drawn."""
        return f"{self._fit(self.target)}: {what}{self._place_text(self.at(pin))}"

    def vehicle_has_not(self, what: str) -> str:
        """Return that the documents of the vehicle have nothing of something."""
        return f"{self._fit(self.vehicle)} (this vehicle): no {what}"

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

    def _pair(self, ends: Ends) -> str:
        return f"{self.text(ends[0])} to {self.text(ends[1])}"

    def _looks_at(self, pins: Iterable[PinKey]) -> list[str]:
        """What the survey says of the cavities, halves and positions of these pins."""
        entries = [
            entry
            for pin in pins
            for entry in (
                self.seen.cavities.get(pin),
                self.seen.halves.get(pin.half_key),
                self.seen.positions.get(pin.part),
            )
            if entry is not None
        ]
        return [survey_words(entry, self.seen, self.target) for entry in entries]

    def seen_of(self, pins: Iterable[PinKey], part: str | None) -> tuple[str, ...]:
        """Return what the survey says of these pins, of leads between them, and of a part."""
        own = set(pins)
        told = self._looks_at(own)
        told += [
            survey_words(entry, self.seen, self.target)
            for entry in self.seen.leads
            if own & {*entry.ends, entry.goes_to}
        ]
        more = (self.seen.positions.get(part or ""), *self.seen.bars.values())
        told += [
            survey_words(entry, self.seen, self.target)
            for entry in more
            if entry is not None and entry.part == part
        ]
        return tuple(dict.fromkeys(told))

    def open_in_target(self, ends: Ends) -> list[str]:
        """Return what has to be settled before the target's documents may be relied on for a lead."""
        lead = self.target.leads[ends]
        decides = [*lead.doubts[:MOST_DOUBTS]]
        if len(lead.doubts) > MOST_DOUBTS:
            decides.append(f"{len(lead.doubts) - MOST_DOUBTS} more pieces of it are not confirmed")
        if lead.is_undetermined:
            decides.append(self._open_options(self.target))
        return decides

    def _open_options(self, side: Equipment) -> str:
        options = ", ".join(side.open_options)
        return f"{self._fit(side)} says nothing of {options}: say whether it is built in"

    def _open_in_vehicle(self, ends: Ends, lead: EquippedLead) -> list[str]:
        decides = [self._open_options(self.vehicle)] if ends in self.state.doubtful else []
        for pin in lead.pins:
            stray = self.state.strays.get(pin)
            if stray is not None:
                decides.append(f"A lead at {self.text(pin)} goes elsewhere; follow it first")
            elif self._is_unaccounted(pin):
                decides.append(
                    f"{self.text(pin)} is filled, and no lead is documented there: measure where it goes"
                )
        dropped = self.state.dropped.get(ends)
        if dropped is None and not any(self._is_seen_without_lead(pin) for pin in lead.pins):
            ends_to_see = [pin for pin in lead.pins if self.target.node(pin) == pin]
            decides += [f"Nobody has looked at {self.text(pin)} yet" for pin in ends_to_see]
        return decides

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
        entry = self.seen.positions.get(part)
        evidence = [self.target_has(f"{kind} {name}", pin)]
        if entry is not None:
            evidence.append(survey_words(entry, self.seen, self.target))
        else:
            evidence.append(self.vehicle_has_not(f"{kind} {name}"))
        decides = [] if entry is not None else [f"Nobody has looked whether {name} is there"]
        return Grounds(tuple(evidence), (*self._open_thing(part), *decides), self.at(pin))

    def _open_thing(self, thing: object) -> list[str]:
        """What an open option has to do with a part, half or bar, on either side."""
        decides = [self._open_options(self.target)] if thing in self.target.undetermined else []
        return decides + (
            [self._open_options(self.vehicle)] if thing in self.state.doubtful else []
        )

    def _first_pin(self, part: str) -> PinKey | None:
        pins = [pin for pin in self.target.places if pin.part == part]
        return min(pins, key=node_order, default=None)

    def of_half(self, half: HalfKey) -> Grounds:
        """Return the grounds of a connector that the vehicle does not have."""
        pins = [pin for pin in self.target.places if pin.half_key == half]
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
        name = f"bar {label} of {self.target.part_names[part]}".replace("bar  of", "bar of")
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
        name = f"bar {label} of {self.target.part_names[part]}".replace("bar  of", "bar of")
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
