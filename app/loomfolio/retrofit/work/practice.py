"""The customs of the work as figures: allowances, distances, strip lengths, strengths of joints.

They stand in `assets/tables/work_practice.csv` and `splice_strength.csv`, each row with its source and
whether that was seen. Code reckons with them and holds none of its own.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import cast

from loomfolio.basics import FileUnreadableError, NameNotFoundError, asset_path
from loomfolio.electrics import Figure, Source, Status, given

_PRACTICE, _STRENGTH = "tables/work_practice.csv", "tables/splice_strength.csv"
CRIMP_TABLE = "UL_486A"
"""The rows against which joints are pulled: the only ones seen in a text from 28 AWG to 2/0."""


def practice(item: str) -> Figure:
    """Return a custom of the work as a figure.

    Raises
    ------
    NameNotFoundError
        The table has no such row; the nearest are named.
    """
    rows = _practices()
    if item not in rows:
        raise NameNotFoundError("row in work_practice.csv", item, rows)
    return rows[item]


@cache
def _practices() -> Mapping[str, Figure]:
    return {
        row["item"]: Figure(
            row["item"],
            _number(_PRACTICE, row, "value"),
            row["unit"],
            source=Source(row["source"], _status(row), f"work_practice.csv, {row['item']}"),
        )
        for row in _rows(_PRACTICE)
    }


@dataclass(frozen=True, slots=True)
class _Strength:
    area_mm2: float
    force: Figure


@cache
def _strengths() -> tuple[_Strength, ...]:
    return tuple(
        _Strength(
            _number(_STRENGTH, row, "area_mm2"),
            Figure(
                f"least pull for {row['size']} AWG",
                _number(_STRENGTH, row, "min_pull_force_N"),
                "N",
                source=Source(
                    row["source"], _status(row), f"splice_strength.csv, {CRIMP_TABLE} {row['size']}"
                ),
            ),
        )
        for row in _rows(_STRENGTH)
        if row["table_id"] == CRIMP_TABLE
    )


def pull_force(area_mm2: float) -> Figure:
    """Return what a sample of a crimped joint has to stand when it is pulled, for its thinner lead, in N.

    The row of the nearest area counts, taken in proportion to the area.
    """
    near = min(_strengths(), key=lambda row: abs(row.area_mm2 - area_mm2) / row.area_mm2)
    own = given("area of the thinner lead", area_mm2, "mm²")
    of_row = Figure("area of the row", near.area_mm2, "mm²", source=near.force.source)
    return Figure(
        "least pull of a sample joint",
        near.force.value * area_mm2 / near.area_mm2,
        "N",
        "pull of the nearest row · area / area of the row",
        (near.force, own, of_row),
    )


def _rows(file: str) -> list[dict[str, str]]:
    with asset_path(file).open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def _number(file: str, row: Mapping[str, str], column: str) -> float:
    try:
        return float(row[column])
    except ValueError:
        what = f"it has {row[column]!r} under {column!r}, which is no number"
        raise FileUnreadableError(
            asset_path(file), what, "mend the cell or restore the table"
        ) from None


def _status(row: Mapping[str, str]) -> Status:
    known = {"verified", "memory", "practice"}
    return cast(Status, row["status"] if row["status"] in known else "memory")
