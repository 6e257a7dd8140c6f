"""Sheet 6: bar 1 of the joint connector and the two kinds of ground; printed for earlier model years."""

from __future__ import annotations

from drawing.plan import ArrowPlan, BodyPlan, PinSpot, SheetPlan, WirePlan, WordPlan

from loomfolio.basics import MmBox, MmPoint
from loomfolio.project import ValidFor
from parcel_van.publication import PAKKA_E3


def _upper(
    part: str, connector: str, box: tuple[float, float], pins: dict[str, float], words: str
) -> BodyPlan:
    """One of the row of parts at the top, with its pins at the bottom."""
    return BodyPlan(
        part=part,
        connector=connector,
        look="module part",
        box=MmBox(box[0], 36, box[1], 56),
        pins=tuple(PinSpot(pin, "bottom", x) for pin, x in pins.items()),
        words=(words,),
    )


_BODIES = (
    _upper("E11", "", (26, 62), {"5": 44}, "REAR LAMP, LEFT"),
    _upper("E12", "", (74, 110), {"5": 92}, "REAR LAMP, RIGHT"),
    _upper("E20", "", (122, 162), {"1": 134, "2": 150}, "NUMBER PLATE LAMP"),
    _upper("A31", "C1", (176, 212), {"2": 194}, "PARK ASSIST"),
    _upper("A1", "C2", (236, 272), {"23": 254}, "BODY CONTROLLER"),
    BodyPlan(
        part="X70",
        look="joint",
        box=MmBox(28, 102, 210, 122),
        pins=(
            PinSpot("1", "top", 44),
            PinSpot("2", "top", 92),
            PinSpot("3", "top", 150),
            PinSpot("4", "top", 194),
            PinSpot("6", "bottom", 120),
        ),
        words=("JOINT CONNECTOR, BAR 1",),
        words_at=MmPoint(28, 125.8),
    ),
    BodyPlan(
        part="GND1",
        look="chassis",
        box=MmBox(114, 144, 126, 159),
        pins=(PinSpot("1", "top", 120),),
        words=("CHASSIS, REAR LEFT",),
        words_at=MmPoint(128, 152),
    ),
    BodyPlan(
        part="B8",
        look="sensor",
        box=MmBox(240, 94, 268, 124),
        pins=(PinSpot("1", "top", 254), PinSpot("2", "bottom", 254)),
        words=("AXLE", "LOAD"),
        words_at=MmPoint(226, 104),
    ),
    BodyPlan(
        part="SG1",
        look="sensor ground",
        box=MmBox(248, 144, 260, 159),
        pins=(PinSpot("4", "top", 254),),
        words=("SENSOR", "GROUND"),
        words_at=MmPoint(262, 152),
    ),
)

_WIRES = (
    WirePlan("E11:5", "X70:1", colour="BN", area_mm2=1.5, label_at=MmPoint(44, 88)),
    WirePlan("E12:5", "X70:2", colour="BN", area_mm2=1.5, label_at=MmPoint(92, 88)),
    WirePlan("E20:2", "X70:3", colour="BN", area_mm2=0.75, label_at=MmPoint(150, 88)),
    WirePlan("A31 C1:2", "X70:4", colour="BN", area_mm2=0.75, label_at=MmPoint(194, 88)),
    WirePlan("X70:6", "GND1:1", colour="BN", area_mm2=4, label_at=MmPoint(120, 134)),
    WirePlan(
        "E20:1",
        ">H",
        via=(MmPoint(134, 74),),
        colour="GY/RD",
        area_mm2=0.75,
        label_at=MmPoint(172, 74),
    ),
    WirePlan("A1 C2:23", "B8:1", colour="GN/BK", area_mm2=0.35, label_at=MmPoint(254, 76)),
    WirePlan("B8:2", "SG1:4", colour="BN/GN", area_mm2=0.35, label_at=MmPoint(254, 134)),
)

SHEET = SheetPlan(
    number=6,
    title="Ground distribution, rear",
    file="6-grounds.png",
    publication=PAKKA_E3,
    dpi=200,
    skew_degrees=-0.29,
    seed=606,
    valid_for=ValidFor(make="Brenvik", model="Pakka e3", year_from=2018, year_to=2021, market="EU"),
    validity_text="MODEL YEARS, 2018 - 2021 EU",
    notes=("X70, BAR 2 (PINS 7 TO 12): SHEET 4.", "GND: CHASSIS. SG: SENSOR GROUND."),
    bodies=_BODIES,
    wires=_WIRES,
    arrows=(ArrowPlan("H", MmPoint(214, 74), "left", is_outgoing=False, sheets=(2,)),),
    words=(WordPlan("MODEL YEARS 2018 - 2021", MmPoint(28, 168), 2.4, is_bold=True),),
)
