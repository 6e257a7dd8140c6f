"""Small jobs for planning: parts, leads, zones and notes by the names that a mechanic would say."""

from __future__ import annotations

from collections.abc import Sequence

from loomfolio.project import (
    CavityState,
    CircuitClass,
    HalfKey,
    HeaderState,
    InnerPin,
    InnerWay,
    Job,
    LeadColour,
    PartKind,
    PinKey,
    Project,
    edits,
)
from loomfolio.retrofit import Gap, JobGaps, Offer, WorkPlan, job_gaps, offers_for, plan_work

OPTION = "towing"


class Shop:
    """A vehicle in two fits: what is added `new` only the target has. Pins are written `A1 C1:3` or `X5.B:2`."""

    def __init__(self) -> None:
        p = edits.add_fit(Project(), name="base", options_without=(OPTION,)).project
        p = edits.add_fit(p, name="target", options_with=(OPTION,)).project
        p, self.van = edits.add_specimen(p, name="The van", kind="this vehicle")
        self.project = edits.set_job(p, Job(target_fit="target", vehicle_fit="base"))
        self.parts: dict[str, str] = {}
        self.zones: dict[str, str] = {}

    # ------------------------------------------------------------------------------------- things

    def part(
        self,
        name: str,
        kind: PartKind = "module",
        *,
        new: bool = False,
        ways: Sequence[tuple[str, str, str]] = (),
        reference: str = "",
    ) -> str:
        """Add a part; `ways` are (relation, pin, pin)."""
        node = None
        if reference:
            self.project, node = edits.add_reference(
                self.project, name=f"{reference} of {name}", kind=reference
            )
        inner = tuple(
            InnerWay(relation=relation, pins=(InnerPin(pin=a), InnerPin(pin=b)))
            for relation, a, b in ways
        )
        self.project, self.parts[name] = edits.add_part(
            self.project,
            name=name,
            kind=kind,
            ways=inner,
            reference=node,
            when=OPTION if new else "",
        )
        return self.parts[name]

    def pin(self, text: str) -> PinKey:
        """Return the key of a pin as it is written."""
        place, _, pin = text.rpartition(":")
        place, _, half = place.partition(".")
        name, _, connector = place.partition(" ")
        return HalfKey(part=self.parts[name], connector=connector, half=half).pin(pin)

    def lead(
        self,
        a: str,
        b: str,
        *,
        new: bool = False,
        gone: bool = False,
        area: float | None = None,
        colour: str = "",
    ) -> None:
        """Add a lead: in both fits, in the target only (`new`), or in the base only (`gone`)."""
        when = OPTION if new else f"!{OPTION}" if gone else ""
        own = LeadColour(text=colour, base=colour) if colour else None
        self.project = edits.add_lead(
            self.project, ends=(self.pin(a), self.pin(b)), when=when, area_mm2=area, colour=own
        ).project

    def zone(self, name: str, *parts: str, **fields: object) -> str:
        """Add a zone with parts in it."""
        self.project, zone = edits.add_zone(self.project, name=name, **fields)
        self.zones[name] = zone
        for part in parts:
            self.project = edits.place_thing(self.project, part=self.parts[part], zone=zone).project
        return zone

    def way(self, a: str, b: str, length_m: float, **fields: object) -> None:
        """Add a way between two zones."""
        zones = (self.zones[a], self.zones[b])
        self.project = edits.add_zone_way(
            self.project, zones=zones, length_m=length_m, **fields
        ).project

    # ---------------------------------------------------------------------------- what is known, seen

    def circuit(self, pin: str, circuit: CircuitClass) -> None:
        """Note of which class the net of a pin is."""
        self.project = edits.note_circuit(self.project, pin=self.pin(pin), circuit=circuit).project

    def supply(self, pin: str, volt: float = 12.0) -> None:
        """Note a supply against chassis."""
        self.project = edits.note_supply(self.project, pin=self.pin(pin), voltage_v=volt).project

    def load(self, pin: str, ampere: float, back: str = "") -> None:
        """Note a load."""
        self.project = edits.note_load(
            self.project,
            pin=self.pin(pin),
            current_a=ampere,
            back=self.pin(back) if back else None,
        ).project

    def fuse(self, part: str, rating_a: float) -> None:
        """Note the rating of a regular blade fuse."""
        self.project = edits.note_fuse(
            self.project, part=self.parts[part], rating_a=rating_a, fuse_kind="C"
        ).project

    def seen(self, pin: str, state: CavityState) -> None:
        """Record what was seen in a cavity."""
        key = self.pin(pin)
        half = key.half_key
        self.project = edits.record_half(
            self.project, specimen=self.van, half=half, viewed_from="wire side"
        ).project
        self.project = edits.record_cavity(
            self.project, specimen=self.van, pin=key, state=state
        ).project

    def absent(self, half: str) -> None:
        """Record that a half, written like a pin without its number, is not there."""
        key = self.pin(f"{half}:1").half_key
        self.project = edits.record_half(
            self.project, specimen=self.van, half=key, viewed_from="unknown", state="not there"
        ).project

    def header(self, pin: str, state: HeaderState) -> None:
        """Record what was seen of a module's own contact."""
        self.project = edits.record_header(
            self.project, specimen=self.van, pin=self.pin(pin), state=state
        ).project

    # -------------------------------------------------------------------------------------- planning

    @property
    def job(self) -> JobGaps:
        """The gaps as they stand."""
        return job_gaps(self.project, {})

    def gap(self, words: str) -> Gap:
        """Return the one open gap whose kind it is, or whose sentence holds some words, joined by ` & `."""
        (found,) = [
            gap
            for gap in self.job.open_in_scope
            if words == gap.kind or all(word in gap.sentence for word in words.split(" & "))
        ]
        return found

    def offers(self, words: str) -> tuple[Offer, ...]:
        """Return the offers for a gap."""
        return offers_for(self.project, self.job, self.gap(words))

    def choose(self, words: str, kind: str, title: str = "", **fields: object) -> Offer:
        """Take the first offer of a kind whose title holds some words."""
        gap = self.gap(words)
        offer = next(
            one
            for one in offers_for(self.project, self.job, gap)
            if one.kind == kind and title in one.title
        )
        self.project = edits.choose_operation(
            self.project, gap=gap.key, offer=offer.key, kind=offer.kind, **fields
        ).project
        return offer

    def plan(self) -> WorkPlan:
        """Return the plan of what was chosen."""
        return plan_work(self.project, self.job)


def make_lamp_shop() -> Shop:
    """Return a van that gets a trailer socket X9 with a lamp lead from A1, and a ground; A1 and E1 are there.

    The stop lamp lead runs A1:1 to E1:1 in every van; with towing X9:1 branches off from it at splice S1.
    """
    shop = Shop()
    shop.part("A1", "module")
    shop.part("E1", "lamp")
    shop.part("GND1", "ground point", reference="chassis")
    shop.part("X9", "socket", new=True)
    shop.lead("A1 C1:1", "E1:1", colour="GY")
    shop.lead("E1:2", "GND1:1", colour="BN")
    shop.lead("A1 C1:5", "X9:5", new=True, area=1.5, colour="RD")
    shop.lead("X9:3", "GND1:2", new=True, area=2.5, colour="WH")
    return shop
