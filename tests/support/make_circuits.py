"""Small circuits in few words: parts with what they do inside, leads between pins, notes, states.

A pin is written `K1:85` or `A1 C1:3`. What a part does inside is written `85-86 loads coil` or
`30-87 open contact`; `closed`, `open` and `unknown` pass.
"""

from __future__ import annotations

from functools import cached_property

from loomfolio.nets import Netlist, derive
from loomfolio.project import (
    CircuitClass,
    Drive,
    ElectricState,
    InnerPin,
    InnerWay,
    Job,
    Known,
    LeadColour,
    PartKind,
    PinDrive,
    PinKey,
    PinPair,
    Project,
    WaySetting,
    edits,
)
from loomfolio.retrofit import JobGaps, job_gaps


class Circuit:
    """A document that is made one thing after the other."""

    def __init__(self) -> None:
        self.project = Project()
        self._parts: dict[str, str] = {}

    def __repr__(self) -> str:
        names = {part.id: part.name for part in self.project.parts}

        def text(pin: PinKey) -> str:
            return f"{names[pin.part]}:{pin.pin}"

        ways = [
            f"{p.name} {'-'.join(i.pin for i in w.pins)} {w.relation} {w.at_rest}"
            for p in self.project.parts
            for w in p.ways
        ]
        leads = [f"{text(lead.ends[0])} - {text(lead.ends[1])}" for lead in self.project.leads]
        return "; ".join([*ways, *leads])

    def part(self, name: str, kind: PartKind, *ways: str, **fields: object) -> Circuit:
        """Add a part; `on` names its reference."""
        on = fields.pop("on", None)
        if on is not None:
            fields["reference"] = self._reference(str(on))
        self.project, self._parts[name] = edits.add_part(
            self.project,
            name=name,
            kind=kind,
            ways=tuple(_way(text) for text in ways),
            **fields,  # type: ignore[typeddict-item]
        )
        return self

    def _reference(self, kind: str) -> str:
        for reference in self.project.references:
            if reference.kind == kind:
                return reference.id
        self.project, new = edits.add_reference(self.project, name=kind, kind=kind)  # type: ignore[arg-type]
        return new

    def pin(self, text: str) -> PinKey:
        """Return a pin as written."""
        place, _, pin = text.rpartition(":")
        name, _, connector = place.partition(" ")
        name, _, half = name.partition(".")
        return PinKey(part=self._parts[name], connector=connector, half=half, pin=pin)

    def lead(self, a: str, b: str, colour: str = "", **fields: object) -> Circuit:
        """Add a lead between two pins."""
        self.project, _ = edits.add_lead(
            self.project,
            ends=(self.pin(a), self.pin(b)),
            colour=LeadColour(text=colour) if colour else None,
            **fields,  # type: ignore[typeddict-item]
        )
        return self

    def leads(self, text: str, **fields: object) -> Circuit:
        """Add leads written `G1:+ - F1:1, F1:2 - A1 C1:3`."""
        for pair in text.split(","):
            a, b = (end.strip() for end in pair.split(" - "))
            self.lead(a, b, **fields)  # type: ignore[arg-type]
        return self

    def new(self, text: str, colour: str = "", **fields: object) -> Circuit:
        """Add leads that only the target has."""
        return self.leads(text, colour=colour, when="t", **fields)

    def mate(self, part: str, *pairs: str, confirmed: bool = True) -> Circuit:
        """Mate the halves A and B of an in-line connector; pairs are written `1=4`."""
        a, b = (self.pin(f"{part}.{half}:1").half_key for half in "AB")
        table = tuple(PinPair(a=one, b=other) for one, other in (p.split("=") for p in pairs))
        known = Known(how="stated" if confirmed else "inferred")
        self.project, _ = edits.add_mate(self.project, a=a, b=b, pairs=table, known=known)
        return self

    def supply(self, pin: str, volt: float = 12.0, back: str = "", **fields: object) -> Circuit:
        """Note a supply."""
        self.project, _ = edits.note_supply(
            self.project,
            pin=self.pin(pin),
            voltage_v=volt,
            back=self.pin(back) if back else None,
            **fields,  # type: ignore[typeddict-item]
        )
        return self

    def load(self, pin: str, ampere: float, back: str = "") -> Circuit:
        """Note a load."""
        key = self.pin(back) if back else None
        self.project, _ = edits.note_load(
            self.project, pin=self.pin(pin), back=key, current_a=ampere
        )
        return self

    def ohm(self, a: str, b: str, ohm: float) -> Circuit:
        """Note a resistance."""
        ends = (self.pin(a), self.pin(b))
        self.project, _ = edits.note_resistance(self.project, ends=ends, ohm=ohm)
        return self

    def fuse(self, part: str, ampere: float, **fields: object) -> Circuit:
        """Note the rating of a fuse."""
        self.project, _ = edits.note_fuse(
            self.project,
            part=self._parts[part],
            rating_a=ampere,
            **fields,  # type: ignore[arg-type]
        )
        return self

    def relay(self, part: str, **fields: object) -> Circuit:
        """Note how a relay is suppressed and laid out."""
        self.project, _ = edits.note_relay(self.project, part=self._parts[part], **fields)  # type: ignore[arg-type]
        return self

    def circuit(self, pin: str, circuit: CircuitClass, **fields: object) -> Circuit:
        """Note the class of a net."""
        self.project, _ = edits.note_circuit(
            self.project,
            pin=self.pin(pin),
            circuit=circuit,
            **fields,  # type: ignore[arg-type]
        )
        return self

    def group(self, name: str, kind: str, *pairs: str, ends: str = "") -> Circuit:
        """Add a cable group; pairs are written `A1:5 A27:10`."""
        pins = tuple((self.pin(a), self.pin(b)) for a, b in (pair.split() for pair in pairs))
        self.project, _ = edits.add_group(
            self.project,
            name=name,
            kind=kind,  # type: ignore[arg-type]
            pins=pins,
            screen_ends=tuple(self.pin(end) for end in ends.split()),
        )
        return self

    def state(
        self,
        name: str,
        on: str = "",
        *,
        closed: tuple[str, ...] = (),
        opened: tuple[str, ...] = (),
        drives: dict[str, Drive] | None = None,
    ) -> ElectricState:
        """Add a state; ways are written `S1:1-2`."""
        settings = [
            WaySetting(ends=self._ends(text), is_closed=is_closed)
            for texts, is_closed in ((closed, True), (opened, False))
            for text in texts
        ]
        self.project, _ = edits.add_state(
            self.project,
            name=name,
            supplies=tuple(self.pin(text) for text in on.split()),
            settings=tuple(settings),
            drives=tuple(
                PinDrive(pin=self.pin(text), drives=drive) for text, drive in (drives or {}).items()
            ),
        )
        return self.project.states[-1]

    def _ends(self, text: str) -> tuple[PinKey, PinKey]:
        place, _, pins = text.rpartition(":")
        a, b = pins.split("-")
        return self.pin(f"{place}:{a}"), self.pin(f"{place}:{b}")

    @cached_property
    def netlist(self) -> Netlist:
        """The nets of what was made so far, from the first asking on."""
        return derive(self.project, {})

    def job(self) -> JobGaps:
        """The gaps between a vehicle without the option `t` and a target with it."""
        if not self.project.fits:
            self.project, _ = edits.add_fit(self.project, name="base", options_without=("t",))
            self.project, _ = edits.add_fit(self.project, name="equipped", options_with=("t",))
        job = Job(target_fit="equipped", vehicle_fit="base")
        self.project = edits.set_job(self.project, job)
        return job_gaps(self.project, {})


def _way(text: str) -> InnerWay:
    """`85-86 loads coil`, `30-87 open contact`, `1-2-3 joined bar`."""
    pins, how, *label = text.split()
    relation = how if how in {"joined", "loads"} else "passes"
    return InnerWay.model_validate(
        {
            "relation": relation,
            "pins": tuple(_inner_pin(pin) for pin in pins.split("-")),
            "at_rest": how if relation == "passes" else "unknown",
            "label": " ".join(label),
        }
    )


def _inner_pin(text: str) -> InnerPin:
    """`3`, or with a connector `C2:3`."""
    connector, _, pin = text.rpartition(":")
    return InnerPin(connector=connector, pin=pin)
