"""How warm a lead becomes: the heat of the current against radiation and natural convection.

Method, for one round insulated conductor lying free and level in still air:

1. Heat passes the insulation, T_conductor - T_surface = q·r·ln(D/d) / 2π (r, thermal resistivity: IEC 60287).
2. The surface gives q = Nu·λ·π·(T_s - T_a) + ε·s·π·D·(T_s⁴ - T_a⁴), Nu of a level cylinder by
   Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1049, air at the mean of both temperatures.
3. The current makes q = I²·R(T_conductor).

Both unknowns follow from the surface temperature, so one bisection answers either question. A lead
in a bundle of n loaded leads behaves as a free one with more current: I / (bundle factor · share),
where the share keeps the result below the published tables (see `heat_transfer.csv`). In time, the
metal alone stores heat and the insulation none, so a lead is never reckoned too slow to warm.

Where the table prints no outside diameter the bare metal's is taken, the smallest it can be.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from loomfolio.electrics.conductors import LeadRun, resistance_per_km
from loomfolio.electrics.evidence import (
    Figure,
    Source,
    as_figure,
    given,
    require_not_negative,
    require_positive,
)
from loomfolio.electrics.records import Ampacity, Conductor, Tables

KELVIN_AT_0_C = 273.15
STEFAN_BOLTZMANN_W_PER_M2_K4 = 5.670374419e-8
STANDARD_GRAVITY_M_PER_S2 = 9.80665
HOTTEST_SURFACE_C = 1500.0
"""A steady state above this is none: the metal has melted."""

_BISECTIONS = 60
_STEPS_IN_TIME = 400


@dataclass(frozen=True, slots=True)
class Air:
    """Dry air at atmospheric pressure: conductivity, viscosity, diffusivity and expansion."""

    conductivity_w_per_m_k: float
    kinematic_viscosity_m2_per_s: float
    prandtl: float
    expansion_per_k: float


def air_at(temperature_c: float) -> Air:
    """Return the properties of air, within 0.15 % of tables from -70 to 130 °C.

    Sutherland's law for viscosity and conductivity, constants after Poling, Prausnitz and O'Connell,
    The Properties of Gases and Liquids, 5th edition.
    """
    kelvin = temperature_c + KELVIN_AT_0_C
    density = 351.99 / kelvin + 344.88 / kelvin**2
    viscosity = 1.4592e-6 * kelvin**1.5 / (109.10 + kelvin)
    conductivity = 2.3340e-3 * kelvin**1.5 / (164.54 + kelvin)
    heat_capacity = 1030.5 - 0.19975 * kelvin + 3.9734e-4 * kelvin**2
    return Air(
        conductivity, viscosity / density, heat_capacity * viscosity / conductivity, 1 / kelvin
    )


def nusselt_of_level_cylinder(rayleigh: float, prandtl: float) -> float:
    """Return the Nusselt number of natural convection from a long level cylinder (Churchill, Chu)."""
    damping = (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)
    return float((0.60 + 0.387 * rayleigh ** (1 / 6) / damping) ** 2)


def heat_loss_w_per_m(
    surface_c: float, ambient_c: float, diameter_mm: float, *, emissivity: float
) -> float:
    """Return the heat that a metre of round lead gives to still air and to its surroundings, in W/m."""
    rise_k = surface_c - ambient_c
    air = air_at((surface_c + ambient_c) / 2)
    diameter_m = diameter_mm / 1000
    grashof = STANDARD_GRAVITY_M_PER_S2 * air.expansion_per_k * max(rise_k, 0.0) * diameter_m**3
    rayleigh = grashof / air.kinematic_viscosity_m2_per_s**2 * air.prandtl
    nusselt = nusselt_of_level_cylinder(rayleigh, air.prandtl)
    hot, cold = surface_c + KELVIN_AT_0_C, ambient_c + KELVIN_AT_0_C
    radiated = emissivity * STEFAN_BOLTZMANN_W_PER_M2_K4 * diameter_m * (hot**4 - cold**4)
    return math.pi * (nusselt * air.conductivity_w_per_m_k * rise_k + radiated)


@dataclass(frozen=True, slots=True)
class _Body:
    """A run reduced to what the heat balance needs, and the figures that it was taken from."""

    ambient_c: float
    outside_mm: float
    insulation_k_m_per_w: float
    emissivity: float
    ohm_per_m_at_20c: float
    alpha_per_k: float
    load_factor: float
    inputs: tuple[Figure, ...]

    def loss(self, surface_c: float) -> float:
        return heat_loss_w_per_m(
            surface_c, self.ambient_c, self.outside_mm, emissivity=self.emissivity
        )

    def conductor_c(self, surface_c: float) -> float:
        return surface_c + self.loss(surface_c) * self.insulation_k_m_per_w

    def ohm_per_m(self, conductor_c: float) -> float:
        return self.ohm_per_m_at_20c * (1 + self.alpha_per_k * (conductor_c - 20))

    def free_current(self, surface_c: float) -> float:
        """The current of a free lead whose surface is that warm."""
        return math.sqrt(self.loss(surface_c) / self.ohm_per_m(self.conductor_c(surface_c)))

    def surface_at_conductor(self, conductor_c: float) -> float:
        low, high = self.ambient_c, conductor_c
        for _ in range(_BISECTIONS):
            middle = (low + high) / 2
            if self.conductor_c(middle) > conductor_c:
                high = middle
            else:
                low = middle
        return low

    def surface_at_current(self, free_current_a: float) -> float:
        """The surface temperature in the steady state, infinite where there is none."""
        if free_current_a >= self.free_current(HOTTEST_SURFACE_C):
            return math.inf
        low, high = self.ambient_c, HOTTEST_SURFACE_C
        for _ in range(_BISECTIONS):
            middle = (low + high) / 2
            if self.free_current(middle) > free_current_a:
                high = middle
            else:
                low = middle
        return low


def bundle_factor(tables: Tables, loaded_in_bundle: int) -> Figure:
    """Return the factor on the current of a lead among `loaded_in_bundle` loaded leads.

    One or two leads side by side: 1, for the published table begins at three.
    """
    require_positive("count of loaded leads in the bundle", loaded_in_bundle, "leads")
    name = f"bundle factor, {loaded_in_bundle} loaded"
    for row in tables.ampacity_factors:
        if row.table_id != "BUNDLE_ABYC" or row.lower_count is None or row.factor is None:
            continue
        most = row.upper_count or loaded_in_bundle  # the last row has no upper end
        if row.lower_count <= loaded_in_bundle <= most:
            return Figure(name, row.factor, "ratio", source=row.source)
    free = Source(
        "one lead or two, reckoned as free; the published table begins at three", "practice"
    )
    return Figure(name, 1.0, "ratio", source=free)


def outside_diameter(run: LeadRun) -> Figure:
    """Return the outside diameter in mm: from the table, else that of the bare metal."""
    if run.conductor.outside_diameter is not None:
        return run.conductor.outside_diameter
    return Figure(
        f"diameter of the bare metal of {run.conductor.label}, no outside diameter being known",
        2 * math.sqrt(run.conductor.area_mm2 / math.pi),
        "mm",
        "2·√(S/π)",
        (Figure("area", run.conductor.area_mm2, "mm²", source=run.conductor.source),),
    )


def _body(run: LeadRun, tables: Tables) -> _Body:
    outside = outside_diameter(run)
    metal_mm = 2 * math.sqrt(run.conductor.area_mm2 / math.pi)
    resistivity = run.insulation.thermal_resistivity_k_m_per_w
    at_20c = resistance_per_km(run.conductor)
    share = tables.heat_transfer["share of the reckoned current that may be used"].figure
    bundle = bundle_factor(tables, run.loaded_in_bundle)
    emissivity = tables.heat_transfer["emissivity of insulation"].figure
    wall = math.log(max(outside.value / metal_mm, 1.0))
    return _Body(
        ambient_c=run.ambient_c,
        outside_mm=outside.value,
        insulation_k_m_per_w=resistivity.value * wall / (2 * math.pi),
        emissivity=emissivity.value,
        ohm_per_m_at_20c=at_20c.value / 1000,
        alpha_per_k=run.conductor.material.temperature_coefficient_per_k.value,
        load_factor=share.value * bundle.value,
        inputs=(
            at_20c,
            outside,
            resistivity,
            emissivity,
            bundle,
            share,
            given("ambient", run.ambient_c, "°C"),
        ),
    )


def steady_current(run: LeadRun, tables: Tables, *, conductor_c: float | Figure) -> Figure:
    """Return the current that a lead carries for ever at a conductor temperature, in A.

    Zero where the ambient is as warm as that.
    """
    body = _body(run, tables)
    limit = as_figure("conductor temperature", conductor_c, "°C")
    current_a = 0.0
    if limit.value > run.ambient_c:
        free_a = body.free_current(body.surface_at_conductor(limit.value))
        current_a = free_a * body.load_factor
    return Figure(
        f"current for ever at {limit.value:.4g} °C",
        current_a,
        "A",
        "heat balance of a round lead · bundle factor · share",
        (limit, *body.inputs),
    )


def steady_temperature(run: LeadRun, tables: Tables, current_a: float) -> Figure:
    """Return the conductor temperature in the end, in °C; infinite where the lead would melt."""
    require_not_negative("current", current_a, "A")
    body = _body(run, tables)
    surface_c = body.surface_at_current(current_a / body.load_factor)
    return Figure(
        f"conductor temperature at {current_a:.4g} A",
        body.conductor_c(surface_c) if math.isfinite(surface_c) else math.inf,
        "°C",
        "heat balance of a round lead",
        (given("current", current_a, "A"), *body.inputs),
    )


def published_currents(conductor: Conductor, tables: Tables) -> tuple[Ampacity, ...]:
    """Return what the published tables let a size carry, to show beside our own figure.

    They differ up to threefold, for they differ in insulation, ambient and bundle: each row says which.
    """
    return tuple(
        row
        for row in tables.ampacities
        if (row.system, row.size) == (conductor.system, conductor.size)
    )


def heat_capacity_j_per_k_mm3(run: LeadRun) -> Figure:
    """Return the heat capacity of the metal, which the adiabatic constant implies: K² · resistivity / (β + 20)."""
    material = run.conductor.material
    constant, beta = material.adiabatic_constant, material.zero_resistance_c
    resistivity = material.resistivity_ohm_mm2_per_m
    return Figure(
        f"heat capacity of {material.name}",
        constant.value**2 * resistivity.value / 1000 / (beta.value + 20),
        "J/(K mm³)",
        "K² · resistivity / (β + 20)",
        (constant, resistivity, beta),
    )


def time_to_reach(
    run: LeadRun,
    tables: Tables,
    current_a: float,
    *,
    from_c: float | Figure,
    to_c: float | Figure,
) -> Figure:
    """Return how long a lead at `from_c` takes to warm to `to_c`, in s; never more than it takes.

    Infinite where it never gets there, zero where it is there already.
    """
    require_not_negative("current", current_a, "A")
    body = _body(run, tables)
    capacity = heat_capacity_j_per_k_mm3(run)
    joule_per_k_m = capacity.value * run.conductor.area_mm2 * 1000
    free_a = current_a / body.load_factor
    start = as_figure("temperature at the start", from_c, "°C")
    end = as_figure("temperature in the end", to_c, "°C")
    span_c = (max(start.value, run.ambient_c), end.value)
    seconds = _warming_s(body, free_a, joule_per_k_m, span_c)
    return Figure(
        f"time from {start.value:.4g} to {end.value:.4g} °C at {current_a:.4g} A",
        seconds,
        "s",
        "∫ heat capacity · dT / (I²·R - heat given off)",
        (given("current", current_a, "A"), start, end, capacity, *body.inputs),
    )


def _warming_s(
    body: _Body, free_a: float, joule_per_k_m: float, span_c: tuple[float, float]
) -> float:
    """Sum the time over small steps of the surface, each with the most heat kept at either end of it.

    The heat kept runs one way from end to end, so a step is never reckoned longer than it takes.
    """
    from_c, to_c = span_c
    if from_c >= to_c:
        return 0.0
    first, last = body.surface_at_conductor(from_c), body.surface_at_conductor(to_c)
    if body.free_current(last) >= free_a:
        return math.inf
    surfaces = [first + (last - first) * n / _STEPS_IN_TIME for n in range(_STEPS_IN_TIME + 1)]
    temperatures = [body.conductor_c(surface) for surface in surfaces]
    kept_w_per_m = [
        free_a**2 * body.ohm_per_m(conductor_c) - body.loss(surface)
        for conductor_c, surface in zip(temperatures, surfaces, strict=True)
    ]
    return sum(
        joule_per_k_m * (warm - cool) / max(kept)
        for (cool, warm), kept in zip(pairwise(temperatures), pairwise(kept_w_per_m), strict=True)
    )
