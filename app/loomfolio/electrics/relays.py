"""Relays: what a coil draws, what a contact carries, how a coil is suppressed, where a number lies.

Contact limits are read at the next warmer step of the maker's table, never between steps. The
terminals are those of DIN 72552: 85 and 86 coil, 30 common, 87 make, 87a break. On a mini relay the
places of 30 and 86 lie differently in layouts A and B (ISO 7588-1): the moulded number counts, not
the place, and a relay of the other layout in a socket joins the feed to the coil.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from loomfolio.basics import NameNotFoundError, UsageError
from loomfolio.electrics.evidence import (
    Bound,
    Figure,
    given,
    require_finite,
    require_not_negative,
    require_positive,
)
from loomfolio.electrics.records import Fact, Tables

Layout = Literal["A", "B"]
Suppression = Literal["none", "diode", "resistor"]

MINI = "mini, ISO 7588-1"
MICRO = "micro, ISO 7588-3:1998"
MAXI = "maxi (high-current ISO type)"
TERMINALS = ("30", "85", "86", "87", "87a")

_SWAPPED = {"30": "86", "86": "30"}
_CONTINUOUS = {
    MINI: "limiting continuous current, NO",
    MAXI: "limiting continuous current",
}
_MAKING = {MINI: "limiting make current, NO", MAXI: "limiting make current"}


@dataclass(frozen=True, slots=True)
class ContactMeeting:
    """A contact of a socket and the terminal of the relay that meets it."""

    socket: str
    relay: str


def coil_current(coil_ohm: float, volt: float) -> Figure:
    """Return what a coil draws, in A."""
    require_positive("coil resistance", coil_ohm, "ohm")
    require_positive("voltage", volt, "V")
    return Figure(
        "coil current",
        volt / coil_ohm,
        "A",
        "U / R",
        (given("voltage", volt, "V"), given("coil resistance", coil_ohm, "ohm")),
    )


def coil_power(coil_ohm: float, volt: float) -> Figure:
    """Return what a coil turns into heat, in W."""
    current = coil_current(coil_ohm, volt)
    return Figure("coil power", volt * current.value, "W", "U · I", (current,))


def suppressed_coil_resistance(coil_ohm: float, resistor_ohm: float) -> Figure:
    """Return what a meter shows at a coil with a resistor across it, in ohm."""
    require_positive("coil resistance", coil_ohm, "ohm")
    require_positive("resistor across the coil", resistor_ohm, "ohm")
    return Figure(
        "coil with its resistor",
        coil_ohm * resistor_ohm / (coil_ohm + resistor_ohm),
        "ohm",
        "R1·R2 / (R1 + R2)",
        (
            given("coil resistance", coil_ohm, "ohm"),
            given("resistor across the coil", resistor_ohm, "ohm"),
        ),
    )


def switch_off_voltage(coil_ohm: float, resistor_ohm: float, volt: float) -> Figure:
    """Return the voltage across a coil with a resistor at the moment it is switched off, in V.

    The coil keeps its current, which then runs through the resistor alone; the driver sees the supply
    on top.
    """
    require_positive("resistor across the coil", resistor_ohm, "ohm")
    current = coil_current(coil_ohm, volt)
    return Figure(
        "voltage at switching off",
        current.value * resistor_ohm,
        "V",
        "I of the coil · R of the resistor",
        (current, given("resistor across the coil", resistor_ohm, "ohm")),
    )


def continuous_limit(tables: Tables, relay: str, ambient_c: float) -> Figure:
    """Return what the make contact of a kind of relay carries for ever at an ambient, in A.

    Raises
    ------
    NameNotFoundError
        For a kind of relay without a printed limit.
    UsageError
        Above the warmest step of the maker's table.
    """
    require_finite("ambient temperature", ambient_c, "°C")
    steps = _steps(tables, relay)
    if not steps:
        raise NameNotFoundError("continuous current of a relay", relay, _CONTINUOUS)
    for step_c, fact in steps:
        if ambient_c <= step_c:
            return fact.figure
    raise UsageError(
        f"The maker states no current for a {relay} relay at {ambient_c:g} °C; place it where it "
        f"stays below {steps[-1][0]:g} °C."
    )


def _steps(tables: Tables, relay: str) -> list[tuple[float, Fact]]:
    item = _CONTINUOUS.get(relay)
    return sorted(
        (
            (float(fact.condition.removesuffix(" C")), fact)
            for fact in tables.relays.about(relay)
            if fact.item == item
        ),
        key=lambda step: step[0],
    )


def contact_bounds(
    tables: Tables, relay: str, load_a: float, *, ambient_c: float, inrush_a: float = 0.0
) -> tuple[Bound, ...]:
    """Return the load held against what the contact carries for ever, and the inrush against making.

    The load may be 80 % of the printed limit, as the trade does.
    """
    require_not_negative("load", load_a, "A")
    require_not_negative("inrush current", inrush_a, "A")
    printed = continuous_limit(tables, relay, ambient_c)
    share = _contact_share(tables)
    allowed = Figure(
        "contact for ever",
        printed.value * share.value,
        "A",
        "printed limit · share",
        (printed, share),
    )
    making = tables.relays.find(_MAKING[relay], subject=relay).figure
    return (
        Bound("contact for ever", given("load", load_a, "A"), allowed, "at most"),
        Bound("contact at the inrush", given("inrush", inrush_a, "A"), making, "at most"),
    )


def _contact_share(tables: Tables) -> Figure:
    """Return the share of the printed limit that the trade uses, from "no more than 80 % of …"."""
    fact = tables.relays.find("contact load", subject="any")
    percent = next(float(word) for word in fact.text.split() if word.isdigit())
    return Figure("share of the printed contact limit", percent / 100, "ratio", source=fact.source)


def duty_of_pin(tables: Tables, relay: str, pin: str) -> Fact:
    """Return what a numbered pin of a kind of relay is for.

    Raises
    ------
    NameNotFoundError
        For a pin that the kind does not have.
    """
    return tables.relays.find(f"pin {pin}", subject=relay)


def terminal_in_place(terminal: str, layout: Layout) -> str:
    """Return which terminal a layout has where layout A has `terminal`.

    Raises
    ------
    NameNotFoundError
        For a number that a mini relay does not have.
    """
    if terminal not in TERMINALS:
        raise NameNotFoundError("terminal of a mini relay", terminal, TERMINALS)
    return terminal if layout == "A" else _SWAPPED.get(terminal, terminal)


def contacts_met(socket: Layout, relay: Layout) -> tuple[ContactMeeting, ...]:
    """Return, for each contact of a socket, the terminal of the relay that meets it."""
    return tuple(
        ContactMeeting(terminal_in_place(place, socket), terminal_in_place(place, relay))
        for place in TERMINALS
    )


def fits_socket(socket: Layout, relay: Layout) -> bool:
    """Does each terminal of the relay meet the contact of its own number?"""
    return all(meeting.socket == meeting.relay for meeting in contacts_met(socket, relay))


def coil_plus_terminal(suppression: Suppression) -> str | None:
    """Return the terminal that has to be plus, `86` with a diode; None where either may be."""
    return "86" if suppression == "diode" else None
