"""What is known of the circuits, as data, and how it comes into a document as notes and states.

Pins are written as on the plans. Every value here is invented, and so is only stated.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from drawing.marks import Marker
from loomfolio.project import (
    CircuitClass,
    Drive,
    FuseKind,
    PinDrive,
    PinKey,
    Suppression,
    WaySetting,
    edits,
)


@dataclass(frozen=True, slots=True)
class State:
    """A state of the vehicle: supplies that are on, ways that are closed or open, outputs that are driven."""

    name: str
    supplies: tuple[str, ...]
    drives: Mapping[str, Drive] = field(default_factory=dict)
    closed: tuple[tuple[str, str], ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class Circuits:
    """What is known of the circuits of a vehicle.

    `classes` are (pin, class, V, kbit/s), `supplies` (pin, minus, V), `loads` (pin, where it leaves, A,
    inrush in A), `fuses` the rating in A, its kind and the voltage it is made for by part, `ohms` (pin, pin, ohm).
    """

    classes: tuple[tuple[str, CircuitClass, float | None, float | None], ...]
    supplies: tuple[tuple[str, str, float], ...]
    loads: tuple[tuple[str, str, float, float | None], ...]
    fuses: Mapping[str, tuple[float, FuseKind, float | None]]
    ohms: tuple[tuple[str, str, float], ...]
    relays: Mapping[str, Suppression]
    states: tuple[State, ...]


def note_circuits(marker: Marker, known: Circuits) -> None:
    """Put all that is known of the circuits into the document."""
    _note_sources(marker, known)
    project, pin = marker.project, marker.pin_key
    parts = {part.name: part.id for part in project.parts}
    for at, back, ampere, inrush in known.loads:
        project = edits.note_load(
            project, pin=pin(at), back=_key(marker, back), current_a=ampere, inrush_a=inrush
        ).project
    for name, (rating, kind, volt) in known.fuses.items():
        project = edits.note_fuse(
            project, part=parts[name], rating_a=rating, fuse_kind=kind, rated_v=volt
        ).project
    for a, b, ohm in known.ohms:
        project = edits.note_resistance(project, ends=(pin(a), pin(b)), ohm=ohm).project
    for name, suppression in known.relays.items():
        project = edits.note_relay(project, part=parts[name], suppression=suppression).project
    marker.project = project
    for state in known.states:
        _add_state(marker, state)


def _note_sources(marker: Marker, known: Circuits) -> None:
    project, pin = marker.project, marker.pin_key
    for at, circuit, volt, rate in known.classes:
        project = edits.note_circuit(
            project, pin=pin(at), circuit=circuit, voltage_v=volt, kbit_per_s=rate
        ).project
    for at, back, volt in known.supplies:
        project = edits.note_supply(
            project, pin=pin(at), back=_key(marker, back), voltage_v=volt
        ).project
    marker.project = project


def _key(marker: Marker, text: str) -> PinKey | None:
    return marker.pin_key(text) if text else None


def _add_state(marker: Marker, state: State) -> None:
    pin = marker.pin_key
    marker.project = edits.add_state(
        marker.project,
        name=state.name,
        supplies=tuple(pin(text) for text in state.supplies),
        settings=tuple(WaySetting(ends=(pin(a), pin(b)), is_closed=True) for a, b in state.closed),
        drives=tuple(PinDrive(pin=pin(text), drives=to) for text, to in state.drives.items()),
        note=state.note,
    ).project
