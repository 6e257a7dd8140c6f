"""Sheet 4: the charge controller's supply, its CAN pair with both terminations, and the coils of the contactors."""

from __future__ import annotations

from drawing.plan import (
    ArrowPlan,
    BodyPlan,
    CautionPlan,
    PanelPlan,
    PinSpot,
    ResistorPlan,
    SheetPlan,
    TwistPlan,
    WirePlan,
    WordPlan,
)

from loomfolio.basics import MmBox, MmPoint
from orchard_tractor.publication import OPTION, RAD_40E, VALID_FOR, VALIDITY_TEXT

_HIGH_Y, _LOW_Y = 96.0, 106.0
_DRIVE_HIGH_Y, _DRIVE_LOW_Y = 136.0, 146.0
_COIL_A, _COIL_B, _RETURN_Y = 50.0, 60.0, 114.0


def _coil(name: str, x: float) -> BodyPlan:
    return BodyPlan(
        part=name,
        look="relay coil",
        box=MmBox(x - 11, 70, x + 11, 96),
        pins=(PinSpot("A1", "top", x), PinSpot("A2", "bottom", x)),
        words=("CONTACT:", "SHEET 1"),
        words_at=MmPoint(x + 2.4, 101),
    )


_BODIES = (
    BodyPlan(
        part="A50",
        connector="C2",
        look="module part",
        box=MmBox(14, 56, 50, 156),
        pins=(
            PinSpot("9", "right", 68, "DC WAKE"),
            PinSpot("3", "right", _HIGH_Y),
            PinSpot("4", "right", _LOW_Y),
            PinSpot("1", "right", _DRIVE_HIGH_Y, "CAN H"),
            PinSpot("2", "right", _DRIVE_LOW_Y, "CAN L"),
        ),
        words=("VEHICLE CONTROLLER",),
    ),
    BodyPlan(
        part="A40",
        connector="C1",
        look="module part",
        box=MmBox(112, 38, 158, 124),
        pins=(
            PinSpot("1", "left", 48, "30"),
            PinSpot("3", "left", 68, "WAKE"),
            PinSpot("4", "left", _HIGH_Y),
            PinSpot("5", "left", _LOW_Y),
            PinSpot("2", "bottom", 134, "31"),
            PinSpot("6", "right", _COIL_A, "DC+"),
            PinSpot("7", "right", _COIL_B, "DC-"),
        ),
        words=("CHARGE CONTROLLER (WITH DC CHARGING)",),
    ),
    BodyPlan(
        part="U1",
        connector="C2",
        look="module part",
        box=MmBox(84, 128, 114, 152),
        pins=(PinSpot("1", "left", _DRIVE_HIGH_Y), PinSpot("2", "left", _DRIVE_LOW_Y)),
        words=("DRIVE INVERTER",),
        words_at=MmPoint(84, 156),
    ),
    BodyPlan(
        part="X62",
        half="B",
        look="in-line left",
        box=MmBox(192, 40, 204, 122),
        pins=(
            PinSpot("1", "left", _COIL_A),
            PinSpot("2", "left", _COIL_B),
            PinSpot("3", "left", _RETURN_Y),
        ),
        words=("LV PLUG",),
    ),
    BodyPlan(
        part="X62",
        half="A",
        look="in-line right",
        box=MmBox(204, 40, 216, 122),
        pins=(
            PinSpot("1", "right", _COIL_A),
            PinSpot("2", "right", _COIL_B),
            PinSpot("3", "right", _RETURN_Y),
        ),
    ),
    _coil("K82", 236),
    _coil("K81", 268),
    BodyPlan(
        part="GND2",
        look="chassis",
        box=MmBox(132, 148, 150, 163),
        pins=(PinSpot("2", "top", 134), PinSpot("3", "top", 146)),
        words=("CHASSIS,", "FUSE BOX"),
        words_at=MmPoint(150, 153),
    ),
)

