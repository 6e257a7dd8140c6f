"""Two circuits that every job meets: the ends of a CAN pair, and the control pilot of a charging inlet.

The pair is measured with the power off; each terminator found between the leads is in parallel with
the others (ISO 11898-2). The pilot is a ±12 V source behind 1 kΩ in the station, and a diode with its
resistors in the vehicle (IEC 61851-1); the diode is taken as a stated drop.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from loomfolio.basics import UsageError
from loomfolio.electrics.evidence import (
    Bound,
    Figure,
    given,
    require_finite,
    require_not_negative,
    require_positive,
)
from loomfolio.electrics.network import Element, Resistor, Switch, VoltageSource, solve
from loomfolio.electrics.records import Tables

PairState = Literal[
    "healthy", "one end missing", "no end", "one end too many", "shorted", "unclear"
]
PilotState = Literal["A", "B", "C", "D", "E", "F"]

# The usual service limits either side of what the count of ends gives, as for 60 ohm: 55 to 65.
PAIR_TOLERANCE = 5 / 60
SHORTED_BELOW_OHM = 5.0
DIODE_DROP_V = 0.7

_PILOT, _DRIVER, _RECEIVER, _EARTH = "pilot", "driver", "receiver", "earth"


def pair_resistance(terminators_ohm: Sequence[float]) -> Figure:
    """Return the resistance between the leads of a pair with these terminators, in ohm.

    Infinite with none.
    """
    for ohm in terminators_ohm:
        require_positive("terminator", ohm, "ohm")
    siemens = math.fsum(1 / ohm for ohm in terminators_ohm)
    return Figure(
        "resistance of the pair",
        1 / siemens if siemens else math.inf,
        "ohm",
        "1 / Σ(1/R)",
        tuple(given(f"terminator {n}", ohm, "ohm") for n, ohm in enumerate(terminators_ohm, 1)),
    )


def judge_pair(measured_ohm: float, tables: Tables) -> PairState:
    """Return what a resistance measured between the leads says about the ends; infinite is no end."""
    if math.isnan(measured_ohm) or measured_ohm < 0:
        raise UsageError(f"A pair cannot measure {measured_ohm:g} ohm; give 0 ohm or more.")
    if measured_ohm < SHORTED_BELOW_OHM:
        return "shorted"
    states: tuple[tuple[str, PairState], ...] = (
        ("resistance CAN-H to CAN-L, healthy bus", "healthy"),
        ("resistance, one terminator missing", "one end missing"),
        ("resistance, three terminators", "one end too many"),
    )
    for item, state in states:
        expected_ohm = tables.can_bus[item].figure.value
        if abs(measured_ohm - expected_ohm) <= PAIR_TOLERANCE * expected_ohm:
            return state
    highest_ohm = tables.can_bus["resistance, one terminator missing"].figure.value
    return "no end" if measured_ohm > 2 * highest_ohm else "unclear"


def stub_bound(length_m: float, *, kbit_per_s: float, tables: Tables) -> Bound | None:
    """Return a stub held against its limit at a bit rate; None where no table states one.

    A limit is taken for its bit rate and all below.
    """
    require_not_negative("length of the stub", length_m, "m")
    require_positive("bit rate", kbit_per_s, "kbit/s")
    limits = (
        (500.0, tables.can_bus["stub from the main bus, 500 kbit/s, planning limit"]),
        (1000.0, tables.can_bus["stub length at 1 Mbit/s"]),
    )
    for rate, fact in limits:
        if kbit_per_s <= rate:
            return Bound("stub", given("length of the stub", length_m, "m"), fact.figure, "at most")
    return None


def pilot_voltage(
    state: PilotState, tables: Tables, *, diode_drop_v: float = DIODE_DROP_V
) -> Figure:
    """Return the upper voltage of the pilot in a state, from the resistors of station and vehicle.

    Worked out as a network. A: no vehicle; B, C, D: the vehicle's resistors; E: pilot shorted to
    earth; F: the station holds the pilot at its negative voltage.
    """
    require_not_negative("drop of the diode", diode_drop_v, "V")
    facts = tables.control_pilot
    amplitude = facts.find("amplitude", subject="oscillator").figure
    inside = facts.find("resistance", subject="station source").figure
    resistors = [facts.find("B", subject="car resistor").figure] if state in "BCD" else []
    if state in "CD":
        parallel = "car resistor, switched in parallel"
        resistors.append(facts.find(state, subject=parallel).figure)
    volt = -amplitude.value if state == "F" else amplitude.value
    elements: list[Element] = [
        VoltageSource("oscillator", _DRIVER, _EARTH, volt),
        Resistor("station", _DRIVER, _PILOT, inside.value),
        Switch("short to earth", _PILOT, _EARTH, is_closed=state == "E"),
    ]
    if resistors:
        elements.append(VoltageSource("diode", _PILOT, _RECEIVER, diode_drop_v))
        elements += [Resistor(r.name, _RECEIVER, _EARTH, r.value) for r in resistors]
    found = solve(elements, reference=_EARTH).between(_PILOT, _EARTH)
    drop = given("drop of the diode", diode_drop_v, "V")
    return Figure(
        f"pilot voltage in state {state}",
        math.nan if found is None else found,
        "V",
        "nodal analysis of station, diode and resistors",
        (amplitude, inside, *((drop, *resistors) if resistors else ())),
    )


def pilot_state(volt: float, tables: Tables) -> PilotState | None:
    """Return the state that an upper pilot voltage stands for, None between the windows of ±1 V."""
    require_finite("pilot voltage", volt, "V")
    states: tuple[PilotState, ...] = ("A", "B", "C", "D", "E", "F")
    for state in states:
        middle = tables.control_pilot.find(state, subject="control pilot voltage, upper half")
        if abs(volt - middle.figure.value) <= 1:
            return state
    return None


def current_by_duty(duty_percent: float) -> Figure:
    """Return the current that a pilot's duty cycle allows, in A; 0 where it allows none (IEC 61851-1).

    From 3 to 7 % digital communication sets the current, and the duty cycle allows none by itself.
    """
    if not 0 <= duty_percent <= 100:
        raise UsageError(f"A duty cycle cannot be {duty_percent:g} %; give 0 to 100 %.")
    ampere, formula = 0.0, "no charging below 8 % and above 97 %"
    if 8 <= duty_percent <= 97:
        steps: tuple[tuple[float, float, str], ...] = (
            (10, 6.0, "6 A from 8 to 10 %"),
            (85, duty_percent * 0.6, "duty · 0.6"),
            (96, (duty_percent - 64) * 2.5, "(duty - 64) · 2.5"),
            (97, 80.0, "80 A from 96 to 97 %"),
        )
        _, ampere, formula = next(step for step in steps if duty_percent <= step[0])
    duty = given("duty cycle", duty_percent, "%")
    return Figure("current allowed by the pilot", ampere, "A", formula, (duty,))


def cable_current(proximity_ohm: float, tables: Tables) -> Figure | None:
    """Return what a type 2 cable carries by its proximity resistor, in A; None between the codes.

    Each code holds within the 3 % that the table states.
    """
    require_positive("proximity resistance", proximity_ohm, "ohm")
    for fact in tables.control_pilot.about("type 2 cable proximity resistor, PP to PE"):
        code_ohm = float(fact.item.split()[0])
        if abs(proximity_ohm - code_ohm) <= 0.03 * code_ohm:
            return fact.figure
    return None
