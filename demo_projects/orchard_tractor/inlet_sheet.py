"""Sheet 3: the charging inlet with its pilot, proximity and earth, its lock and its two temperature sensors."""

from __future__ import annotations

from drawing.plan import BodyPlan, CautionPlan, PinSpot, SheetPlan, WirePlan, WordPlan

from loomfolio.basics import MmBox, MmPoint
from orchard_tractor.publication import OPTION, RAD_40E, VALID_FOR, VALIDITY_TEXT

_PIN_Y = {
    "1": 44.0,
    "2": 55.0,
    "4": 72.0,
    "5": 83.0,
    "6": 94.0,
    "8": 111.0,
    "9": 122.0,
    "10": 133.0,
    "11": 144.0,
}
_SIGNALS = {"1": "CP", "2": "PP", "4": "LOCK", "8": "T1 +", "9": "T1 -", "10": "T2 +"}
_LEFT_X, _RIGHT_X, _EARTH_X = 60.0, 206.0, 184.0

_BODIES = (
    BodyPlan(
        part="A40",
        connector="C2",
        look="module part",
        box=MmBox(14, 35, _LEFT_X, 152),
        pins=tuple(PinSpot(p, "right", y, _SIGNALS.get(p, "")) for p, y in _PIN_Y.items()),
        words=("CHARGE CONTROLLER",),
    ),
    BodyPlan(
        part="X95",
        look="module part",
        box=MmBox(_RIGHT_X, 34, 244, 70),
        pins=(
            PinSpot("CP", "left", 44, "PILOT"),
            PinSpot("PP", "left", 52, "PROXIMITY"),
            PinSpot("PE", "left", 62, "EARTH"),
        ),
        words=("DC CHARGING INLET", "DC+, DC-: SHEET 1"),
        words_at=MmPoint(247, 44),
    ),
    BodyPlan(
        part="M95",
        look="lock",
        box=MmBox(_RIGHT_X, 75, 244, 105),
        pins=(PinSpot("1", "left", 79.5), PinSpot("2", "left", 90.5), PinSpot("3", "left", 100)),
        words=("LOCK ACTUATOR",),
        words_at=MmPoint(247, 88),
    ),
    BodyPlan(
        part="B95",
        look="sensor",
        box=MmBox(_RIGHT_X, 109, 234, 131),
        pins=(PinSpot("1", "left", 114.5), PinSpot("2", "left", 125.5)),
        words=("TEMPERATURE AT DC+", "PT1000"),
        words_at=MmPoint(237, 117),
    ),
    BodyPlan(
        part="B96",
        look="sensor",
        box=MmBox(_RIGHT_X, 136, 234, 158),
        pins=(PinSpot("1", "left", 141.5), PinSpot("2", "left", 152.5)),
        words=("TEMPERATURE AT DC-", "PT1000"),
        words_at=MmPoint(237, 144),
    ),
    BodyPlan(
        part="GND4",
        look="chassis",
        box=MmBox(_EARTH_X - 6, 166, _EARTH_X + 6, 181),
        pins=(PinSpot("1", "top", _EARTH_X),),
        words=("CHASSIS, AT THE INLET", "BELOW 0.1 OHM"),
        words_at=MmPoint(192, 172),
    ),
)

_AT = {body.text_of(spot): body.place_of(spot).y for body in _BODIES for spot in body.pins}


def _lead(pin: str, far: str, colour: str, area: float, turn_x: float | None) -> WirePlan:
    """One lead from the controller to the inlet, with a jog at `turn_x` where the levels differ."""
    via: tuple[MmPoint, ...] = ()
    if turn_x is not None:
        via = (MmPoint(turn_x, _PIN_Y[pin]), MmPoint(turn_x, _AT[far]))
    return WirePlan(
        f"A40 C2:{pin}",
        far,
        via=via,
        colour=colour,
        area_mm2=area,
        label_at=MmPoint(166, _AT[far]),
        when=OPTION,
    )


_WIRES = (
    _lead("1", "X95:CP", "WH", 0.75, None),
    _lead("2", "X95:PP", "BU", 0.5, 134),
    WirePlan(
        "X95:PE",
        "GND4:1",
        via=(MmPoint(_EARTH_X, 62),),
        colour="GN/YE",
        area_mm2=16,
        label_at=MmPoint(195, 62),
        hops=(MmPoint(_EARTH_X, 100),),
        width_mm=0.55,
        when=OPTION,
    ),
    _lead("4", "M95:1", "RD/BK", 0.75, 134),
    _lead("5", "M95:2", "BK/RD", 0.75, 128),
    _lead("6", "M95:3", "GN", 0.5, 122),
    _lead("8", "B95:1", "WH/BN", 0.35, 116),
    _lead("9", "B95:2", "BN", 0.35, 110),
    _lead("10", "B96:1", "WH/GN", 0.35, 104),
    _lead("11", "B96:2", "BN/GN", 0.35, 98),
)

SHEET = SheetPlan(
    number=3,
    title="DC charging inlet",
    file="3-charging-inlet.png",
    publication=RAD_40E,
    dpi=240,
    skew_degrees=0.11,
    seed=1103,
    when=OPTION,
    valid_for=VALID_FOR,
    validity_text=VALIDITY_TEXT,
    notes=(
        "ALL OF THIS SHEET: WITH DC CHARGING.",
        "CONTACTS AND PILOT VALUES: SHEET 6. AC CONTACTS OF THE INLET ARE UNUSED.",
    ),
    bodies=_BODIES,
    wires=_WIRES,
    words=(WordPlan("(WITH DC CHARGING)", MmPoint(78, 40), 1.75, "centre"),),
    cautions=(
        CautionPlan(
            MmPoint(14, 163),
            (
                "AN INLET WITH POWER LEADS ONLY IS NOT FITTED:",
                "LOCK, EARTH, PILOT, PROXIMITY AND BOTH SENSORS BELONG TO IT.",
                "KEEP THESE LEADS 50 MM FROM ORANGE ONES.",
            ),
        ),
    ),
)
