"""Sheet 5: the coil of the trailer supply relay, the stop lamp switch, the load space sensor and the sensor ground."""

from __future__ import annotations

from drawing.plan import ArrowPlan, BodyPlan, PinSpot, SheetPlan, WirePlan, WordPlan

from loomfolio.basics import MmBox, MmPoint
from loomfolio.project import ValidFor
from parcel_van.publication import PAKKA_E3

_BODIES = (
    BodyPlan(
        part="A1",
        connector="C2",
        look="module part",
        box=MmBox(14, 52, 50, 180),
        pins=(
            PinSpot("8", "right", 68, "STOP SW"),
            PinSpot("17", "right", 100),
            PinSpot("21", "right", 118, "TEMP"),
            PinSpot("22", "right", 136),
            PinSpot("1", "right", 168, "GND"),
        ),
        words=("BODY CONTROLLER",),
    ),
    BodyPlan(
        part="X14",
        half="A",
        look="in-line left",
        box=MmBox(88, 90, 100, 144),
        pins=(PinSpot("9", "left", 100), PinSpot("8", "left", 118), PinSpot("10", "left", 136)),
        words=("FRONT AND REAR LOOM",),
    ),
    BodyPlan(
        part="X14",
        half="B",
        look="in-line right",
        box=MmBox(100, 90, 112, 144),
        pins=(PinSpot("6", "right", 100), PinSpot("7", "right", 118), PinSpot("5", "right", 136)),
    ),
    BodyPlan(
        part="S3",
        look="switch",
        box=MmBox(116, 43, 134, 61),
        pins=(PinSpot("1", "top", 126), PinSpot("2", "bottom", 126)),
        words=("STOP LAMP", "SWITCH"),
        words_at=MmPoint(136.5, 48),
    ),
    BodyPlan(
        part="K41",
        look="relay coil",
        box=MmBox(164, 54, 188, 80),
        pins=(PinSpot("86", "top", 176), PinSpot("85", "bottom", 176)),
        words=("TRAILER SUPPLY RELAY, COIL", "CONTACT: SHEET 1", "(WITH TOWING)"),
        words_at=MmPoint(190.5, 62),
    ),
    BodyPlan(
        part="B6",
        look="sensor",
        box=MmBox(236, 108, 262, 142),
        pins=(PinSpot("1", "left", 118), PinSpot("2", "left", 132)),
        words=("LOAD SPACE TEMPERATURE",),
    ),
    BodyPlan(
        part="SG1",
        look="sensor ground",
        box=MmBox(184, 152, 208, 167),
        pins=(PinSpot("2", "top", 190), PinSpot("1", "top", 202)),
        words=("SENSOR GROUND", "NOT CHASSIS"),
        words_at=MmPoint(210, 159),
    ),
    BodyPlan(
        part="X70",
        look="joint",
        box=MmBox(116, 158, 150, 178),
        pins=(PinSpot("5", "left", 168),),
        words=("JOINT CONNECTOR, BAR 1",),
        words_at=MmPoint(116, 181),
    ),
)

_WIRES = (
    WirePlan(">D", "@ignition", colour="VT/WH", area_mm2=0.75, label_at=MmPoint(80, 36)),
    WirePlan("@ignition", "S3:1"),
    WirePlan(
        "@ignition",
        "K41:86",
        via=(MmPoint(176, 36),),
        colour="VT/WH",
        area_mm2=0.5,
        label_at=MmPoint(152, 36),
    ),
    WirePlan(
        "S3:2",
        "A1 C2:8",
        via=(MmPoint(126, 68),),
        colour="RD/YE",
        area_mm2=0.5,
        label_at=MmPoint(80, 68),
    ),
    WirePlan(
        "A1 C2:17",
        "X14.A:9",
        colour="BU/YE",
        area_mm2=0.5,
        label_at=MmPoint(62, 100),
        when="towing",
    ),
    WirePlan(
        "X14.B:6",
        "K41:85",
        via=(MmPoint(176, 100),),
        colour="BU/YE",
        area_mm2=0.5,
        label_at=MmPoint(144, 100),
    ),
    WirePlan("A1 C2:21", "X14.A:8", colour="GN/WH", area_mm2=0.35, label_at=MmPoint(68, 118)),
    WirePlan("X14.B:7", "B6:1", colour="GN/WH", area_mm2=0.35, label_at=MmPoint(144, 118)),
    WirePlan("A1 C2:22", "X14.A:10", colour="BN/GN", area_mm2=0.5, label_at=MmPoint(68, 136)),
    WirePlan(
        "X14.B:5",
        "SG1:2",
        via=(MmPoint(190, 136),),
        colour="BN/GN",
        area_mm2=0.5,
        label_at=MmPoint(144, 136),
    ),
    WirePlan(
        "B6:2",
        "SG1:1",
        via=(MmPoint(202, 132),),
        colour="BN/GN",
        area_mm2=0.35,
        label_at=MmPoint(218, 132),
    ),
    WirePlan("A1 C2:1", "X70:5", colour="BN", area_mm2=1.5, label_at=MmPoint(80, 168)),
)

SHEET = SheetPlan(
    number=5,
    title="Supply relay, switches, sensors",
    file="5-supply-relay.png",
    publication=PAKKA_E3,
    dpi=200,
    skew_degrees=0.09,
    seed=505,
    valid_for=ValidFor(make="Brenvik", model="Pakka e3", year_from=2022, year_to=2024, market="EU"),
    validity_text="MODEL YEARS, 2022 - 2024 EU",
    notes=(
        "SG1 CARRIES SENSOR CURRENTS ONLY. DO NOT JOIN IT TO CHASSIS.",
        "A1 C2 PIN 17: HEADER PIN WITH TOWING ONLY.",
    ),
    bodies=_BODIES,
    wires=_WIRES,
    arrows=(ArrowPlan("D", MmPoint(50, 36), "right", is_outgoing=False, sheets=(1,)),),
    nodes=(("@ignition", MmPoint(126, 36)),),
    words=(WordPlan("(WITH TOWING)", MmPoint(78, 103), 1.6, "centre"),),
)
