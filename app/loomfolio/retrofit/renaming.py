"""A vehicle in the words of the target's documents, so that a renamed connector does not become sixty gaps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TypeVar

from loomfolio.project import (
    Anchor,
    AnyEntry,
    BarEntry,
    CavityEntry,
    HalfEntry,
    HalfKey,
    HeaderEntry,
    LeadEntry,
    PinKey,
    PositionEntry,
)
from loomfolio.retrofit.lead_table import LeadTable
from loomfolio.retrofit.nodes import ends_of
from loomfolio.retrofit.records import Matching, Node
from loomfolio.retrofit.state import Equipment

_T = TypeVar("_T")


class Renaming:
    """Translates the vehicle's names into the target's. What is matched with nothing keeps a name of its own.

    `is_one_document` says whether both sides name parts by the same ids; where not, what is matched with
    nothing gets an id that the target does not use.
    """

    def __init__(self, matching: Matching, target: Equipment, *, is_one_document: bool) -> None:
        self._halves = {theirs: mine for mine, theirs in matching.pairs}
        self._parts = {theirs: mine for mine, theirs in matching.parts}
        self._target_halves = frozenset(target.halves)
        self._is_one_document = is_one_document

    @property
    def changes_nothing(self) -> bool:
        """Is each name its own translation?"""
        return self._is_one_document and all(
            theirs == mine for theirs, mine in (*self._halves.items(), *self._parts.items())
        )

    def part(self, part: str) -> str:
        """Return what the target calls a part of the vehicle."""
        if part in self._parts:
            return self._parts[part]
        return self._own(part)

    def _own(self, record: str) -> str:
        """The id of a part or sheet that only the vehicle's documents know: one that the target does not use."""
        return record if self._is_one_document else f"vehicle-{record.rpartition('-')[2]}"

    def _place(self, place: Anchor) -> Anchor:
        return place.model_copy(update={"sheet": self._own(place.sheet)})

    def half(self, half: HalfKey) -> HalfKey:
        """Return what the target calls a half of the vehicle."""
        if half in self._halves:
            return self._halves[half]
        moved = half.model_copy(update={"part": self.part(half.part)})
        if moved in self._target_halves and half not in self._target_halves:
            return moved.model_copy(update={"connector": f"{half.connector} (vehicle)".strip()})
        return moved

    def pin(self, pin: PinKey) -> PinKey:
        """Return what the target calls a pin of the vehicle."""
        return self.half(pin.half_key).pin(pin.pin)

    def node(self, node: Node) -> Node:
        """Return what the target calls a pin, splice or ground point of the vehicle."""
        return self.part(node) if isinstance(node, str) else self.pin(node)

    def equipment(self, vehicle: Equipment) -> Equipment:
        """Return what the vehicle has in the target's words."""
        if self.changes_nothing:
            return vehicle

        return replace(
            vehicle,
            part_names=self._by_part(vehicle.part_names),
            part_kinds=self._by_part(vehicle.part_kinds),
            hubs=self._by_part(vehicle.hubs),
            halves={self.half(half): state for half, state in vehicle.halves.items()},
            leads=LeadTable(
                {
                    ends_of(*(self.node(node) for node in ends)): replace(
                        lead,
                        pins=tuple(map(self.pin, lead.pins)),
                        place=None if lead.place is None else self._place(lead.place),
                    )
                    for ends, lead in vehicle.leads.items()
                }
            ),
            bars={tuple(map(self.pin, bar)): label for bar, label in vehicle.bars.items()},
            mates={
                (self.half(a), self.half(b)): tuple((self.pin(p), self.pin(q)) for p, q in pairs)
                for (a, b), pairs in vehicle.mates.items()
            },
            inner={
                self.pin(pin): tuple(map(self.pin, others)) for pin, others in vehicle.inner.items()
            },
            places={self.pin(pin): self._place(place) for pin, place in vehicle.places.items()},
            sheet_titles={self._own(sheet): t for sheet, t in vehicle.sheet_titles.items()},
            loose=frozenset(map(self.pin, vehicle.loose)),
            pins=frozenset(map(self.pin, vehicle.pins)),
            signals={self.pin(pin): name for pin, name in vehicle.signals.items()},
            undetermined=frozenset(
                self._thing(thing) for thing in vehicle.undetermined if thing not in vehicle.bars
            )
            | {tuple(map(self.pin, b)) for b in vehicle.bars if b in vehicle.undetermined},
        )

    def _by_part(self, found: Mapping[str, _T]) -> dict[str, _T]:
        return {self.part(part): value for part, value in found.items()}

    def _thing(self, thing: object) -> object:
        """What else may be undetermined: a part, a half, or a lead by its ends."""
        if isinstance(thing, str):
            return self.part(thing)
        if isinstance(thing, HalfKey):
            return self.half(thing)
        if isinstance(thing, tuple):
            return ends_of(*map(self.node, thing))
        return thing

    def entry(self, entry: AnyEntry) -> AnyEntry:
        """Return a survey entry in the target's words."""
        match entry:
            case CavityEntry() | HeaderEntry():
                changed: dict[str, object] = {"pin": self.pin(entry.pin)}
            case PositionEntry() | BarEntry():
                changed = {"part": self.part(entry.part)}
            case HalfEntry():
                changed = {"half": self.half(entry.half)}
            case LeadEntry():
                goes_to = entry.goes_to
                changed = {
                    "ends": (self.pin(entry.ends[0]), self.pin(entry.ends[1])),
                    "goes_to": None if goes_to is None else self.pin(goes_to),
                }
        return entry.model_copy(update=changed)
