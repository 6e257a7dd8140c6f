"""Voltage lost on the way out and back, and the smallest area that keeps it within a limit.

U = I·R(T), R the loop of lead and return at conductor temperature; S = I·L·resistivity / U, L the length of
wire that the current passes, out and back together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from loomfolio.electrics.conductors import LeadRun, loop_resistance
from loomfolio.electrics.evidence import (
    Bound,
    Figure,
    given,
    require_not_negative,
    require_positive,
)
from loomfolio.electrics.records import Conductor, DropLimit


def voltage_drop(run: LeadRun, current_a: float, *, conductor_c: float | Figure) -> Figure:
    """Return the volts lost over the lead and its way back at a current."""
    require_not_negative("current", current_a, "A")
    loop = loop_resistance(run, conductor_c)
    return Figure(
        "voltage drop",
        current_a * loop.value,
        "V",
        "I · R of the loop",
        (given("current", current_a, "A"), loop),
    )


def length_for_drop(conductor_ohm_per_km: float, current_a: float, *, allowed_v: float) -> Figure:
    """Return the length of wire, out and back together, that loses `allowed_v` at a current."""
    require_positive("resistance", conductor_ohm_per_km, "ohm/km")
    require_positive("current", current_a, "A")
    require_not_negative("allowed drop", allowed_v, "V")
    return Figure(
        "length of wire for the allowed drop",
        allowed_v / (current_a * conductor_ohm_per_km) * 1000,
        "m",
        "U / (I · R/km)",
        (
            given("allowed drop", allowed_v, "V"),
            given("current", current_a, "A"),
            given("resistance", conductor_ohm_per_km, "ohm/km"),
        ),
    )


def area_for_drop(
    current_a: float, wire_length_m: float, *, allowed_v: float, resistivity: Figure
) -> Figure:
    """Return the area that loses just `allowed_v`; `wire_length_m` is out and back together."""
    require_not_negative("current", current_a, "A")
    require_not_negative("length of wire", wire_length_m, "m")
    require_positive("allowed drop", allowed_v, "V")
    require_positive("resistivity", resistivity.value, "ohm mm²/m")
    return Figure(
        "area for the allowed drop",
        current_a * wire_length_m * resistivity.value / allowed_v,
        "mm²",
        "I · L · resistivity / U",
        (
            given("current", current_a, "A"),
            given("length of wire, out and back", wire_length_m, "m"),
            resistivity,
            given("allowed drop", allowed_v, "V"),
        ),
    )


def smallest_for_drop(
    run: LeadRun,
    conductors: Sequence[Conductor],
    current_a: float,
    *,
    allowed_v: float,
    conductor_c: float,
) -> Conductor | None:
    """Return the smallest of `conductors` that keeps within the drop, None where none does.

    `run` says everything but the conductor, which is tried size by size.
    """
    require_positive("allowed drop", allowed_v, "V")
    for conductor in sorted(conductors, key=lambda one: one.area_mm2):
        tried = replace(run, conductor=conductor)
        if voltage_drop(tried, current_a, conductor_c=conductor_c).value <= allowed_v:
            return conductor
    return None


def drop_limit(limit: DropLimit, supply_v: float) -> Figure:
    """Return how many volts a kind of circuit may lose at a supply voltage.

    A row that is printed for one system voltage is taken by its percentage at another. The row's `scope`
    says whether out and back count, or the plus side alone: a lead held against the latter is given a
    `Chassis` of no ohms.
    """
    require_positive("supply voltage", supply_v, "V")
    name = f"allowed drop, {limit.circuit}"
    at_own_voltage = limit.system_v is not None and limit.system_v == supply_v
    if limit.allowed_v is not None and (at_own_voltage or limit.allowed_percent is None):
        return Figure(name, limit.allowed_v, "V", source=limit.source)
    percent = Figure(f"{name}, share", limit.allowed_percent or 0.0, "%", source=limit.source)
    return Figure(
        name,
        percent.value / 100 * supply_v,
        "V",
        "share · supply voltage",
        (percent, given("supply voltage", supply_v, "V")),
    )


def drop_bound(
    run: LeadRun, current_a: float, *, allowed: Figure, conductor_c: float | Figure
) -> Bound:
    """Return the drop of a lead held against what is allowed."""
    drop = voltage_drop(run, current_a, conductor_c=conductor_c)
    return Bound("voltage drop", drop, allowed, "at most")