_WIRES = (
    WirePlan(
        ">A",
        "A40 C1:1",
        colour="RD/BU",
        area_mm2=1.5,
        label_at=MmPoint(98, 48),
        when=OPTION,
    ),
    WirePlan(
        "A50 C2:9",
        "A40 C1:3",
        colour="VT/YE",
        area_mm2=0.5,
        label_at=MmPoint(98, 68),
        when=OPTION,
    ),
    WirePlan(
        "A50 C2:3", "A40 C1:4", colour="YE", area_mm2=0.35, label_at=MmPoint(98, 96), when=OPTION
    ),
    WirePlan(
        "A50 C2:4", "A40 C1:5", colour="GN", area_mm2=0.35, label_at=MmPoint(98, 106), when=OPTION
    ),
    WirePlan("A50 C2:1", "U1 C2:1", colour="YE/BK", area_mm2=0.35, label_at=MmPoint(75, 136)),
    WirePlan("A50 C2:2", "U1 C2:2", colour="GN/BK", area_mm2=0.35, label_at=MmPoint(75, 146)),
    WirePlan(
        "A40 C1:2",
        "GND2:2",
        colour="BN",
        area_mm2=1.5,
        label_at=MmPoint(134, 137),
        when=OPTION,
    ),
    WirePlan(
        "A40 C1:6",
        "X62.B:1",
        colour="YE/RD",
        area_mm2=1,
        label_at=MmPoint(174, _COIL_A),
        when=OPTION,
    ),
    WirePlan(
        "A40 C1:7",
        "X62.B:2",
        colour="YE/BU",
        area_mm2=1,
        label_at=MmPoint(174, _COIL_B),
        when=OPTION,
    ),
    WirePlan(
        "X62.B:3",
        "GND2:3",
        via=(MmPoint(170, _RETURN_Y), MmPoint(170, 140), MmPoint(146, 140)),
        colour="BN",
        area_mm2=1.5,
        label_at=MmPoint(181, _RETURN_Y),
        when=OPTION,
    ),
    WirePlan("X62.A:1", "K81:A1", via=(MmPoint(268, _COIL_A),)),
    WirePlan("X62.A:2", "K82:A1", via=(MmPoint(236, _COIL_B),)),
    WirePlan("K82:A2", "@return"),
    WirePlan("K81:A2", "@return", via=(MmPoint(268, _RETURN_Y),)),
    WirePlan("@return", "X62.A:3"),
)

SHEET = SheetPlan(
    number=4,
    title="Charge controller, contactor coils",
    file="4-charge-controller.png",
    publication=RAD_40E,
    dpi=240,
    skew_degrees=-0.25,
    seed=1104,
    valid_for=VALID_FOR,
    validity_text=VALIDITY_TEXT,
    notes=(
        "CHARGE CAN: TWISTED, 500 KBIT/S, 120 OHM AT EACH END.",
        "A50 C2 PIN 9 WORKS ONCE DC CHARGING IS CODED.",
    ),
    bodies=_BODIES,
    wires=_WIRES,
    arrows=(ArrowPlan("A", MmPoint(80, 48), "right", is_outgoing=False, sheets=(5,)),),
    nodes=(("@return", MmPoint(236, _RETURN_Y)),),
    words=(
        WordPlan("CHARGE CAN (WITH DC CHARGING)", MmPoint(76, 111), 1.75, "centre"),
        WordPlan("(WITH DC CHARGING)", MmPoint(174, 66), 1.75, "centre"),
    ),
    panels=(PanelPlan(MmBox(204, 32, 284, 124), "A60   JUNCTION BOX"),),
    resistors=(
        ResistorPlan(MmPoint(42.5, _HIGH_Y), MmPoint(42.5, _LOW_Y), -8, "120 OHM"),
        ResistorPlan(MmPoint(119.5, _HIGH_Y), MmPoint(119.5, _LOW_Y), 8, "120 OHM"),
    ),
    twists=(
        TwistPlan((MmPoint(60, 101), MmPoint(72, 101), MmPoint(84, 101))),
        TwistPlan((MmPoint(56, 141), MmPoint(63, 141))),
    ),
    cautions=(
        CautionPlan(
            MmPoint(14, 168),
            (
                "COILS ARE 12 V, THEIR CONTACTS 350 V: A60 STAYS CLOSED.",
                "FIRST POWER WITH X61 UNPLUGGED AND THE SYSTEM PROVED DEAD.",
            ),
        ),
    ),
)
