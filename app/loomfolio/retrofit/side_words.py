"""The two sides of a comparison in words: pins, leads, fits, and what the survey says of them."""

from __future__ import annotations

from collections.abc import Iterable

from loomfolio.project import Anchor, PinKey
from loomfolio.retrofit.records import Ends, EquippedLead, Node
from loomfolio.retrofit.seen import VehicleState, survey_words
from loomfolio.retrofit.state import Equipment


class SideWords:
    """The two sides that are compared, and how they and what is in them are called."""

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

    def _open_options(self, side: Equipment) -> str:
        options = ", ".join(side.open_options)
        return f"{self._fit(side)} says nothing of {options}: say whether it is built in"
