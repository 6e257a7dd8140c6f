"""How the usual devices conduct inside, by kind of part: a proposal that the person can take over.

The table is `assets/devices.csv`, each row with its source and whether it was verified. Only what has
the same terminals wherever it is printed stands there. A switch, a lamp or a motor has none: how many
pins it has is for the sheet to say, and a guess would join what is apart.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from itertools import groupby
from typing import Literal, get_args

from loomfolio.basics import asset_path
from loomfolio.project.facts import InnerPin
from loomfolio.project.models import InnerWay, PartKind

DEVICES_TABLE = "devices.csv"

Status = Literal["memory", "practice", "verified"]


@dataclass(frozen=True, slots=True)
class StandardDevice:
    """A device as a standard numbers it. `status` is that of its least certain row."""

    kind: str
    name: str
    ways: tuple[InnerWay, ...]
    source: str
    status: Status

    @property
    def pins(self) -> frozenset[str]:
        """The numbers of its pins."""
        return frozenset(pin.pin for way in self.ways for pin in way.pins)


@cache
def standard_devices() -> tuple[StandardDevice, ...]:
    """Return the usual devices in the order of the table, the commonest of each kind first."""
    with asset_path(DEVICES_TABLE).open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return tuple(
        _device(kind, name, list(group))
        for (kind, name), group in groupby(rows, lambda row: (row["part_kind"], row["device"]))
    )


def _device(kind: str, name: str, rows: list[dict[str, str]]) -> StandardDevice:
    return StandardDevice(
        kind=kind,
        name=name,
        ways=tuple(_way(row) for row in rows),
        source="; ".join(dict.fromkeys(row["source"] for row in rows)),
        status=_least_certain({row["status"] for row in rows}),
    )


def _least_certain(words: set[str]) -> Status:
    for status in get_args(Status):
        if status in words:
            found: Status = status
            return found
    raise ValueError(f"{DEVICES_TABLE}: a status is none of {get_args(Status)}")


def _way(row: dict[str, str]) -> InnerWay:
    return InnerWay.model_validate(
        {
            "relation": row["relation"],
            "pins": (InnerPin(pin=row["pin_a"]), InnerPin(pin=row["pin_b"])),
            "label": row["label"],
            "at_rest": row["at_rest"],
        }
    )


def standard_ways(kind: PartKind) -> tuple[InnerWay, ...]:
    """Return the inner ways of the commonest device of a kind; none where the kind has no usual one.

    A relay is the mini relay of ISO 7588-1: coil 85 to 86, 30 to 87 open and 30 to 87a closed at rest.
    """
    for device in standard_devices():
        if device.kind == kind:
            return device.ways
    return ()
