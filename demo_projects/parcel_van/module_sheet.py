"""Sheet 3: what goes into the trailer module: lamp signals, supply, data pair, screened pair; a lead that moves."""

from __future__ import annotations

from drawing.plan import (
    ArrowPlan,
    BodyPlan,
    PinSpot,
    ScreenPlan,
    SheetPlan,
    TwistPlan,
    WirePlan,
    WordPlan,
)

from loomfolio.basics import MmBox, MmPoint
from loomfolio.project import ValidFor
from parcel_van.publication import PAKKA_E3

_TIP_X, _MODULE_X = 34.0, 170.0
_ARROW_Y = {
    "A": 42.0,
    "D": 51.0,
    "E": 60.0,
    "F": 69.0,
    "G": 78.0,
    "H": 87.0,
    "J": 96.0,
    "K": 105.0,
    "L": 114.0,
}
_PIN_Y = {
    "1": 42.0,
    "2": 51.0,
    "3": 60.0,
    "4": 69.0,
    "5": 82.5,
    "6": 91.5,
    "7": 100.5,
    "8": 109.5,
    "9": 118.5,
    "10": 132.0,
    "11": 141.0,
}
_PRINTED = {"1": "30", "2": "15", "3": "L IND", "4": "R IND", "5": "BRAKE LP", "10": "CAN H"}

_BODIES = (
    BodyPlan(
        part="A27",
        connector="C1",
        look="module part",
        box=MmBox(_MODULE_X, 32, 214, 158),
        pins=(
            *(PinSpot(p, "left", y, _PRINTED.get(p, "")) for p, y in _PIN_Y.items()),
            PinSpot("12", "bottom", 192),
            PinSpot("15", "right", 66, "SIG +"),
            PinSpot("16", "right", 78, "SIG -"),
        ),
        words=("TRAILER MODULE (WITH TOWING) 1)",),
    ),
    BodyPlan(
        part="B14",
        look="sensor",
        box=MmBox(256, 56, 280, 88),
        pins=(PinSpot("1", "left", 66), PinSpot("2", "left", 78)),
        words=("DRAWBAR FORCE", "(WITH TOWING)"),
    ),
    BodyPlan(
        part="SG1",
        look="sensor ground",
        box=MmBox(230, 112, 242, 127),
        pins=(PinSpot("3", "top", 236),),
        words=("SENSOR GROUND", "NOT CHASSIS"),
        words_at=MmPoint(243.5, 119),
    ),
    BodyPlan(
        part="GND2",
        look="chassis",
        box=MmBox(186, 168, 198, 183),
        pins=(PinSpot("1", "top", 192),),
        words=("CHASSIS, REAR RIGHT",),
        words_at=MmPoint(199.5, 175),
    ),
    BodyPlan(
        part="A31",
        connector="C1",
        look="module part",
        box=MmBox(44, 128, 78, 143),
        pins=(PinSpot("4", "top", 62),),
        words=("PARK ASSIST",),
        words_at=MmPoint(80.5, 136),
    ),
    BodyPlan(
        part="A1",
        connector="C2",
        look="module part",
        box=MmBox(14, 157, 50, 183),
        pins=(PinSpot("5", "right", 167, "CAN H"), PinSpot("6", "right", 176, "CAN L")),
        words=("BODY CONTROLLER",),
    ),
)


def _from_arrow(letter: str, pin: str, colour: str, turn_x: float | None, area: float) -> WirePlan:
    """One lead from its page arrow to the module, with a jog at `turn_x` where the order changes."""
    via: tuple[MmPoint, ...] = ()
    if turn_x is not None:
        via = (MmPoint(turn_x, _ARROW_Y[letter]), MmPoint(turn_x, _PIN_Y[pin]))
    return WirePlan(
        f">{letter}",
        f"A27 C1:{pin}",
        via=via,
        colour=colour,
        area_mm2=area,
        label_at=MmPoint(156, _PIN_Y[pin]),
    )


