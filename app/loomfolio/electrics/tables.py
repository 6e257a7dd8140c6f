"""Read the CSV tables of `assets/tables/` into records; code computes, tables know.

A table is read row by row; each row becomes a record with the source and the status that its own
columns state. A cell that cannot be read stops the reading with the file, row and column, so that a
person who edits a table learns where it went wrong.
"""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import get_args

from loomfolio.basics import FileUnreadableError, asset_path
from loomfolio.electrics.evidence import Figure, Source, Status
from loomfolio.electrics.records import (
    AdiabaticFactor,
    Ampacity,
    AmpacityFactor,
    BandPoint,
    Conductor,
    DropLimit,
    Fact,
    Facts,
    Fuse,
    FuseAreaGuide,
    Insulation,
    Material,
    SizeSystem,
    Tables,
)

FEET_PER_KM = 1000 / 0.3048
MM2_PER_CIRCULAR_MIL = 0.0254**2 * math.pi / 4

_CALCULATED_AREA = re.compile(r"calculated area ([\d.]+) mm2")
_ADIABATIC_FORMULA = re.compile(r"([\d.]+)\*sqrt\(ln\(\(([\d.]+)\+Tf\)/\(\2\+Ti\)\)\)")
_LEADING_NUMBER = re.compile(r"[\d.]+")


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table, by column name, with its place for messages."""

    path: Path
    line: int
    cells: dict[str, str]

    def text(self, column: str) -> str:
        """Return the cell, an empty text where the table has no such column."""
        return self.cells.get(column, "")

    def number(self, column: str) -> float:
        """Return the number in the cell.

        Raises
        ------
        FileUnreadableError
            When the cell holds no number.
        """
        try:
            return float(self.text(column))
        except ValueError:
            raise self.fault(column) from None

    def optional(self, column: str) -> float | None:
        """Return the number in the cell, None for an empty one."""
        return self.number(column) if self.text(column) else None

    def source(self, *columns: str) -> Source:
        """Return the row's source and status; `columns` name the row.

        Raises
        ------
        FileUnreadableError
            When the status is none of those that the tables know.
        """
        found = [s for s in get_args(Status)[:3] if s == self.text("status")]
        if not found:
            raise self.fault("status")
        named = " ".join(part for column in columns if (part := self.text(column)))
        return Source(self.text("source"), found[0], f"{self.path.name}, {named}")

    def figure(self, name: str, column: str, unit: str, *columns: str) -> Figure:
        """Return the number in the cell as a figure that names the row."""
        return Figure(name, self.number(column), unit, source=self.source(*columns))

    def fault(self, column: str) -> FileUnreadableError:
        """Return the error that says which cell cannot be read."""
        what = f"row {self.line} has {self.text(column)!r} under {column!r}, which cannot be used"
        return FileUnreadableError(self.path, what, "mend the cell or restore the table")


@cache
def standard_tables() -> Tables:
    """Return the tables that come with the program; they are read once."""
    return read_tables(asset_path("tables"))


def read_tables(folder: Path) -> Tables:
    """Return the tables in `folder`.

    Raises
    ------
    FileUnreadableError
        When a table is missing or a cell cannot be read.
    """
    materials = _facts(folder, "materials.csv", "material", "quantity")
    adiabatic = list(_rows(folder, "adiabatic_k.csv"))
    copper = _material("copper", materials, adiabatic)
    aluminium = _material("aluminium", materials, adiabatic)
    diameters = _outside_diameters(folder)
    mm2 = _mm2_conductors(folder, {"copper": copper, "aluminium": aluminium}, diameters)
    return Tables(
        copper=copper,
        aluminium=aluminium,
        conductors=(*mm2, *_awg_conductors(folder, copper, diameters)),
        insulations=_insulations(folder),
        ampacities=tuple(map(_ampacity, _rows(folder, "ampacity.csv"))),
        ampacity_factors=tuple(map(_ampacity_factor, _rows(folder, "ampacity_factors.csv"))),
        adiabatic_factors=tuple(_adiabatic_factors(adiabatic)),
        fuses=_fuses(folder),
        fuse_area_guide=tuple(map(_guide, _rows(folder, "fuse_area_guide.csv"))),
        drop_limits=tuple(map(_drop_limit, _rows(folder, "voltage_drop.csv"))),
        materials=materials,
        fuse_facts=_facts(folder, "fuse_facts.csv", "", "quantity"),
        relays=_facts(folder, "relays.csv", "relay_type", "item"),
        can_bus=_facts(folder, "can_bus.csv", "", "item"),
        control_pilot=_facts(folder, "control_pilot.csv", "item", "state_or_code"),
        heat_transfer=_facts(folder, "heat_transfer.csv", "", "item"),
        mechanical_minimum=_facts(folder, "mechanical_minimum.csv", "", "place", value="area_mm2"),
    )


def _rows(folder: Path, name: str) -> Iterator[Row]:
    path = folder / name
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        raise FileUnreadableError(path, "the table cannot be read", "restore it") from None
    for line, cells in enumerate(csv.DictReader(text.splitlines()), start=2):
        yield Row(path, line, {k: (v or "").strip() for k, v in cells.items() if k is not None})


def _facts(folder: Path, name: str, subject: str, item: str, *, value: str = "value") -> Facts:
    return Facts(name, tuple(_fact(row, subject, item, value) for row in _rows(folder, name)))


def _fact(row: Row, subject: str, item: str, value: str) -> Fact:
    text = row.text(value)
    try:
        number = float(text)
    except ValueError:
        number = None
    return Fact(
        subject=row.text(subject),
        item=row.text(item),
        text=text or row.text("meaning"),
        value=number,
        unit=row.text("unit") or ("mm²" if value == "area_mm2" else ""),
        condition=row.text("condition"),
        note=row.text("note"),
        source=row.source(subject, item, "condition"),
    )


def _material(name: str, facts: Facts, adiabatic: list[Row]) -> Material:
    """Return copper or aluminium; the adiabatic constants are read from the general formula's row."""
    subject = {"copper": "copper annealed", "aluminium": "aluminium, commercial purity"}[name]
    resistivity = {"copper": "resistivity 100 % IACS", "aluminium": "resistivity"}[name]
    column = "k_A_sqrt_s_per_mm2"
    found = {
        row.text("conductor"): (row, _ADIABATIC_FORMULA.fullmatch(row.text(column)))
        for row in adiabatic
        if row.text("insulation") == "general formula"
    }
    row, formula = found.get(name, (adiabatic[0], None))
    if formula is None:
        raise row.fault(column)
    source = row.source("conductor", "insulation")
    return Material(
        name=name,
        resistivity_ohm_mm2_per_m=facts.find(resistivity, subject=subject).figure,
        temperature_coefficient_per_k=facts.find(
            "temperature coefficient of resistance", subject=subject
        ).figure,
        adiabatic_constant=Figure(
            f"{name}, constant of the adiabatic formula",
            float(formula[1]),
            "A√s/mm²",
            source=source,
        ),
        zero_resistance_c=Figure(
            f"{name}, inferred temperature of no resistance", float(formula[2]), "°C", source=source
        ),
    )


