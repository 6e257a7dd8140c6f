"""Sheet 1: battery, converter, the rear fuse and relay box; the relay's contact stands here, its coil on sheet 5."""

from __future__ import annotations

from drawing.plan import ArrowPlan, BodyPlan, PanelPlan, PinSpot, SheetPlan, WirePlan, WordPlan

from loomfolio.basics import MmBox, MmPoint
from loomfolio.project import ValidFor
from parcel_van.publication import PAKKA_E3

_RAIL_Y = 54.0
_FUSE_TOP, _FUSE_BOTTOM = 68.0, 83.0


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
        box=MmBox(26, 118, 46, 142),
        pins=(PinSpot("+", "top", 36), PinSpot("-", "bottom", 36)),
        words=("BATTERY", "12 V 60 Ah"),
        words_at=MmPoint(14, 107),
    ),
    BodyPlan(
        part="F1",
        look="fuse",
        box=MmBox(33.5, 78, 38.5, 93),
        pins=(PinSpot("2", "top", 36), PinSpot("1", "bottom", 36)),
        words=("150 A",),
        words_at=MmPoint(40.5, 83),
    ),
    BodyPlan(
        part="U1",
        connector="C1",
        look="module part",
        box=MmBox(60, 94, 92, 132),
        pins=(
            PinSpot("1", "left", 103, "12 V OUT"),
            PinSpot("2", "bottom", 78),
        ),
        words=("DC / DC CONVERTER",),
        words_at=MmPoint(60, 86.5),
    ),
    BodyPlan(
        part="GND3",
        look="chassis",
        box=MmBox(30, 156, 42, 171),
        pins=(PinSpot("1", "top", 36),),
        words=("CHASSIS, AT BATTERY",),
        words_at=MmPoint(43.5, 164),
    ),
    _fuse("F12", 118, "10 A"),
    _fuse("F27", 148, "15 A"),
    _fuse("F31", 178, "20 A", "(WITH", "TOWING)"),
    BodyPlan(
        part="K41",
        look="relay contact",
        box=MmBox(203, 64.5, 225, 86.5),
        pins=(PinSpot("30", "top", 214), PinSpot("87", "bottom", 214)),
        words=("TRAILER SUPPLY", "RELAY, CONTACT", "COIL: SHEET 5", "(WITH TOWING)"),
        words_at=MmPoint(227, 69),
    ),
    BodyPlan(
        part="KL15",
        look="supply",
        box=MmBox(246, 23, 278, 34.5),
        pins=(PinSpot("1", "bottom", 262),),
        words=("HOT IN RUN AND START",),
    ),
    _fuse("F18", 262, "5 A"),
    BodyPlan(
        part="A1",
        connector="C1",
        look="module part",
        box=MmBox(100, 152, 136, 170),
        pins=(PinSpot("1", "top", 118, "SUPPLY"),),
        words=("BODY CONTROLLER",),
        words_at=MmPoint(100, 173.6),
    ),
    BodyPlan(
        part="A31",
        connector="C1",
        look="module part",
        box=MmBox(228, 152, 264, 170),
        pins=(PinSpot("1", "top", 244),),
        words=("PARK ASSIST",),
        words_at=MmPoint(228, 173.6),
    ),
)

_WIRES = (
    WirePlan("G1:+", "@plus", colour="RD", area_mm2=35, width_mm=0.55),
    WirePlan("@plus", "F1:1", width_mm=0.55),
    WirePlan(
        "@plus",
        "U1 C1:1",
        colour="RD",
        area_mm2=16,
        label_at=MmPoint(47.5, 103),
        width_mm=0.55,
    ),
    WirePlan("G1:-", "@minus", width_mm=0.55),
    WirePlan("@minus", "GND3:1", colour="BK", area_mm2=35, width_mm=0.55),
    WirePlan(
        "U1 C1:2",
        "@minus",
        via=(MmPoint(78, 149),),
        colour="BK",
        area_mm2=16,
        label_at=MmPoint(58, 149),
        width_mm=0.55,
    ),
    WirePlan(
        "F1:2",
        "@f12",
        via=(MmPoint(36, _RAIL_Y),),
        colour="RD",
        area_mm2=16,
        label_at=MmPoint(36, 66),
        width_mm=0.55,
    ),
    WirePlan("@f12", "F12:1"),
    WirePlan("@f12", "@f27", width_mm=0.55),
    WirePlan("@f27", "F27:1"),
    WirePlan("@f27", "@f31", width_mm=0.55),
    WirePlan("@f31", "F31:1"),
    WirePlan("@f31", "K41:30", via=(MmPoint(214, _RAIL_Y),), width_mm=0.55),
    WirePlan("F12:2", "@f12out", colour="RD/WH", area_mm2=1, label_at=MmPoint(118, 108)),
    WirePlan("@f12out", "A1 C1:1"),
    WirePlan(
        "@f12out",
        "A31 C1:1",
        via=(MmPoint(244, 126),),
        colour="RD/WH",
        area_mm2=0.75,
        label_at=MmPoint(229, 126),
        hops=(MmPoint(214, 126),),
    ),
    WirePlan("F27:2", ">A", colour="RD/GN", area_mm2=1.5, label_at=MmPoint(148, 108)),
    WirePlan("F31:2", ">B", colour="OG", area_mm2=2.5, label_at=MmPoint(178, 108), when="towing"),
    WirePlan(
        "K41:87", ">C", colour="GY/RD", area_mm2=2.5, label_at=MmPoint(214, 108), when="towing"
    ),
    WirePlan("KL15:1", "F18:1", colour="VT", area_mm2=1, label_at=MmPoint(262, 47)),
    WirePlan("F18:2", ">D", colour="VT/WH", area_mm2=0.75, label_at=MmPoint(262, 97)),
)

SHEET = SheetPlan(
    number=1,
    title="Power supply, rear fuse box",
    file="1-power-supply.png",
    publication=PAKKA_E3,
    dpi=240,
    skew_degrees=0.18,
    seed=101,
    valid_for=ValidFor(make="Brenvik", model="Pakka e3", year_from=2022, year_to=2024, market="EU"),
    validity_text="MODEL YEARS, 2022 - 2024 EU",
    notes=(
        "1) LEADS TO F31, K41 AND A27 C1 ARE FITTED TO ALL VANS.",
        "NUMBER AT AN ARROW: THE SHEET WHERE THE LEAD GOES ON.",
    ),
    bodies=_BODIES,
    wires=_WIRES,
    arrows=(
        ArrowPlan("A", MmPoint(148, 136), "bottom", is_outgoing=True, sheets=(3,)),
        ArrowPlan("B", MmPoint(178, 136), "bottom", is_outgoing=True, sheets=(4,)),
        ArrowPlan("C", MmPoint(214, 136), "bottom", is_outgoing=True, sheets=(4,)),
        ArrowPlan("D", MmPoint(262, 110), "bottom", is_outgoing=True, sheets=(3, 5)),
    ),
    nodes=(
        ("@plus", MmPoint(36, 103)),
        ("@minus", MmPoint(36, 149)),
        ("@f12", MmPoint(118, _RAIL_Y)),
        ("@f27", MmPoint(148, _RAIL_Y)),
        ("@f31", MmPoint(178, _RAIL_Y)),
        ("@f12out", MmPoint(118, 126)),
    ),
    words=(WordPlan("30   HOT AT ALL TIMES", MmPoint(48, _RAIL_Y - 2.6), 2.0, is_bold=True),),
    panels=(PanelPlan(MmBox(98, 40, 276, 99), "P2   REAR FUSE AND RELAY BOX"),),
)
