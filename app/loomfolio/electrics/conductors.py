"""Standard conductors and their resistance: series of sizes, gauges, temperature, lengths.

A series is what a person picks a lead from: the sizes of one standard in one build, smallest first.
Resistance follows temperature by R = R20·(1 + coefficient·(T - 20)), with the coefficient at 20 °C
(IEC 60028). Gauges follow ASTM B258: d = 0.127 mm · 92^((36 - n)/39), with n = 0, -1, -2, -3 for 1/0
to 4/0. A temperature may be given as a figure, which then tells its own reasons on.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from loomfolio.basics import NameNotFoundError, UsageError
from loomfolio.electrics.evidence import (
    Figure,
    as_figure,
    given,
    require_not_negative,
    require_positive,
    require_temperature,
)
from loomfolio.electrics.records import Conductor, Insulation, Tables

# Between these the linear law of resistance holds well enough; beyond lies no vehicle lead.
CONDUCTOR_LIMITS_C = (-60.0, 400.0)
SMALLEST_GAUGE = 40

SeriesName = Literal["vehicle", "flexible", "japanese", "awg stranded", "awg solid"]

_SERIES: dict[SeriesName, tuple[str, str]] = {
    "vehicle": ("ISO 6722-1:2011 / ISO 19642", "copper plain, automotive single core"),
    "flexible": ("IEC 60228", "copper plain, 5 (flexible)"),
    "japanese": ("JIS C 3406 (AV wire)", "copper plain, automotive single core"),
    "awg stranded": ("AWG aviation stranded", "copper, stranded"),
    "awg solid": ("ASTM B258 solid", "copper, solid"),
}
_GAUGE = re.compile(r"([1-4])/0|(0{1,4})|([1-9]\d*)")
_SIZE = re.compile(r"([\d.,]+)\s*(?:mm²|mm2)?|(.+?)\s*AWG", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class LikeLead:
    """The current comes back over a second lead of the same size and length."""


@dataclass(frozen=True, slots=True)
class OtherLead:
    """The current comes back over a lead of its own, the ground lead of a trailer for instance."""

    conductor: Conductor
    length_m: float

    def __post_init__(self) -> None:
        require_not_negative("length of the return", self.length_m, "m")


@dataclass(frozen=True, slots=True)
class Chassis:
    """The current comes back over chassis, of so many ohms."""

    ohm: float = 0.0

    def __post_init__(self) -> None:
        require_not_negative("resistance of the chassis", self.ohm, "ohm")


Back = LikeLead | OtherLead | Chassis


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadRun:
    """One lead as it is laid: what it is, how long, where, and how its current comes back.

    `loaded_in_bundle` counts the leads in the bundle that carry a load at the same time, this one
    included.
    """

    conductor: Conductor
    insulation: Insulation
    length_m: float
    back: Back
    ambient_c: float
    loaded_in_bundle: int = 1

    def __post_init__(self) -> None:
        require_positive("length of the lead", self.length_m, "m")
        require_temperature("ambient temperature", self.ambient_c, CONDUCTOR_LIMITS_C)
        require_positive("count of loaded leads in the bundle", self.loaded_in_bundle, "leads")
        if self.ambient_c >= self.insulation.limit_c.value:
            raise UsageError(
                f"An ambient of {self.ambient_c:g} °C leaves {self.insulation.name} no room for a "
                "load; choose an insulation for a higher temperature."
            )


def series(tables: Tables, name: SeriesName) -> tuple[Conductor, ...]:
    """Return the conductors of a series, smallest area first."""
    standard, construction = _SERIES[name]
    found = [
        conductor
        for conductor in tables.conductors
        if (conductor.standard, conductor.construction) == (standard, construction)
    ]
    return tuple(sorted(found, key=lambda conductor: conductor.area_mm2))


def find_conductor(conductors: Sequence[Conductor], size: str) -> Conductor:
    """Return the conductor of that size: `0.35`, `0,35 mm²`, `18 AWG`.

    Raises
    ------
    NameNotFoundError
        When the series has no such size; those it has are offered.
    """
    found = _SIZE.fullmatch(size.strip())
    asked = (found[1] or found[2]).replace(",", ".") if found else size
    for conductor in conductors:
        is_number = _is_number(asked) and _is_number(conductor.size)
        if conductor.size == asked or (is_number and float(conductor.size) == float(asked)):
            return conductor
    raise NameNotFoundError("conductor", size, (conductor.label for conductor in conductors))


def _is_number(text: str) -> bool:
    return text.replace(".", "", 1).isdigit()


def find_insulation(tables: Tables, name: str) -> Insulation:
    """Return the insulation of that name, such as `PVC 105 C`.

    Raises
    ------
    NameNotFoundError
        When the tables have no such insulation.
    """
    for insulation in tables.insulations:
        if insulation.name == name:
            return insulation
    raise NameNotFoundError("insulation", name, (one.name for one in tables.insulations))


def gauge_number(awg: str) -> int:
    """Return n of a gauge: 18 for `18`, 0 for `1/0` or `0`, -3 for `4/0` or `0000`.

    Raises
    ------
    UsageError
        For what is no gauge from 4/0 to 40.
    """
    found = _GAUGE.fullmatch(awg.strip())
    if found is not None:
        slashed, noughts, plain = found.groups()
        number = int(plain) if plain else 1 - (int(slashed) if slashed else len(noughts))
        if number <= SMALLEST_GAUGE:
            return number
    raise UsageError(f"{awg!r} is no American wire gauge; give 4/0 to {SMALLEST_GAUGE}.")


def awg_diameter_mm(awg: str) -> float:
    """Return the diameter of a solid wire by ASTM B258, in mm."""
    return float(0.127 * 92.0 ** ((36 - gauge_number(awg)) / 39))


def awg_area_mm2(awg: str) -> float:
    """Return the area of a solid wire by ASTM B258, in mm²."""
    return math.pi / 4 * awg_diameter_mm(awg) ** 2


def resistance_factor(conductor: Conductor, conductor_c: float | Figure) -> Figure:
    """Return the resistance at `conductor_c` over that at 20 °C."""
    warm = as_figure("conductor temperature", conductor_c, "°C")
    require_temperature("conductor temperature", warm.value, CONDUCTOR_LIMITS_C)
    coefficient = conductor.material.temperature_coefficient_per_k
    return Figure(
        f"resistance at {warm.value:.4g} °C over that at 20 °C",
        1 + coefficient.value * (warm.value - 20),
        "ratio",
        "1 + coefficient·(T - 20)",
        (coefficient, warm),
    )


def resistance_per_km(conductor: Conductor, conductor_c: float | Figure = 20.0) -> Figure:
    """Return the greatest resistance of a conductor at a temperature, in ohm/km."""
    at_20c = Figure(
        f"resistance of {conductor.label} at 20 °C",
        conductor.resistance_20c_ohm_per_km,
        "ohm/km",
        source=conductor.source,
    )
    if conductor_c == 20:
        return at_20c
    factor = resistance_factor(conductor, conductor_c)
    return Figure(
        f"resistance of {conductor.label}, warm",
        at_20c.value * factor.value,
        "ohm/km",
        "R20 · factor",
        (at_20c, factor),
    )


def lead_resistance(conductor: Conductor, length_m: float, conductor_c: float | Figure) -> Figure:
    """Return the resistance of a length of conductor at a temperature, in ohm."""
    require_not_negative("length of the lead", length_m, "m")
    per_km = resistance_per_km(conductor, conductor_c)
    return Figure(
        f"resistance of {length_m:.4g} m of {conductor.label}",
        per_km.value * length_m / 1000,
        "ohm",
        "R/km · length",
        (per_km, given("length", length_m, "m")),
    )


def loop_resistance(run: LeadRun, conductor_c: float | Figure) -> Figure:
    """Return the resistance of a lead and of its way back, both at `conductor_c`, in ohm."""
    out = lead_resistance(run.conductor, run.length_m, conductor_c)
    if isinstance(run.back, LikeLead):
        return Figure("resistance of the loop", 2 * out.value, "ohm", "out · 2", (out,))
    if isinstance(run.back, OtherLead):
        back = lead_resistance(run.back.conductor, run.back.length_m, conductor_c)
    else:
        back = given("resistance of the chassis", run.back.ohm, "ohm")
    return Figure(
        "resistance of the loop",
        out.value + back.value,
        "ohm",
        "out + back",
        (out, back),
    )