def _outside_diameters(folder: Path) -> dict[tuple[str, float], Figure]:
    """Return outside diameters by standard and size, for tables of conductors that print none."""
    return {
        (row.text("standard"), row.number("size")): row.figure(
            f"outside diameter, {row.text('standard')} {row.text('size')}",
            "outside_diameter_mm",
            "mm",
            "standard",
            "size",
        )
        for row in _rows(folder, "outside_diameters.csv")
    }


def _mm2_conductors(
    folder: Path, materials: dict[str, Material], diameters: dict[tuple[str, float], Figure]
) -> Iterator[Conductor]:
    """Yield the metric conductors; rows without a resistance are lists of diameters, and left out."""
    for row in _rows(folder, "conductors_mm2.csv"):
        if not row.text("max_resistance_20C_ohm_per_km"):
            continue
        size, standard = row.text("size_mm2"), row.text("standard")
        calculated = _CALCULATED_AREA.search(row.text("note"))
        nominal = _LEADING_NUMBER.match(size)
        if nominal is None:
            raise row.fault("size_mm2")
        material = materials.get(row.text("material").split(" ")[0])
        if material is None:
            raise row.fault("material")
        named = ("standard", "material", "conductor_class", "size_mm2")
        own = row.text("outside_diameter_max_mm")
        yield Conductor(
            standard=standard,
            system="mm2",
            size=size,
            area_mm2=float(calculated[1]) if calculated else float(nominal[0]),
            resistance_20c_ohm_per_km=row.number("max_resistance_20C_ohm_per_km"),
            material=material,
            source=row.source(*named),
            construction=f"{row.text('material')}, {row.text('conductor_class')}",
            conductor_diameter_mm=row.optional("conductor_diameter_max_mm"),
            outside_diameter=row.figure(
                f"outside diameter, {standard} {size}", "outside_diameter_max_mm", "mm", *named
            )
            if own
            else diameters.get((standard, float(nominal[0]))),
            note=row.text("note"),
        )


