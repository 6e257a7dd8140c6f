"""Sheet 5: the 12 V supply, the fuse box and the grounds; one position of the fuse box waits for its fuse."""

from __future__ import annotations

from drawing.plan import ArrowPlan, BodyPlan, CautionPlan, PanelPlan, PinSpot, SheetPlan, WirePlan

from loomfolio.basics import MmBox, MmPoint
from orchard_tractor.publication import OPTION, RAD_40E, VALID_FOR, VALIDITY_TEXT

_FUSE_TOP, _FUSE_BOTTOM = 74.0, 89.0
_BAR_Y = 54.0


def _fuse(name: str, x: float, *words: str) -> BodyPlan:
    return BodyPlan(
        part=name,
        look="fuse",
        box=MmBox(x - 2.5, _FUSE_TOP, x + 2.5, _FUSE_BOTTOM),
        pins=(PinSpot("1", "top", x), PinSpot("2", "bottom", x)),
        words=words,
        words_at=MmPoint(x + 4.2, _FUSE_TOP + 4.5),
    )


_BODIES = (
    BodyPlan(
        part="G1",
        look="battery",
        box=MmBox(26, 114, 46, 138),
        pins=(PinSpot("+", "top", 36), PinSpot("-", "bottom", 36)),
        words=("BATTERY", "12 V 45 Ah"),
        words_at=MmPoint(14, 103),
    ),
    BodyPlan(
        part="F90",
        look="fuse",
        box=MmBox(33.5, 74, 38.5, 89),
        pins=(PinSpot("2", "top", 36), PinSpot("1", "bottom", 36)),
        words=("100 A",),
        words_at=MmPoint(40.5, 79),
    ),
    BodyPlan(
        part="J1",
        look="joint",
        box=MmBox(100, 47, 212, 61),
        pins=(
            PinSpot("1", "left", _BAR_Y),
            PinSpot("2", "bottom", 112),
            PinSpot("3", "bottom", 130),
            PinSpot("4", "bottom", 164),
            PinSpot("5", "bottom", 198),
        ),
        words=("SUPPLY BAR",),
        words_at=MmPoint(215, 51.5),
    ),
    BodyPlan(
        part="U3",
        connector="C1",
        look="module part",
        box=MmBox(60, 100, 92, 130),
        pins=(PinSpot("1", "top", 80), PinSpot("2", "bottom", 80)),
        words=("DC / DC", "CONVERTER"),
        words_at=MmPoint(64, 112),
    ),
    _fuse("F40", 130, "10 A"),
    _fuse("F41", 164, "15 A"),
    _fuse("F42", 198, "10 A", "(WITH DC", "CHARGING)"),
    BodyPlan(
        part="KL15",
        look="supply",
        box=MmBox(244, 40, 276, 52),
        pins=(PinSpot("1", "bottom", 256),),
        words=("HOT WITH KEY ON",),
    ),
    _fuse("F43", 256, "5 A"),
    BodyPlan(
        part="A50",
        connector="C1",
        look="module part",
        box=MmBox(110, 132, 152, 152),
        pins=(
            PinSpot("1", "top", 130),
            PinSpot("2", "top", 144),
            PinSpot("4", "bottom", 130),
        ),
        words=("VEHICLE", "CONTROLLER"),
        words_at=MmPoint(91, 137),
    ),
    BodyPlan(
        part="U2",
        connector="C2",
        look="module part",
        box=MmBox(156, 132, 186, 150),
        pins=(PinSpot("1", "top", 164),),
        words=("ON-BOARD CHARGER",),
        words_at=MmPoint(156, 153.6),
    ),
    BodyPlan(
        part="GND1",
        look="chassis",
        box=MmBox(32, 154, 50, 169),
        pins=(PinSpot("1", "top", 36), PinSpot("2", "top", 46)),
        words=("CHASSIS, AT BATTERY",),
        words_at=MmPoint(51, 162),
    ),
    BodyPlan(
        part="GND2",
        look="chassis",
        box=MmBox(124, 164, 136, 179),
        pins=(PinSpot("1", "top", 130),),
        words=("CHASSIS, FUSE BOX",),
        words_at=MmPoint(137.5, 172),
    ),
)

_WIRES = (
    WirePlan("G1:+", "F90:1", colour="RD", area_mm2=25, width_mm=0.55),
    WirePlan(
        "F90:2",
        "J1:1",
        via=(MmPoint(36, _BAR_Y),),
        colour="RD",
        area_mm2=25,
        label_at=MmPoint(62, _BAR_Y),
        width_mm=0.55,
    ),
    WirePlan(
        "J1:2",
        "U3 C1:1",
        via=(MmPoint(112, 67), MmPoint(80, 67)),
        colour="RD",
        area_mm2=16,
        label_at=MmPoint(88, 67),
        width_mm=0.55,
    ),
    WirePlan("J1:3", "F40:1"),
    WirePlan("J1:4", "F41:1"),
    WirePlan("J1:5", "F42:1"),
    WirePlan("F40:2", "A50 C1:1", colour="RD/WH", area_mm2=1, label_at=MmPoint(130, 108)),
    WirePlan("F41:2", "U2 C2:1", colour="RD/GN", area_mm2=1.5, label_at=MmPoint(164, 106)),
    WirePlan("F42:2", ">A", colour="RD/BU", area_mm2=1.5, label_at=MmPoint(198, 106), when=OPTION),
    WirePlan("KL15:1", "F43:1", colour="VT", area_mm2=0.75, label_at=MmPoint(256, 62)),
    WirePlan(
        "F43:2",
        "A50 C1:2",
        via=(MmPoint(256, 120), MmPoint(144, 120)),
        colour="VT/BK",
        area_mm2=0.5,
        label_at=MmPoint(230, 120),
        hops=(MmPoint(198, 120),),
    ),
    WirePlan("G1:-", "GND1:1", colour="BK", area_mm2=25, width_mm=0.55),
    WirePlan(
        "U3 C1:2",
        "GND1:2",
        via=(MmPoint(80, 146), MmPoint(46, 146)),
        colour="BK",
        area_mm2=16,
        label_at=MmPoint(64, 146),
        width_mm=0.55,
    ),
    WirePlan("A50 C1:4", "GND2:1", colour="BN", area_mm2=1.5),
)

SHEET = SheetPlan(
    number=5,
    title="12 V supply, fuse box",
    file="5-supply.png",
    publication=RAD_40E,
    dpi=200,
    skew_degrees=0.19,
    seed=1105,
    valid_for=VALID_FOR,
    validity_text=VALIDITY_TEXT,
    notes=(
        "THE POSITION OF F42 IS FED IN ALL TRACTORS; FUSE AND LEAD WITH DC CHARGING.",
        "FUSES OF THIS SHEET ARE FOR 12 V AND ARE NEVER FITTED IN A HIGH-VOLTAGE CIRCUIT.",
    ),
    bodies=_BODIES,
    wires=_WIRES,
    arrows=(ArrowPlan("A", MmPoint(198, 138), "bottom", is_outgoing=True, sheets=(4,)),),
    panels=(PanelPlan(MmBox(94, 36, 282, 97), "P1   FUSE BOX"),),
    cautions=(
        CautionPlan(
            MmPoint(206, 160),
            ("U3 FEEDS THE 12 V SIDE FROM 350 V.", "TAKE G1 MINUS OFF, THEN WAIT."),
        ),
    ),
)
