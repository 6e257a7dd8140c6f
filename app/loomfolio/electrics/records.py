"""The rows of the trade's tables as typed records; each carries its source and status.

Areas in mm², diameters in mm, resistance in ohm/km at 20 °C, temperatures in °C. None where the
table leaves a cell empty.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from loomfolio.basics import NameNotFoundError
from loomfolio.electrics.evidence import Figure, Source

SizeSystem = Literal["mm2", "AWG"]


@dataclass(frozen=True, slots=True)
class Material:
    """A conductor metal: how its resistance and its temperature follow the current."""

    name: str
    resistivity_ohm_mm2_per_m: Figure
    temperature_coefficient_per_k: Figure
    adiabatic_constant: Figure
    zero_resistance_c: Figure


@dataclass(frozen=True, slots=True)
class Conductor:
    """One standard size: greatest resistance, diameters. `size` is the text that the trade says."""

    standard: str
    system: SizeSystem
    size: str
    area_mm2: float
    resistance_20c_ohm_per_km: float
    material: Material
    source: Source
    construction: str = ""
    conductor_diameter_mm: float | None = None
    outside_diameter: Figure | None = None
    note: str = ""

    @property
    def label(self) -> str:
        """The size as it is written on a sheet: `0.35 mm²` or `18 AWG`."""
        return f"{self.size} AWG" if self.system == "AWG" else f"{self.size} mm²"


@dataclass(frozen=True, slots=True)
class Insulation:
    """What an insulation stands: for ever, for the minutes of an overload, for the seconds of a short.

    Where no overload limit is known it is the limit for ever.
    """

    name: str
    limit_c: Figure
    overload_c: Figure
    short_circuit_c: Figure
    thermal_resistivity_k_m_per_w: Figure


@dataclass(frozen=True, slots=True)
class Ampacity:
    """A published current limit: a check from outside, never a limit of ours."""

    table_id: str
    system: SizeSystem
    size: str
    insulation_c: float | None
    ambient_c: float | None
    installation: str
    current_a: float
    note: str
    source: Source


@dataclass(frozen=True, slots=True)
class AmpacityFactor:
    """A published factor on a current limit, by count of loaded leads or by temperature."""

    table_id: str
    condition: str
    lower_count: int | None
    upper_count: int | None
    ambient_c: float | None
    insulation_c: float | None
    factor: float | None
    note: str
    source: Source


@dataclass(frozen=True, slots=True)
class AdiabaticFactor:
    """A published factor k of S = I·√t / k."""

    conductor: str
    insulation: str
    initial_c: float
    final_c: float
    size_limit: str
    k: float
    source: Source


@dataclass(frozen=True, slots=True)
class BandPoint:
    """How long a fuse carries a share of its rating: at least, at most. None where the band is open."""

    percent: float
    at_least_s: Figure | None
    at_most_s: Figure | None


@dataclass(frozen=True, slots=True)
class Fuse:
    """A blade fuse of ISO 8820-3 with the time band of its type."""

    kind: str
    size_name: str
    rating_a: float
    colour: str
    hex_colour: str
    system_v: float
    band: tuple[BandPoint, ...]
    note: str
    source: Source

    @property
    def rating(self) -> Figure:
        """The rating as a figure."""
        return Figure(f"{self.size_name} fuse, rating", self.rating_a, "A", source=self.source)


@dataclass(frozen=True, slots=True)
class DropLimit:
    """How much voltage a kind of circuit may lose; `scope` says over which part of the loop."""

    table_id: str
    circuit: str
    system_v: float | None
    allowed_v: float | None
    allowed_percent: float | None
    scope: str
    note: str
    source: Source


@dataclass(frozen=True, slots=True)
class FuseAreaGuide:
    """A published pairing of continuous current, fuse and area: a check from outside."""

    greatest_current_a: float
    fuse_rating_a: float
    area_mm2: float
    ambient_c: float
    note: str
    source: Source


@dataclass(frozen=True, slots=True)
class Fact:
    """A single value of a table, under a subject (a relay type, a material) and an item.

    `text` is what the table prints; `value` is None where that is no number.
    """

    subject: str
    item: str
    text: str
    value: float | None
    unit: str
    condition: str
    note: str
    source: Source

    @property
    def figure(self) -> Figure:
        """The value as a figure.

        Raises
        ------
        NameNotFoundError
            Where the table prints words or nothing.
        """
        if self.value is None:
            raise NameNotFoundError(
                "number in the tables", f"{self.subject} {self.item}".strip(), ()
            )
        name = ", ".join(part for part in (self.subject, self.item, self.condition) if part)
        return Figure(name, self.value, self.unit, source=self.source)


@dataclass(frozen=True, slots=True)
class Facts:
    """The facts of one table."""

    table: str
    rows: tuple[Fact, ...]

    def __getitem__(self, item: str) -> Fact:
        """Return the first fact of that item."""
        return self.find(item)

    def find(self, item: str, *, subject: str | None = None, condition: str | None = None) -> Fact:
        """Return the first fact of that item, under that subject and condition where they are given.

        Raises
        ------
        NameNotFoundError
            When the table has no such fact; the nearest items are named.
        """
        for fact in self.rows:
            is_subject = subject is None or fact.subject == subject
            if fact.item == item and is_subject and condition in {None, fact.condition}:
                return fact
        known = {fact.item for fact in self.rows if subject is None or fact.subject == subject}
        raise NameNotFoundError(f"row in {self.table}", item, known - {item})

    def about(self, subject: str) -> tuple[Fact, ...]:
        """Return all facts under a subject, none for a subject that the table does not know."""
        return tuple(fact for fact in self.rows if fact.subject == subject)


@dataclass(frozen=True, slots=True)
class Tables:
    """All tables of the trade that the numbers rest on."""

    copper: Material
    aluminium: Material
    conductors: tuple[Conductor, ...]
    insulations: tuple[Insulation, ...]
    ampacities: tuple[Ampacity, ...]
    ampacity_factors: tuple[AmpacityFactor, ...]
    adiabatic_factors: tuple[AdiabaticFactor, ...]
    fuses: tuple[Fuse, ...]
    fuse_area_guide: tuple[FuseAreaGuide, ...]
    drop_limits: tuple[DropLimit, ...]
    materials: Facts
    fuse_facts: Facts
    relays: Facts
    can_bus: Facts
    control_pilot: Facts
    heat_transfer: Facts
    mechanical_minimum: Facts