def _awg_conductors(
    folder: Path, copper: Material, diameters: dict[tuple[str, float], Figure]
) -> Iterator[Conductor]:
    """Yield each gauge as a solid wire, and as stranded aviation wire where that is tabulated."""
    for row in _rows(folder, "conductors_awg.csv"):
        size = row.text("awg")
        solid = Conductor(
            standard="ASTM B258 solid",
            system="AWG",
            size=size,
            area_mm2=row.number("area_mm2"),
            resistance_20c_ohm_per_km=row.number("resistance_solid_20C_ohm_per_km"),
            material=copper,
            source=row.source("awg"),
            construction="copper, solid",
            conductor_diameter_mm=row.number("diameter_mm"),
            outside_diameter=diameters.get(("AWG", float(size))) if size.isdigit() else None,
            note=row.text("note"),
        )
        yield solid
        ohm_per_1000_ft = row.optional("resistance_aviation_stranded_max_20C_ohm_per_1000ft")
        if ohm_per_1000_ft is not None:
            circular_mils = row.number("aviation_stranded_area_circular_mils")
            yield replace(
                solid,
                standard="AWG aviation stranded",
                area_mm2=circular_mils * MM2_PER_CIRCULAR_MIL,
                resistance_20c_ohm_per_km=ohm_per_1000_ft * FEET_PER_KM / 1000,
                construction="copper, stranded",
                conductor_diameter_mm=None,
            )


def _insulations(folder: Path) -> tuple[Insulation, ...]:
    found: dict[str, dict[str, Figure]] = {}
    for row in _rows(folder, "insulations.csv"):
        name, quantity = row.text("insulation"), row.text("quantity")
        unit = row.text("unit").replace("C", "°C")
        figure = row.figure(f"{name}, {quantity}", "value", unit, "insulation", "quantity")
        found.setdefault(name, {})[quantity] = figure
    return tuple(
        Insulation(
            name=name,
            limit_c=figures["limit"],
            overload_c=figures.get("overload limit", figures["limit"]),
            short_circuit_c=figures["short-circuit limit"],
            thermal_resistivity_k_m_per_w=figures["thermal resistivity"],
        )
        for name, figures in found.items()
    )


def _system(row: Row) -> SizeSystem:
    system = row.text("size_system")
    if system == "AWG":
        return "AWG"
    if system == "mm2":
        return "mm2"
    raise row.fault("size_system")


def _ampacity(row: Row) -> Ampacity:
    # "85 to 90" is a group of insulations: the lower end holds for all of it.
    insulation = _LEADING_NUMBER.match(row.text("insulation_temperature_C"))
    return Ampacity(
        table_id=row.text("table_id"),
        system=_system(row),
        size=row.text("size"),
        insulation_c=float(insulation[0]) if insulation else None,
        ambient_c=row.optional("ambient_temperature_C"),
        installation=row.text("installation"),
        current_a=row.number("current_A"),
        note=row.text("note"),
        source=row.source("table_id", "size", "insulation_temperature_C"),
    )


def _count(row: Row, column: str) -> int | None:
    value = row.optional(column)
    return None if value is None else int(value)


