"""Leads, fuses and worked examples for the tests of the numbers."""

from __future__ import annotations

import csv
from collections.abc import Callable
from dataclasses import dataclass

import pytest

from loomfolio.basics import asset_path
from loomfolio.electrics import (
    Back,
    Chassis,
    LeadRun,
    SeriesName,
    Tables,
    find_conductor,
    find_insulation,
    series,
    standard_tables,
)

MakeRun = Callable[..., LeadRun]


@dataclass(frozen=True)
class WorkedExample:
    """A numbered example of a handbook: what goes in, and what its source prints."""

    inputs: dict[str, float]
    printed: str

    def __getattr__(self, name: str) -> float:
        return self.inputs[name]


@pytest.fixture(scope="session")
def tables() -> Tables:
    """The tables that come with the program."""
    return standard_tables()


@pytest.fixture(scope="session")
def make_run(tables: Tables) -> MakeRun:
    """Return a builder of leads: one metre of vehicle lead over chassis, at 40 °C, if not said."""

    def build(
        size: str = "1",
        *,
        of: SeriesName = "vehicle",
        insulation: str = "PVC 105 C",
        length_m: float = 1.0,
        back: Back = Chassis(),  # noqa: B008 - frozen, so no call can change it for the next
        ambient_c: float = 40.0,
        loaded_in_bundle: int = 1,
    ) -> LeadRun:
        return LeadRun(
            conductor=find_conductor(series(tables, of), size),
            insulation=find_insulation(tables, insulation),
            length_m=length_m,
            back=back,
            ambient_c=ambient_c,
            loaded_in_bundle=loaded_in_bundle,
        )

    return build


@pytest.fixture(scope="session")
def worked() -> dict[str, WorkedExample]:
    """The worked examples by number."""
    text = asset_path("tables", "worked_examples.csv").read_text(encoding="utf-8")
    return {row["id"]: _example(row) for row in csv.DictReader(text.splitlines())}


def _example(row: dict[str, str]) -> WorkedExample:
    told = {"id", "kind", "input_note", "printed_result", "result_unit", "note", "source", "status"}
    inputs = {
        name.lower(): float(cell)
        for name, cell in row.items()
        if name not in told and _is_number(cell)
    }
    return WorkedExample(inputs, row["printed_result"])


def _is_number(cell: str) -> bool:
    return cell.replace(".", "", 1).replace("-", "", 1).isdigit()
