"""The seconds of a short: what a lead stands, and how much current a short at its far end draws.

A short of up to five seconds heats the metal before any heat leaves it (IEC 60364-4-43 434.5.2):
I²·t ≤ k²·S², with k = K·√(ln((β + T_final) / (β + T_initial))), K and β of the metal (IEC 60949).
The current is the feed's voltage over everything in the loop, the lead taken hot.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from loomfolio.basics import UsageError
from loomfolio.electrics.conductors import CONDUCTOR_LIMITS_C, LeadRun, loop_resistance
from loomfolio.electrics.evidence import (
    Figure,
    given,
    require_not_negative,
    require_positive,
    require_temperature,
)
from loomfolio.electrics.records import Material

LONGEST_ADIABATIC_S = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed:
    """What feeds a lead: the lowest voltage in service, and the ohms before the fuse.

    The ohms are those of the source and of the feeder. Zero is the best case for the drop and for
    the short, so a feed that is known is better stated.
    """

    volt: float
    ohm: float = 0.0

    def __post_init__(self) -> None:
        require_positive("supply voltage", self.volt, "V")
        require_not_negative("resistance of the feed", self.ohm, "ohm")


def adiabatic_factor(material: Material, *, initial_c: Figure, final_c: Figure) -> Figure:
    """Return k of a metal warmed from one temperature to another, in A·√s/mm².

    Raises
    ------
    UsageError
        When the final temperature is not above the initial one.
    """
    require_temperature("initial temperature", initial_c.value, CONDUCTOR_LIMITS_C)
    require_temperature("final temperature", final_c.value, CONDUCTOR_LIMITS_C)
    if final_c.value <= initial_c.value:
        raise UsageError(
            f"A short cannot end at {final_c.value:g} °C when it begins at {initial_c.value:g} °C; "
            "give a final temperature above the initial one."
        )
    constant, beta = material.adiabatic_constant, material.zero_resistance_c
    ratio = (beta.value + final_c.value) / (beta.value + initial_c.value)
    return Figure(
        f"k of {material.name}",
        constant.value * math.sqrt(math.log(ratio)),
        "A√s/mm²",
        "K·√(ln((β + T_final) / (β + T_initial)))",
        (constant, beta, initial_c, final_c),
    )


def adiabatic_area(current_a: float, time_s: float, k: Figure) -> Figure:
    """Return the least area that stands a current for a time, S = I·√t / k, in mm².

    Raises
    ------
    UsageError
        For more than 5 s, beyond which the formula does not hold.
    """
    require_not_negative("current", current_a, "A")
    require_not_negative("time", time_s, "s")
    require_positive("factor k", k.value, "A√s/mm²")
    if time_s > LONGEST_ADIABATIC_S:
        raise UsageError(
            f"The adiabatic formula holds up to {LONGEST_ADIABATIC_S:g} s, not for {time_s:g} s; "
            "hold the lead against its heating instead."
        )
    return Figure(
        "least area for the short",
        current_a * math.sqrt(time_s) / k.value,
        "mm²",
        "I·√t / k",
        (given("current", current_a, "A"), given("time", time_s, "s"), k),
    )


def adiabatic_limit(run: LeadRun) -> Figure:
    """Return k²·S² of a lead that is at its limit for ever when the short begins, in A²s."""
    insulation, conductor = run.insulation, run.conductor
    k = adiabatic_factor(
        conductor.material, initial_c=insulation.limit_c, final_c=insulation.short_circuit_c
    )
    area = Figure(f"area of {conductor.label}", conductor.area_mm2, "mm²", source=conductor.source)
    return Figure(
        "what the lead stands in a short", (k.value * area.value) ** 2, "A²s", "k²·S²", (k, area)
    )


def short_current(
    run: LeadRun, feed: Feed, *, conductor_c: float | Figure, fuse_ohm: Figure | None = None
) -> Figure:
    """Return the current of a dead short at the far end of a lead, in A.

    `conductor_c` is the temperature of lead and return; `fuse_ohm` is what the fuse adds to the loop.
    """
    loop = loop_resistance(run, conductor_c)
    source = given("resistance of the feed", feed.ohm, "ohm")
    fuse = fuse_ohm or given("resistance of the fuse", 0.0, "ohm")
    return Figure(
        "current of a short at the far end",
        feed.volt / (source.value + fuse.value + loop.value),
        "A",
        "U / (R of feed + R of fuse + R of loop)",
        (given("lowest voltage of the feed", feed.volt, "V"), source, fuse, loop),
    )


def fault_current(volt: float, loop_ohm: float) -> Figure:
    """Return the current that a voltage drives through a loop of known resistance, in A."""
    require_positive("voltage", volt, "V")
    require_positive("resistance of the loop", loop_ohm, "ohm")
    return Figure(
        "fault current",
        volt / loop_ohm,
        "A",
        "U / R",
        (given("voltage", volt, "V"), given("resistance of the loop", loop_ohm, "ohm")),
    )