def _ampacity_factor(row: Row) -> AmpacityFactor:
    return AmpacityFactor(
        table_id=row.text("table_id"),
        condition=row.text("condition"),
        lower_count=_count(row, "lower_count"),
        upper_count=_count(row, "upper_count"),
        ambient_c=row.optional("ambient_temperature_C"),
        insulation_c=row.optional("insulation_temperature_C"),
        factor=row.optional("factor_ratio"),
        note=row.text("note"),
        source=row.source("table_id", "lower_count", "ambient_temperature_C"),
    )


def _adiabatic_factors(rows: list[Row]) -> Iterator[AdiabaticFactor]:
    """Yield the rows with a number; the general formulas are read with the materials."""
    for row in rows:
        if row.text("k_A_sqrt_s_per_mm2").replace(".", "").isdigit():
            yield AdiabaticFactor(
                conductor=row.text("conductor"),
                insulation=row.text("insulation"),
                initial_c=row.number("initial_temperature_C"),
                final_c=row.number("final_temperature_C"),
                size_limit=row.text("size_limit_mm2"),
                k=row.number("k_A_sqrt_s_per_mm2"),
                source=row.source("conductor", "insulation", "initial_temperature_C"),
            )


def _fuses(folder: Path) -> tuple[Fuse, ...]:
    bands = _bands(folder)
    return tuple(
        Fuse(
            kind=row.text("fuse_type"),
            size_name=row.text("size_name"),
            rating_a=row.number("rating_A"),
            colour=row.text("colour"),
            hex_colour=row.text("hex_own"),
            system_v=_leading_number(row, "max_system_voltage_V_DC"),
            band=bands.get(row.text("fuse_type"), ()),
            note=row.text("note"),
            source=row.source("fuse_type", "rating_A"),
        )
        for row in _rows(folder, "fuses.csv")
    )


def _leading_number(row: Row, column: str) -> float:
    found = _LEADING_NUMBER.match(row.text(column))
    if found is None:
        raise row.fault(column)
    return float(found[0])


def _bands(folder: Path) -> dict[str, tuple[BandPoint, ...]]:
    """Return the time band of each fuse type, widest where the table has several rows for a point.

    The rows of one point are for different ratings; the longest and the shortest of them hold for all.
    """
    points: dict[str, dict[float, BandPoint]] = {}
    for row in _rows(folder, "fuse_time_current.csv"):
        kind, percent = row.text("fuse_type"), row.number("load_percent_of_rating")
        band = points.setdefault(kind, {})
        known = band.get(percent, BandPoint(percent, None, None))
        lows = [known.at_least_s, _band_time(row, "min_opening_time_s", "shortest")]
        highs = [known.at_most_s, _band_time(row, "max_opening_time_s", "longest")]
        band[percent] = BandPoint(
            percent,
            min((low for low in lows if low), key=lambda f: f.value, default=None),
            max((high for high in highs if high), key=lambda f: f.value, default=None),
        )
    return {kind: tuple(band[percent] for percent in sorted(band)) for kind, band in points.items()}


def _band_time(row: Row, column: str, which: str) -> Figure | None:
    if not row.text(column):
        return None
    percent = row.text("load_percent_of_rating")
    name = f"fuse type {row.text('fuse_type')} at {percent} %, {which} opening time"
    return row.figure(name, column, "s", "fuse_type", "load_percent_of_rating")


def _guide(row: Row) -> FuseAreaGuide:
    return FuseAreaGuide(
        greatest_current_a=row.number("greatest_continuous_current_A"),
        fuse_rating_a=row.number("fuse_rating_A"),
        area_mm2=row.number("area_mm2"),
        ambient_c=row.number("ambient_temperature_C"),
        note=row.text("note"),
        source=row.source("fuse_rating_A"),
    )


def _drop_limit(row: Row) -> DropLimit:
    system = row.text("system_voltage_V")
    return DropLimit(
        table_id=row.text("table_id"),
        circuit=row.text("circuit"),
        system_v=None if system == "any" else row.number("system_voltage_V"),
        allowed_v=row.optional("allowed_drop_V"),
        allowed_percent=row.optional("allowed_drop_percent"),
        scope=row.text("scope"),
        note=row.text("note"),
        source=row.source("table_id", "circuit", "system_voltage_V"),
    )
