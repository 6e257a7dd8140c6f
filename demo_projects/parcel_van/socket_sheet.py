"""Sheet 4: the 13-pin socket after ISO 11446-1, its module outputs, its supplies, and bar 2 of the joint connector."""

from __future__ import annotations

from drawing.plan import ArrowPlan, BodyPlan, PinSpot, SheetPlan, WirePlan, WordPlan

from loomfolio.basics import MmBox, MmPoint
from loomfolio.project import ValidFor
from parcel_van.publication import PAKKA_E3

_MODULE_X, _SOCKET_X = 56.0, 226.0
_PIN_Y = {"1": 42.0, "2": 57.0, "3": 67.0, "4": 77.0, "5": 87.0, "6": 97.0, "7": 107.0}
_CONTACT_Y = {str(n): 32.0 + 10 * n for n in range(1, 14)}
_PRINTED = {
    "1": "IND. LEFT",
    "2": "REAR FOG",
    "3": "GND 1-8",
    "4": "IND. RIGHT",
    "6": "STOP",
    "8": "REVERSE",
    "9": "PERM. 12 V",
    "10": "SWITCHED 12 V",
    "11": "GND 10",
    "13": "GND 9",
}

_BODIES = (
    BodyPlan(
        part="A27",
        connector="C2",
        look="module part",
        box=MmBox(14, 33, _MODULE_X, 114),
        pins=tuple(PinSpot(p, "right", y, "STOP" if p == "6" else "") for p, y in _PIN_Y.items()),
        words=("TRAILER MODULE (WITH TOWING)",),
    ),
    BodyPlan(
        part="X90",
        look="module",
        box=MmBox(_SOCKET_X, 34, 276, 172),
        pins=tuple(PinSpot(p, "left", y, _PRINTED.get(p, "")) for p, y in _CONTACT_Y.items()),
        words=("TRAILER SOCKET, 13-PIN, ISO 11446-1", "(WITH TOWING)"),
    ),
    BodyPlan(
        part="X70",
        look="joint",
        box=MmBox(148, 152, 206, 172),
        pins=(
            PinSpot("9", "top", 178),
            PinSpot("8", "top", 192),
            PinSpot("10", "right", 162),
            PinSpot("12", "left", 162),
        ),
        words=("JOINT CONNECTOR, BAR 2", "(BAR WITH TOWING)"),
        words_at=MmPoint(148, 175.4),
    ),
    BodyPlan(
        part="GND2",
        look="chassis",
        box=MmBox(126, 168, 138, 183),
        pins=(PinSpot("2", "top", 132),),
        words=("CHASSIS,", "REAR RIGHT"),
        words_at=MmPoint(107, 173),
    ),
)


def _output(
    pin: str, contact: str, colour: str, turn_x: float | None = None, area: float = 1.5
) -> WirePlan:
    """One lead from the module to the socket, with a jog at `turn_x` where the levels differ."""
    via: tuple[MmPoint, ...] = ()
    if turn_x is not None:
        via = (MmPoint(turn_x, _PIN_Y[pin]), MmPoint(turn_x, _CONTACT_Y[contact]))
    return WirePlan(
        f"A27 C2:{pin}",
        f"X90:{contact}",
        via=via,
        colour=colour,
        area_mm2=area,
        label_at=MmPoint(213, _CONTACT_Y[contact]),
        when="towing",
    )


_WIRES = (
    _output("1", "1", "YE"),
    _output("2", "4", "GN", 100),
    _output("3", "2", "BU", 112),
    _output("4", "7", "BK", 136),
    _output("5", "5", "BN", 152),
    _output("6", "6", "RD", 164),
    _output("7", "8", "PK", 124),
    WirePlan(
        "X90:3",
        "X70:8",
        via=(MmPoint(192, 62),),
        colour="WH",
        area_mm2=2.5,
        label_at=MmPoint(213, 62),
        when="towing",
    ),
    WirePlan(">B", "X90:9", colour="OG", area_mm2=2.5, label_at=MmPoint(213, 122), when="towing"),
    WirePlan(">C", "X90:10", colour="GY", area_mm2=2.5, label_at=MmPoint(213, 132), when="towing"),
    WirePlan(
        "X90:11",
        "X70:9",
        via=(MmPoint(178, 142),),
        colour="WH/BK",
        area_mm2=2.5,
        label_at=MmPoint(213, 142),
        hops=(MmPoint(192, 142),),
        when="towing",
    ),
    WirePlan(
        "X90:13",
        "X70:10",
        colour="WH/RD",
        area_mm2=2.5,
        label_at=MmPoint(216, 162),
        when="towing",
    ),
    WirePlan(
        "X70:12",
        "GND2:2",
        via=(MmPoint(132, 162),),
        colour="BN",
        area_mm2=6,
        label_at=MmPoint(140, 162),
    ),
)

SHEET = SheetPlan(
    number=4,
    title="Trailer socket, 13-pin",
    file="4-trailer-socket.png",
    publication=PAKKA_E3,
    dpi=240,
    skew_degrees=-0.12,
    seed=404,
    valid_for=ValidFor(make="Brenvik", model="Pakka e3", year_from=2022, year_to=2024, market="EU"),
    validity_text="MODEL YEARS, 2022 - 2024 EU",
    notes=(
        "CONTACT 12: NOT ASSIGNED.",
        "X70, BAR 1 (PINS 1 TO 6): SHEETS 5 AND 6.",
    ),
    bodies=_BODIES,
    wires=_WIRES,
    arrows=(
        ArrowPlan("B", MmPoint(_MODULE_X, 122), "right", is_outgoing=False, sheets=(1,)),
        ArrowPlan("C", MmPoint(_MODULE_X, 132), "right", is_outgoing=False, sheets=(1,)),
    ),
    words=(WordPlan("(WITH TOWING)", MmPoint(78, 138), 1.75, "centre"),),
)
