"""A live table as the contract `loomfolio.live/1`, and as lines for a terminal."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Final, Literal

from pydantic import BaseModel, ConfigDict, Field

from loomfolio.electrics import Figure
from loomfolio.project import PinKey, Project, pin_text
from loomfolio.retrofit.live.paths import path_text
from loomfolio.retrofit.live.records import LiveTable, PinLiveness

LIVE_SCHEMA: Final = "loomfolio.live/1"


class _Record(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)


class LivePinRecord(_Record):
    """One pin: the answer, the clause why, the path that leads to it, and its volts where they are known."""

    pin: str
    answer: str
    reason: str
    path: tuple[str, ...]
    volts: float | None


class LiveRelayRecord(_Record):
    """What a relay does at rest; null where that is not known."""

    relay: str
    is_pulled: bool | None
    reason: str


class LiveCurrentRecord(_Record):
    """What runs through something inside a part, from one pin to the other."""

    a: str
    b: str
    amperes: float


class LiveStateRecord(_Record):
    """One state."""

    state: str
    pins: tuple[LivePinRecord, ...]
    relays: tuple[LiveRelayRecord, ...]
    currents: tuple[LiveCurrentRecord, ...]
    faults: tuple[str, ...]


class LiveRecord(_Record):
    """The live tables of some states."""

    format: Literal["loomfolio.live/1"] = Field(default=LIVE_SCHEMA, alias="schema")
    states: tuple[LiveStateRecord, ...]


def live_record(project: Project, tables: Sequence[LiveTable]) -> LiveRecord:
    """Return the contract of live tables."""
    return LiveRecord(states=tuple(_state(project, table) for table in tables))


def _state(project: Project, table: LiveTable) -> LiveStateRecord:
    names = {part.id: part.name for part in project.parts}
    return LiveStateRecord(
        state=table.state,
        pins=tuple(
            LivePinRecord(
                pin=pin_text(project, one.pin),
                answer=one.answer,
                reason=one.reason,
                path=tuple(step.text for step in one.path),
                volts=None if one.volts is None else one.volts.value,
            )
            for one in table.pins.values()
        ),
        relays=tuple(
            LiveRelayRecord(relay=names[one.part], is_pulled=one.is_pulled, reason=one.reason)
            for one in table.relays
        ),
        currents=tuple(
            LiveCurrentRecord(
                a=pin_text(project, one.ends[0]),
                b=pin_text(project, one.ends[1]),
                amperes=one.amperes.value,
            )
            for one in table.currents
        ),
        faults=tuple(fault.sentence for fault in table.faults),
    )


def live_text(project: Project, table: LiveTable, *, only: Collection[PinKey] = ()) -> str:
    """Return a live table as lines; with `only`, of these pins, each with the reasons of its volts."""
    names = {part.id: part.name for part in project.parts}
    pulls = {True: "pulls", False: "is released", None: "is unknown"}
    lines = [f"{table.state}:"]
    if not only:
        lines += [f"  {names[r.part]} {pulls[r.is_pulled]}: {r.reason}" for r in table.relays]
    lines += [f"  stop  {fault.sentence}: {path_text(fault.path)}" for fault in table.faults]
    for pin, one in table.pins.items():
        if not only or pin in only:
            lines.append(_line(project, one))
            if only and one.volts is not None:
                lines.append(one.volts.why("      "))
    return "\n".join(lines)


def _line(project: Project, one: PinLiveness) -> str:
    volts = _volts(one.volts)
    way = f"  {path_text(one.path)}" if one.path else ""
    return f"  {pin_text(project, one.pin):14} {one.answer:8} {volts:>8}  {one.reason}{way}"


def _volts(figure: Figure | None) -> str:
    return "" if figure is None else f"{figure.value:.4g} V"
