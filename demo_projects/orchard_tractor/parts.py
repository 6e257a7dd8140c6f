"""What the things in the tractor are: kinds, how they conduct inside, references, mates, cable groups, conditions.

The junction box has its contactors in every tractor; with DC charging its outlet X61 gets the plug of
the lead assembly W95 in place of a dummy plug. Both plugs carry the bridge of the interlock loop.
"""

from __future__ import annotations

from typing import Literal

from drawing.things import Thing, fuse, sensor, way
from drawing.wiring import Joining

from orchard_tractor.publication import OPTION

CHASSIS = "Chassis"


def _contactor(name: str, note: str) -> Thing:
    return Thing(
        name,
        "relay",
        note,
        (
            way("loads", "A1", "A2", label="coil"),
            way("passes", "1", "2", at_rest="open", label="contact"),
        ),
    )


def _with_option(connector: str, half: str, *pins: str) -> tuple[tuple[str, str, str, str], ...]:
    return tuple((connector, half, pin, OPTION) for pin in pins)


def _ground(name: str, note: str, *pins_of_option: str) -> Thing:
    return Thing(
        name,
        "ground point",
        note,
        reference=CHASSIS,
        conditions=_with_option("", "", *pins_of_option),
    )


THINGS: tuple[Thing, ...] = (
    Thing("G2", "battery", "Traction battery 350 V, main contactors inside"),
    fuse("F80", "250 A, high voltage, in the battery housing"),
    Thing(
        "U1",
        "module",
        "Drive inverter",
        (
            way("passes", "1", "2", at_rest="closed", label="interlock", connector="C1"),
            way("loads", "1", "2", label="inverter", connector="HV1"),
        ),
    ),
    Thing(
        "U2",
        "module",
        "On-board charger, AC",
        (
            way("passes", "1", "2", at_rest="closed", label="interlock", connector="C1"),
            way("loads", "1", "2", label="charger", connector="HV1"),
        ),
    ),
    Thing(
        "U3",
        "module",
        "DC/DC converter, feeds the 12 V side",
        (way("loads", "1", "2", label="converter", connector="HV1"),),
    ),
    _contactor("K81", "DC charging contactor plus, in the junction box A60, in every tractor"),
    _contactor("K82", "DC charging contactor minus, in the junction box A60, in every tractor"),
    Thing(
        "X61",
        "in-line connector",
        "High-voltage plug of the junction box A60; 3 and 4 carry the interlock loop",
        conditions=_with_option("", "B", "1", "2"),
    ),
    Thing(
        "X62",
        "in-line connector",
        "Low-voltage plug of the junction box A60; n faces n",
        conditions=_with_option("", "B", "1", "2", "3"),
    ),
    Thing("X95", "inlet", "DC charging inlet, configuration FF (IEC 62196-3)", when=OPTION),
    Thing(
        "M95",
        "motor",
        "Lock actuator of the inlet",
        (way("loads", "1", "2", label="motor"), way("passes", "2", "3", label="position")),
        when=OPTION,
    ),
    sensor("B95", "Inlet temperature at DC+, Pt1000", OPTION),
    sensor("B96", "Inlet temperature at DC-, Pt1000", OPTION),
    Thing(
        "A40",
        "module",
        "Charge controller",
        (way("loads", "4", "5", label="termination 120 ohm", connector="C1"),),
        when=OPTION,
    ),
    Thing(
        "A50",
        "module",
        "Vehicle controller; its output 9 works once DC charging is coded",
        (way("loads", "3", "4", label="termination 120 ohm", connector="C2"),),
        conditions=_with_option("C2", "", "3", "4", "9"),
    ),
    Thing(
        "S80",
        "switch",
        "Service disconnect, its interlock contact",
        (way("passes", "1", "2", at_rest="closed"),),
    ),
    Thing("G1", "battery", "Battery 12 V 45 Ah"),
    fuse("F90", "100 A"),
    Thing(
        "J1",
        "joint connector",
        "Supply bar in the fuse box P1",
        (way("joined", "1", "2", "3", "4", "5", label="bar"),),
    ),
    fuse("F40", "10 A, fuse box P1"),
    fuse("F41", "15 A, fuse box P1"),
    fuse(
        "F42",
        "10 A, fuse box P1; the fuse itself with DC charging only",
        _with_option("", "", "2"),
    ),
    fuse("F43", "5 A, fuse box P1"),
    Thing("KL15", "supply", "Hot with key on"),
    _ground("GND1", "At the battery"),
    _ground("GND2", "Fuse box", "2", "3"),
    _ground("GND4", "Bonding stud at the place of the inlet", "1"),
)

PAIRS: dict[str, tuple[tuple[str, str], ...]] = {
    "X61": tuple((str(n), str(n)) for n in range(1, 5)),
    "X62": tuple((str(n), str(n)) for n in range(1, 6)),
}
"""Cavities that face each other: half A, half B."""

JOINING = Joining(
    inside=(frozenset(f"J1:{n}" for n in range(1, 6)),),
    parts_throughout=frozenset({"GND1", "GND2", "GND4"}),
    mated=tuple(
        (f"{name}.A:{a}", f"{name}.B:{b}") for name, pairs in PAIRS.items() for a, b in pairs
    ),
)

GROUPS: dict[str, tuple[Literal["twist", "cable"], tuple[tuple[str, str], ...]]] = {
    "Charge CAN": ("twist", (("A50 C2:3", "A40 C1:4"), ("A50 C2:4", "A40 C1:5"))),
    "Drive CAN": ("twist", (("A50 C2:1", "U1 C2:1"), ("A50 C2:2", "U1 C2:2"))),
    "W95": ("cable", (("X61.B:1", "X95:DC+"), ("X61.B:2", "X95:DC-"))),
}
"""Leads that belong together: name, kind, pins at the two ends of each."""

HARNESS = ("W95", "70-40E-950", ("X61.B", "X95"))
"""The high-voltage lead assembly: name, part number, halves at its ends."""

NET_NAMES: dict[str, str] = {
    "G2:+": "HV BATTERY +",
    "F80:2": "HV +",
    "G2:-": "HV -",
    "X95:DC+": "HV CHARGE +",
    "X95:DC-": "HV CHARGE -",
    "A50 C1:11": "INTERLOCK OUT",
    "A50 C1:12": "INTERLOCK RETURN",
    "X95:CP": "CONTROL PILOT",
    "X95:PP": "PROXIMITY",
    "A40 C2:4": "LOCK +",
    "A40 C2:5": "LOCK -",
    "A40 C2:6": "LOCK POSITION",
    "A40 C2:8": "INLET T1 +",
    "A40 C2:9": "INLET T1 -",
    "A40 C2:10": "INLET T2 +",
    "A40 C2:11": "INLET T2 -",
    "A40 C1:6": "CONTACTOR DC+",
    "A40 C1:7": "CONTACTOR DC-",
    "A50 C2:9": "DC WAKE",
    "A50 C2:3": "CHARGE CAN H",
    "A50 C2:4": "CHARGE CAN L",
    "A50 C2:1": "DRIVE CAN H",
    "A50 C2:2": "DRIVE CAN L",
    "G1:+": "BATTERY +",
    "J1:1": "SUPPLY 30",
    "F42:2": "SUPPLY 30, F42",
    "KL15:1": "SUPPLY 15",
}
"""One name for each net that has one, given at one of its pins."""