_WIRES = (
    _from_arrow("A", "1", "RD/GN", None, 1.5),
    _from_arrow("D", "2", "VT/WH", None, 0.75),
    _from_arrow("E", "3", "BK/WH", None, 0.75),
    _from_arrow("F", "4", "BK/GN", None, 0.75),
    _from_arrow("J", "5", "BK/RD", 124, 0.75),
    _from_arrow("G", "6", "GY/BK", 112, 0.75),
    _from_arrow("H", "7", "GY/RD", 104, 0.75),
    _from_arrow("K", "9", "GY/WH", 94, 0.75),
    WirePlan(">L", "@reverse", colour="BU/BK", area_mm2=0.75, label_at=MmPoint(48, 114)),
    WirePlan(
        "@reverse",
        "A27 C1:8",
        via=(MmPoint(84, 114), MmPoint(84, 109.5)),
        colour="BU/BK",
        area_mm2=0.75,
        label_at=MmPoint(156, 109.5),
        when="towing",
    ),
    WirePlan("@reverse", "A31 C1:4", colour="BU/BK", area_mm2=0.75, when="!towing"),
    WirePlan(
        "A1 C2:5",
        "A27 C1:10",
        via=(MmPoint(136, 167), MmPoint(136, 132)),
        colour="YE",
        area_mm2=0.35,
        label_at=MmPoint(156, 132),
    ),
    WirePlan(
        "A1 C2:6",
        "A27 C1:11",
        via=(MmPoint(145, 176), MmPoint(145, 141)),
        colour="GN",
        area_mm2=0.35,
        label_at=MmPoint(156, 141),
    ),
    WirePlan("A27 C1:12", "GND2:1", colour="BN", area_mm2=2.5),
    WirePlan(
        "A27 C1:15",
        "B14:1",
        colour="WH",
        area_mm2=0.35,
        label_at=MmPoint(224, 66),
        when="towing",
    ),
    WirePlan(
        "A27 C1:16",
        "B14:2",
        colour="BN",
        area_mm2=0.35,
        label_at=MmPoint(224, 78),
        when="towing",
    ),
    WirePlan(
        "~screen", "SG1:3", colour="BK", area_mm2=0.5, label_at=MmPoint(236, 100), when="towing"
    ),
)

SHEET = SheetPlan(
    number=3,
    title="Trailer module, inputs",
    file="3-trailer-module.png",
    publication=PAKKA_E3,
    dpi=240,
    skew_degrees=0.27,
    seed=303,
    valid_for=ValidFor(make="Brenvik", model="Pakka e3", year_from=2022, year_to=2024, market="EU"),
    validity_text="MODEL YEARS, 2022 - 2024 EU",
    notes=(
        "1) THE PLUG A27 C1 AND ITS LEADS ARE FITTED TO ALL VANS, WITHOUT 8, 15, 16.",
        "2) SCREEN: CONNECTED AT SG1 ONLY.",
    ),
    bodies=_BODIES,
    wires=_WIRES,
    arrows=tuple(
        ArrowPlan(
            letter,
            MmPoint(_TIP_X, y),
            "right",
            is_outgoing=False,
            sheets=(1,) if letter in "AD" else (2,),
        )
        for letter, y in _ARROW_Y.items()
    ),
    nodes=(("@reverse", MmPoint(62, 114)), ("~screen", MmPoint(236, 83))),
    words=(
        WordPlan("(EXCEPT TOWING)", MmPoint(64, 121.5), 1.75),
        WordPlan("(WITH TOWING)", MmPoint(122, 107.7), 1.75, "centre"),
        WordPlan("SCREEN 2)", MmPoint(239, 90), 1.75),
    ),
    screens=(ScreenPlan(MmPoint(236, 72), (3.6, 11.0)),),
    twists=(TwistPlan((MmPoint(78, 171.5), MmPoint(94, 171.5), MmPoint(110, 171.5))),),
)
