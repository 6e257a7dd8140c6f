"""Sheet 2: the rear lamps, the in-line connector X14 whose halves are numbered against each other, the stop splice."""

from __future__ import annotations

from drawing.plan import ArrowPlan, BodyPlan, PinSpot, SheetPlan, WirePlan

from loomfolio.basics import MmBox, MmPoint
from loomfolio.project import ValidFor
from parcel_van.publication import PAKKA_E3

# Signal, pin at A1 C1, pin in half A of X14, level on the page, colour, area, letter and place of its arrow.
_LEFT_X, _A_X, _B_X, _LAMP_X = 48.0, 78.0, 102.0, 236.0
_LEVELS = {"3": 42.0, "4": 53.0, "5": 64.0, "6": 75.0, "7": 86.0, "8": 97.0, "9": 108.0}
_SIGNALS = {"3": "L IND", "4": "R IND", "7": "STOP", "8": "FOG", "9": "REVERSE"}
_COLOURS = {
    "3": "BK/WH",
    "4": "BK/GN",
    "5": "GY/BK",
    "6": "GY/RD",
    "7": "BK/RD",
    "8": "GY/WH",
    "9": "BU/BK",
}
_HALF_A = {"3": "1", "4": "2", "5": "3", "6": "4", "7": "5", "8": "6", "9": "7"}
_HALF_B = {a: str(15 - int(a)) for a in _HALF_A.values()}
_ARROW_X = {"E": 112.0, "F": 123.0, "G": 134.0, "H": 145.0, "J": 156.0, "K": 167.0, "L": 178.0}
_ARROW_OF = dict(zip(_LEVELS, _ARROW_X, strict=True))
_ARROW_Y = 164.0

_BODIES = (
    BodyPlan(
        part="A1",
        connector="C1",
        look="module part",
        box=MmBox(14, 33, _LEFT_X, 118),
        pins=tuple(PinSpot(p, "right", y, _SIGNALS.get(p, "")) for p, y in _LEVELS.items()),
        words=("BODY CONTROLLER",),
    ),
    BodyPlan(
        part="X14",
        half="A",
        look="in-line left",
        box=MmBox(_A_X, 33, 90, 116),
        pins=tuple(PinSpot(_HALF_A[p], "left", y) for p, y in _LEVELS.items()),
        words=("FRONT AND REAR LOOM",),
    ),
    BodyPlan(
        part="X14",
        half="B",
        look="in-line right",
        box=MmBox(90, 33, _B_X, 116),
        pins=tuple(PinSpot(_HALF_B[_HALF_A[p]], "right", y) for p, y in _LEVELS.items()),
    ),
    BodyPlan(
        part="S21",
        look="splice",
        box=MmBox(187.5, 83.5, 192.5, 88.5),
        pins=(PinSpot("1", "left", 86), PinSpot("2", "right", 86), PinSpot("3", "bottom", 190)),
        words_at=MmPoint(191.6, 82.6),
    ),
    BodyPlan(
        part="E11",
        look="lamps",
        box=MmBox(_LAMP_X, 32, 276, 107),
        pins=(
            PinSpot("1", "left", 42, "INDICATOR"),
            PinSpot("2", "left", 64, "TAIL"),
            PinSpot("3", "left", 86, "STOP"),
            PinSpot("4", "left", 97, "FOG"),
        ),
        words=("REAR LAMP, LEFT",),
    ),
    BodyPlan(
        part="E12",
        look="lamps",
        box=MmBox(_LAMP_X, 120, 276, 173),
        pins=(
            PinSpot("1", "left", 130, "INDICATOR"),
            PinSpot("2", "left", 141, "TAIL"),
            PinSpot("3", "left", 152, "STOP"),
            PinSpot("4", "left", 163, "REVERSE"),
        ),
        words=("REAR LAMP, RIGHT",),
    ),
)

_FRONT = tuple(
    WirePlan(
        f"A1 C1:{p}",
        f"X14.A:{_HALF_A[p]}",
        colour=_COLOURS[p],
        area_mm2=0.75,
        label_at=MmPoint(63, y),
    )
    for p, y in _LEVELS.items()
)
_TO_DOTS = tuple(
    WirePlan(f"X14.B:{_HALF_B[_HALF_A[p]]}", f"@{_ARROW_OF[p]}", colour=_COLOURS[p], area_mm2=0.75)
    for p in _LEVELS
)
_TAPS = tuple(
    WirePlan(
        f"@{_ARROW_OF[p]}",
        f">{_ARROW_OF[p]}",
        colour=_COLOURS[p],
        area_mm2=0.75,
        label_at=MmPoint(_ARROW_X[_ARROW_OF[p]], 152),
    )
    for p in _LEVELS
)


def _to_lamp(
    pin: str, dot: str, lamp: str, label: tuple[float, float], *via: tuple[float, float]
) -> WirePlan:
    return WirePlan(
        dot,
        lamp,
        via=tuple(MmPoint(*corner) for corner in via),
        colour=_COLOURS[pin],
        area_mm2=0.75,
        label_at=MmPoint(*label),
    )


_REAR = (
    _to_lamp("3", "@E", "E11:1", (227, 42)),
    _to_lamp("4", "@F", "E12:1", (228, 130), (210, 53), (210, 130)),
    _to_lamp("5", "@G", "E11:2", (228, 64)),
    _to_lamp("6", "@H", "E12:2", (228, 141), (220, 75), (220, 141)),
    WirePlan("@J", "S21:1", colour="BK/RD", area_mm2=0.75),
    _to_lamp("7", "S21:2", "E11:3", (228, 86)),
    _to_lamp("7", "S21:3", "E12:3", (228, 152), (190, 152)),
    _to_lamp("8", "@K", "E11:4", (228, 97)),
    _to_lamp("9", "@L", "E12:4", (228, 163), (200, 108), (200, 163)),
)

SHEET = SheetPlan(
    number=2,
    title="Rear lamps",
    file="2-rear-lamps.png",
    publication=PAKKA_E3,
    dpi=240,
    skew_degrees=-0.22,
    seed=202,
    valid_for=ValidFor(make="Brenvik", model="Pakka e3", year_from=2022, year_to=2024, market="EU"),
    validity_text="MODEL YEARS, 2022 - 2024 EU",
    notes=("LAMP GROUND (PIN 5): SHEET 6.", "S21: SPLICE IN THE REAR LOOM, 180 MM FROM X14."),
    bodies=_BODIES,
    wires=(*_FRONT, *_TO_DOTS, *_TAPS, *_REAR),
    arrows=tuple(
        ArrowPlan(
            letter,
            MmPoint(x, _ARROW_Y),
            "bottom",
            is_outgoing=True,
            sheets=(3, 6) if letter == "H" else (3,),
        )
        for letter, x in _ARROW_X.items()
    ),
    nodes=tuple(
        (f"@{_ARROW_OF[p]}", MmPoint(_ARROW_X[_ARROW_OF[p]], y)) for p, y in _LEVELS.items()
    ),
)
