"""What is still to be looked at on a vehicle: only what the job is about, a connector at a time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from loomfolio.project import HalfKey, PinKey
from loomfolio.retrofit.job import JobGaps
from loomfolio.retrofit.records import Node
from loomfolio.retrofit.seen import NO_LEAD
from loomfolio.retrofit.state import node_order

_POSITIONS = frozenset({"fuse", "relay"})


@dataclass(frozen=True, slots=True)
class SurveyTask:
    """One thing to be looked at. `pins` are the cavities of a half that nobody has looked into."""

    kind: Literal["half", "position", "bar"]
    sentence: str
    half: HalfKey | None = None
    part: str | None = None
    label: str = ""
    pins: tuple[PinKey, ...] = ()


def survey_tasks(job: JobGaps) -> tuple[SurveyTask, ...]:
    """Return what has to be looked at, positions first, then bars, then connectors; nothing when all was."""
    return (*_positions(job), *_bars(job), *_halves(job))


def _is_in_scope(job: JobGaps, node: Node) -> bool:
    return job.scope is None or node in job.scope


def _wanted_pins(job: JobGaps) -> list[PinKey]:
    """The pins in scope at which either side has a lead, in order; splices and ground points are not looked into."""
    target, vehicle = job.target.equipment, job.state.equipment
    dropped = {pin for ends in job.state.dropped for pin in ends if isinstance(pin, PinKey)}
    nodes = {*target.leads_at, *vehicle.leads_at, *dropped}
    pins = [node for node in nodes if isinstance(node, PinKey) and _is_in_scope(job, node)]
    return sorted(pins, key=node_order)


def _halves(job: JobGaps) -> Iterator[SurveyTask]:
    seen, names = job.state.seen, job.state.equipment
    by_half: dict[HalfKey, list[PinKey]] = {}
    for pin in _wanted_pins(job):
        half = seen.halves.get(pin.half_key)
        is_told = pin in seen.cavities or (half is not None and half.state == "not there")
        if not is_told and pin.half_key in names.halves and not _is_position(job, pin.part):
            by_half.setdefault(pin.half_key, []).append(pin)
    for half_key, pins in by_half.items():
        cavities = ", ".join(pin.pin for pin in pins)
        sentence = f"Look into {names.half_text(half_key)}: {cavities}"
        yield SurveyTask("half", sentence, half=half_key, part=half_key.part, pins=tuple(pins))


def _is_position(job: JobGaps, part: str) -> bool:
    target, vehicle = job.target.equipment, job.state.equipment
    return (target.part_kinds.get(part) or vehicle.part_kinds.get(part)) in _POSITIONS


def _positions(job: JobGaps) -> Iterator[SurveyTask]:
    target = job.target.equipment
    parts = {node.part for node in target.leads_at if isinstance(node, PinKey)}
    in_scope = {
        node.part
        for node in (target.leads_at if job.scope is None else job.scope)
        if isinstance(node, PinKey)
    }
    missing = {gap.part for gap in job.gaps if gap.kind == "device missing"}
    for part in sorted(parts & in_scope):
        is_asked = _is_position(job, part) or part in missing
        if is_asked and part not in job.state.seen.positions and not _is_seen_gone(job, part):
            name = target.part_names[part]
            yield SurveyTask("position", f"Look at {name}: is it there, how complete?", part=part)


def _is_seen_gone(job: JobGaps, part: str) -> bool:
    """Was a half of it looked for and not found, or one of its cavities looked into?"""
    seen = job.state.seen
    gone = any(h.part == part and e.state == "not there" for h, e in seen.halves.items())
    return gone or any(
        pin.part == part and entry.state not in NO_LEAD for pin, entry in seen.cavities.items()
    )


def _bars(job: JobGaps) -> Iterator[SurveyTask]:
    target = job.target.equipment
    for bar, label in target.bars.items():
        part = bar[0].part
        if (part, label) in job.state.seen.bars or part not in job.state.equipment.part_kinds:
            continue
        if any(_is_in_scope(job, pin) for pin in bar):
            name = f"bar {label}" if label else "bar"
            sentence = f"Look at {target.part_names[part]}: is the {name} there?"
            yield SurveyTask("bar", sentence, part=part, label=label, pins=bar)
