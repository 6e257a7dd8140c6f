"""What a survey asks: the connectors, positions, headers and bars of the job, and what was seen; no Qt in here.

Only what is in scope is asked: the pins that the gaps of the job are looked for at, or, while nothing can be
said about gaps, those of the scope's connectors and nets. Positions and header contacts are asked where
they may be a gap: fuses and relays, and what the target has at a gap. Without a scope everything counts.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from loomfolio.desk.derived import Derived
from loomfolio.desk.survey.letters import AskedKind
from loomfolio.project import (
    BarEntry,
    HalfEntry,
    HalfKey,
    HeaderEntry,
    InnerWay,
    Part,
    PinKey,
    PositionEntry,
    Project,
    all_halves,
    all_pins,
    cavity_entries,
    half_entry,
    half_text,
    natural_order,
)

NO_HOUSING = frozenset({"fuse", "splice", "ground point", "supply", "battery", "resistor", "diode"})
"""Parts whose pins lie in no housing of their own that one could look into."""
POSITIONS = frozenset({"fuse", "relay"})
"""Parts that sit in a position which is there without them."""
GONE = frozenset({"not there", "dummy plug", "bridge plug"})
"""States of a half in which it has no cavities to be looked into."""


@dataclass(frozen=True, slots=True)
class AskedHalf:
    """One half of a connector: which of its cavities are asked, and how many were not looked at."""

    half: HalfKey
    text: str
    asked: tuple[str, ...]
    left: int
    entry: HalfEntry | None

    @property
    def is_gone(self) -> bool:
        """Is it seen to be missing, or closed by a plug?"""
        return self.entry is not None and self.entry.state in GONE


@dataclass(frozen=True, slots=True)
class AskedThing:
    """One position, header contact or bar, and the state that was seen; None where nobody looked."""

    kind: AskedKind
    part: str
    text: str
    pin: PinKey | None = None
    label: str = ""
    state: str | None = None

    @property
    def key(self) -> tuple[object, ...]:
        """What it is about."""
        return (self.kind, self.part, self.pin, self.label)


@dataclass(frozen=True, slots=True)
class SurveyWork:
    """All that one specimen is asked about."""

    halves: tuple[AskedHalf, ...]
    things: tuple[AskedThing, ...]

    @property
    def left(self) -> int:
        """How many things are still to be looked at."""
        return sum(half.left for half in self.halves) + sum(
            1 for thing in self.things if thing.state is None
        )

    def things_of(self, kind: AskedKind) -> tuple[AskedThing, ...]:
        """Return the things of one kind."""
        return tuple(thing for thing in self.things if thing.kind == kind)


def what_is_asked(state: Derived, specimen: str) -> SurveyWork:
    """Return what a survey of one specimen asks, in natural order."""
    project = state.project
    pins = _pins_in_scope(state)
    parts = {pin.part for pin in pins}
    asked = [part for part in _in_order(project.parts) if part.id in parts]
    seen = {_subject(entry): entry for entry in project.survey if entry.specimen == specimen}
    return SurveyWork(
        halves=tuple(_halves(project, pins, specimen)),
        things=(
            *_positions(asked, _parts_at_gaps(state), seen),
            *_headers(state, asked, pins & _pins_at_gaps(state), seen),
            *_bars(asked, pins, seen),
        ),
    )


def _pins_in_scope(state: Derived) -> frozenset[PinKey]:
    project, found = state.project, state.job_gaps
    if not project.job.scope:
        return frozenset(all_pins(project))
    if found is not None and found.scope is not None:
        return frozenset(node for node in found.scope if isinstance(node, PinKey))
    scope = set(project.job.scope)
    return frozenset(
        pin
        for pin in all_pins(project)
        if pin.half_key in scope
        or ((net := state.net_of(pin)) is not None and net.number in state.scope)
    )


def _in_order(parts: Iterable[Part]) -> list[Part]:
    return sorted(parts, key=lambda part: natural_order(part.name.casefold()))


def _subject(entry: Any) -> tuple[object, ...]:
    match entry:
        case PositionEntry():
            return ("position", entry.part, None, "")
        case HeaderEntry():
            return ("header", entry.pin.part, entry.pin, "")
        case BarEntry():
            return ("bar", entry.part, None, entry.label)
    return ("", entry.id, None, "")


def _halves(project: Project, pins: frozenset[PinKey], specimen: str) -> Iterable[AskedHalf]:
    kinds = {part.id: part.kind for part in project.parts}
    by_half: dict[HalfKey, list[str]] = {}
    for pin in pins:
        by_half.setdefault(pin.half_key, []).append(pin.pin)
    for half in all_halves(project):
        numbers = by_half.get(half)
        if not numbers or kinds[half.part] in NO_HOUSING or kinds[half.part] == "relay":
            continue
        entry = half_entry(project, specimen, half)
        looked_at = {cavity.pin.pin for cavity in cavity_entries(project, specimen, half)}
        is_gone = entry is not None and entry.state in GONE
        left = 0 if is_gone else sum(1 for number in numbers if number not in looked_at)
        ordered = tuple(sorted(numbers, key=natural_order))
        yield AskedHalf(half, half_text(project, half), ordered, left, entry)


Seen = Mapping[tuple[object, ...], Any]


def _parts_at_gaps(state: Derived) -> frozenset[str]:
    """Devices that the target has and the vehicle may lack."""
    kinds = {"device missing", "device position of a lower grade"}
    return frozenset(gap.part for gap in state.gaps if gap.part is not None and gap.kind in kinds)


def _pins_at_gaps(state: Derived) -> frozenset[PinKey]:
    return frozenset(pin for gap in state.gaps for pin in gap.pins)


def _positions(parts: Iterable[Part], at_gaps: frozenset[str], seen: Seen) -> Iterable[AskedThing]:
    for part in parts:
        entry = seen.get(("position", part.id, None, ""))
        if part.kind in POSITIONS or part.id in at_gaps or entry is not None:
            words = f"{part.name}, {part.kind}"
            yield AskedThing("position", part.id, words, state=entry.grade if entry else None)


def _headers(
    state: Derived, parts: Iterable[Part], pins: frozenset[PinKey], seen: Seen
) -> Iterable[AskedThing]:
    for part in parts:
        if part.kind != "module":
            continue
        for pin in sorted((p for p in pins if p.part == part.id), key=lambda p: p.sort_key):
            entry = seen.get(("header", part.id, pin, ""))
            found = entry.state if entry else None
            yield AskedThing("header", part.id, state.pin_word(pin), pin=pin, state=found)


def _bars(parts: Iterable[Part], pins: frozenset[PinKey], seen: Seen) -> Iterable[AskedThing]:
    for part in parts:
        if part.kind != "joint connector":
            continue
        for way in part.ways:
            if way.relation == "joined" and way.label and _is_touched(part, way, pins):
                entry = seen.get(("bar", part.id, None, way.label))
                numbers = ", ".join(pin.pin for pin in way.pins)
                words = f"{part.name}, {way.label}: {numbers}"
                found = entry.state if entry else None
                yield AskedThing("bar", part.id, words, label=way.label, state=found)


def _is_touched(part: Part, way: InnerWay, pins: frozenset[PinKey]) -> bool:
    return any(PinKey(part=part.id, **pin.model_dump()) in pins for pin in way.pins)
