"""Sheet 1: the 350 V battery, what it feeds, and the plug of the junction box that a charging inlet goes to."""

from __future__ import annotations

import itertools

from drawing.plan import BodyPlan, CautionPlan, PanelPlan, PinSpot, SheetPlan, WirePlan, WordPlan

from loomfolio.basics import MmBox, MmPoint
from orchard_tractor.publication import OPTION, RAD_40E, VALID_FOR, VALIDITY_TEXT

_PLUS_Y, _MINUS_Y = 48.0, 150.0
_HEAVY = 0.55
_CONSUMERS = (
    ("U1", 84.0, "DRIVE", "INVERTER"),
    ("U2", 124.0, "ON-BOARD", "CHARGER, AC"),
    ("U3", 164.0, "DC / DC", "CONVERTER"),
)


def _consumer(name: str, x: float, *words: str) -> BodyPlan:
    return BodyPlan(
        part=name,
        connector="HV1",
        look="module part",
        box=MmBox(x - 15, 84, x + 15, 114),
        pins=(PinSpot("1", "top", x + 4), PinSpot("2", "bottom", x + 4)),
        words=words,
        words_at=MmPoint(x - 9, 95),
    )


_BODIES = (
    BodyPlan(
        part="G2",
        look="battery",
        box=MmBox(24, 92, 44, 116),
        pins=(PinSpot("+", "top", 34), PinSpot("-", "bottom", 34)),
        words=("TRACTION", "BATTERY 350 V", "MAIN CONTACTORS", "INSIDE"),
        words_at=MmPoint(36.5, 123),
    ),
    BodyPlan(
        part="F80",
        look="fuse",
        box=MmBox(31.5, 61, 36.5, 76),
        pins=(PinSpot("2", "top", 34), PinSpot("1", "bottom", 34)),
        words=("250 A",),
        words_at=MmPoint(38.5, 66),
    ),
    *(_consumer(*consumer) for consumer in _CONSUMERS),
    BodyPlan(
        part="K81",
        look="relay contact",
        box=MmBox(196, 58, 218, 80),
        pins=(PinSpot("1", "top", 207), PinSpot("2", "bottom", 207)),
        words=("CONTACTOR", "COIL: SHEET 4"),
        words_at=MmPoint(220, 63),
    ),
    BodyPlan(
        part="K82",
        look="relay contact",
        box=MmBox(196, 120, 218, 142),
        pins=(PinSpot("2", "top", 207), PinSpot("1", "bottom", 207)),
        words=("CONTACTOR", "COIL: SHEET 4"),
        words_at=MmPoint(220, 131),
    ),
    BodyPlan(
        part="X61",
        half="A",
        look="in-line left",
        box=MmBox(228, 84, 240, 114),
        pins=(PinSpot("1", "left", 94), PinSpot("2", "left", 106)),
    ),
    BodyPlan(
        part="X61",
        half="B",
        look="in-line right",
        box=MmBox(240, 84, 252, 114),
        pins=(PinSpot("1", "right", 94), PinSpot("2", "right", 106)),
    ),
    BodyPlan(
        part="X95",
        look="module part",
        box=MmBox(266, 84, 284, 114),
        pins=(PinSpot("DC+", "left", 94), PinSpot("DC-", "left", 106)),
        words=("DC CHARGING", "INLET", "(WITH DC", "CHARGING)"),
        words_at=MmPoint(266, 68),
    ),
)


def _rail(level: float, ends: tuple[str, str], nodes: tuple[str, ...]) -> tuple[WirePlan, ...]:
    """The run along a rail: from the battery's side over its dots to the contactor."""
    first, last = ends
    stops = (first, *nodes, last)
    corners = {0: MmPoint(34, level), len(stops) - 2: MmPoint(207, level)}
    return tuple(
        WirePlan(
            a,
            b,
            via=(corners[number],) if number in corners else (),
            colour="OG" if number == 0 else "",
            area_mm2=70 if number == 0 else None,
            label_at=MmPoint(60, level) if number == 0 else None,
            width_mm=_HEAVY,
        )
        for number, (a, b) in enumerate(itertools.pairwise(stops))
    )


_PLUS_NODES = tuple((f"@p{n}", MmPoint(x + 4, _PLUS_Y)) for n, (_, x, *_) in enumerate(_CONSUMERS))
_MINUS_NODES = tuple(
    (f"@m{n}", MmPoint(x + 4, _MINUS_Y)) for n, (_, x, *_) in enumerate(_CONSUMERS)
)
_AREAS = {"U1": 70, "U2": 6, "U3": 6}
_TAPS = tuple(
    WirePlan(
        f"@{side}{number}",
        f"{name} HV1:{pin}",
        colour="OG",
        area_mm2=_AREAS[name],
        label_at=MmPoint(x + 4, y),
        width_mm=_HEAVY,
    )
    for number, (name, x, *_) in enumerate(_CONSUMERS)
    for side, pin, y in (("p", "1", 66.0), ("m", "2", 132.0))
)
_WIRES = (
    WirePlan("G2:+", "F80:1", colour="OG", area_mm2=70, width_mm=_HEAVY),
    *_rail(_PLUS_Y, ("F80:2", "K81:1"), tuple(name for name, _ in _PLUS_NODES)),
    *_rail(_MINUS_Y, ("G2:-", "K82:1"), tuple(name for name, _ in _MINUS_NODES)),
    *_TAPS,
    WirePlan("K81:2", "X61.A:1", via=(MmPoint(207, 94),), width_mm=_HEAVY),
    WirePlan("K82:2", "X61.A:2", via=(MmPoint(207, 106),), width_mm=_HEAVY),
    WirePlan(
        "X61.B:1",
        "X95:DC+",
        colour="OG",
        area_mm2=70,
        label_at=MmPoint(259, 94),
        width_mm=_HEAVY,
        when=OPTION,
    ),
    WirePlan(
        "X61.B:2",
        "X95:DC-",
        colour="OG",
        area_mm2=70,
        label_at=MmPoint(259, 106),
        width_mm=_HEAVY,
        when=OPTION,
    ),
)

SHEET = SheetPlan(
    number=1,
    title="High-voltage system",
    file="1-high-voltage.png",
    publication=RAD_40E,
    dpi=240,
    skew_degrees=-0.16,
    seed=1101,
    valid_for=VALID_FOR,
    validity_text=VALIDITY_TEXT,
    notes=(
        "1) W95: ONE LEAD ASSEMBLY WITH PLUG, FITTED WHOLE, NEVER JOINED OR REPAIRED.",
        "2) WITHOUT DC CHARGING X61 IS CLOSED BY A DUMMY PLUG. INTERLOCK: SHEET 2.",
    ),
    bodies=_BODIES,
    wires=_WIRES,
    nodes=(*_PLUS_NODES, *_MINUS_NODES),
    words=(
        WordPlan("W95 1)", MmPoint(254, 120), 2.0, is_bold=True),
        WordPlan("(WITH DC CHARGING)", MmPoint(254, 124), 1.75),
        WordPlan("HV PLUG 2)", MmPoint(217, 117.5), 1.75),
    ),
    panels=(PanelPlan(MmBox(188, 36, 240, 158), "A60   JUNCTION BOX"),),
    cautions=(
        CautionPlan(
            MmPoint(14, 163),
            (
                "350 V DC. ORANGE LEADS: TRAINED PERSONS ONLY, NEVER ALONE.",
                "SERVICE DISCONNECT OUT, 10 MINUTES, THEN PROVE DEAD.",
                "THE BATTERY ITSELF IS ALWAYS LIVE.",
            ),
        ),
    ),
)
