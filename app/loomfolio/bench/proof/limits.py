"""What readings are held against, from `assets/tables/proof_limits.csv`, each value with its source.

What a good lead reads follows from its own ohms, from the contacts on the way, and from what a meter
with nulled leads may still show; where length or area is not known, a stated limit stands in and the
figure says so.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Sequence
from functools import cache
from typing import cast

from loomfolio.basics import NameNotFoundError, asset_path
from loomfolio.bench.proof.metal import MetalPiece
from loomfolio.bench.proof.records import Limit
from loomfolio.electrics import (
    Conductor,
    Figure,
    Source,
    Status,
    given,
    lead_resistance,
    series,
    standard_tables,
)

AT_REST_C, WARM_C = 20.0, 60.0
"""Temperatures of leads, of a vehicle at rest and of one in use; common practice, no source."""


@cache
def _rows() -> dict[str, Figure]:
    with asset_path("tables", "proof_limits.csv").open(encoding="utf-8", newline="") as file:
        return {
            row["item"]: Figure(
                row["item"],
                float(row["value"]),
                row["unit"],
                source=Source(row["source"], cast(Status, row["status"]), row["item"]),
            )
            for row in csv.DictReader(file)
        }


def limit_value(item: str) -> Figure:
    """Return one value of the table; `NameNotFoundError` where it has no such row."""
    rows = _rows()
    if item not in rows:
        raise NameNotFoundError("row in proof_limits", item, rows)
    return rows[item]


def conductor_of(area_mm2: float) -> Conductor | None:
    """Return the vehicle lead of the next smaller standard area, whose ohms are no lower; None below all."""
    smaller = [
        one for one in series(standard_tables(), "vehicle") if one.area_mm2 <= area_mm2 * 1.001
    ]
    return smaller[-1] if smaller else None


def way_resistance(pieces: Sequence[MetalPiece], conductor_c: float = AT_REST_C) -> Figure | None:
    """Return what a way of these pieces may read: its leads and a contact at each end of each piece.

    None where the length or the area of one of its leads is not known.
    """
    contact = limit_value("contact of a mated pair")
    parts: list[Figure] = []
    contacts = 0
    for piece in pieces:
        contacts += 2 if piece.is_lead else 1
        if not piece.is_lead:
            continue
        conductor = conductor_of(piece.area_mm2) if piece.area_mm2 else None
        if conductor is None or piece.length_m is None:
            return None
        parts.append(lead_resistance(conductor, piece.length_m, conductor_c))
    ohm = math.fsum(part.value for part in parts) + contacts * contact.value
    count = given("contacts on the way", contacts, "")
    return Figure("the way", ohm, "ohm", "leads + contacts", (*parts, count, contact))


def continuity_limit(pieces: Sequence[MetalPiece]) -> Limit:
    """Return the limit of a continuity test over these pieces."""
    way, meter = way_resistance(pieces), limit_value("meter with nulled leads")
    high = (
        limit_value("continuity of a lead of unknown length")
        if way is None
        else Figure("greatest", way.value + meter.value, "ohm", "way + meter", (way, meter))
    )
    doubt = high.value * limit_value("continuity of doubt").value
    return Limit(unit="ohm", high=high, doubt_high=doubt)


def isolation_limit() -> Limit:
    """Return the limit of an isolation test of a lead whose devices are unplugged."""
    least = limit_value("isolation of a new lead")
    share = limit_value("isolation of doubt").value
    return Limit(unit="ohm", low=least, doubt_low=least.value * share)


def general_drop_limit() -> Limit:
    """Return the limit of a drop where the current is that of the circuit's own load, which nobody has stated."""
    high = limit_value("drop of a lead of unknown length")
    return Limit(unit="V", high=high, doubt_high=high.value * 1.3)


def drop_limit_of(
    pieces: Sequence[MetalPiece], supply_v: float, load: Figure
) -> tuple[Limit, Figure]:
    """Return the limit of a drop under a lamp of so many watts, and the current that it draws."""
    supply = given("supply", supply_v, "V")
    ampere = Figure("current of the load", load.value / supply_v, "A", "P / U", (load, supply))
    way = way_resistance(pieces, WARM_C)
    if way is None:
        high = limit_value("drop of a lead of unknown length")
    else:
        room = limit_value("drop over what is worked out")
        volt = way.value * ampere.value * room.value
        high = Figure("greatest drop", volt, "V", "ohm · ampere · room", (way, ampere, room))
    return Limit(unit="V", high=high, doubt_high=high.value * 1.3), ampere
