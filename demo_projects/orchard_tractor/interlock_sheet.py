"""Sheet 2: the interlock loop of the high-voltage plugs, closed today by the bridge in a dummy plug."""

from __future__ import annotations

from drawing.plan import BodyPlan, CautionPlan, PanelPlan, PinSpot, SheetPlan, WirePlan, WordPlan

from loomfolio.basics import MmBox, MmPoint
from orchard_tractor.publication import RAD_40E, VALID_FOR, VALIDITY_TEXT

_OUT_Y, _BACK_Y = 88.0, 138.0
_COLOUR = "VT/WH"


def _plugged(name: str, x: float, *words: str) -> BodyPlan:
    """A module through whose plug the loop runs."""
    return BodyPlan(
        part=name,
        connector="C1",
        look="module part",
        box=MmBox(x, 79, x + 32, 105),
        pins=(PinSpot("1", "left", _OUT_Y), PinSpot("2", "right", _OUT_Y)),
        words=words,
    )


_BODIES = (
    BodyPlan(
        part="A50",
        connector="C1",
        look="module part",
        box=MmBox(14, 36, 52, 152),
        pins=(
            PinSpot("11", "right", 48, "LOOP OUT"),
            PinSpot("12", "right", _BACK_Y, "LOOP IN"),
        ),
        words=("VEHICLE CONTROLLER",),
    ),
    BodyPlan(
        part="S80",
        look="link",
        box=MmBox(68, 54, 86, 74),
        pins=(PinSpot("1", "top", 78), PinSpot("2", "bottom", 78)),
        words=("SERVICE", "DISCONNECT"),
        words_at=MmPoint(88.5, 60),
    ),
    _plugged("U1", 100, "DRIVE INVERTER"),
    _plugged("U2", 150, "ON-BOARD CHARGER"),
    BodyPlan(
        part="X62",
        half="B",
        look="in-line left",
        box=MmBox(202, 78, 214, 148),
        pins=(PinSpot("4", "left", _OUT_Y), PinSpot("5", "left", _BACK_Y)),
        words=("LV PLUG",),
    ),
    BodyPlan(
        part="X62",
        half="A",
        look="in-line right",
        box=MmBox(214, 78, 226, 148),
        pins=(PinSpot("4", "right", _OUT_Y), PinSpot("5", "right", _BACK_Y)),
    ),
    BodyPlan(
        part="X61",
        half="A",
        look="in-line left",
        box=MmBox(246, 78, 258, 148),
        pins=(PinSpot("3", "left", _OUT_Y), PinSpot("4", "left", _BACK_Y)),
        words=("HV PLUG 1)",),
    ),
    BodyPlan(
        part="X61",
        half="B",
        look="in-line right",
        box=MmBox(258, 78, 270, 148),
        pins=(PinSpot("3", "right", _OUT_Y), PinSpot("4", "right", _BACK_Y)),
    ),
)


def _run(a: str, b: str, label_x: float, y: float = _OUT_Y, *via: MmPoint) -> WirePlan:
    return WirePlan(a, b, via=via, colour=_COLOUR, area_mm2=0.5, label_at=MmPoint(label_x, y))


_WIRES = (
    _run("A50 C1:11", "S80:1", 62, 48, MmPoint(78, 48)),
    _run("S80:2", "U1 C1:1", 90, _OUT_Y, MmPoint(78, _OUT_Y)),
    _run("U1 C1:2", "U2 C1:1", 141),
    _run("U2 C1:2", "X62.B:4", 192),
    WirePlan("X62.A:4", "X61.A:3"),
    WirePlan("X61.B:3", "X61.B:4", via=(MmPoint(280, _OUT_Y), MmPoint(280, _BACK_Y))),
    WirePlan("X61.A:4", "X62.A:5"),
    _run("X62.B:5", "A50 C1:12", 120, _BACK_Y),
)

SHEET = SheetPlan(
    number=2,
    title="Interlock loop",
    file="2-interlock.png",
    publication=RAD_40E,
    dpi=200,
    skew_degrees=0.22,
    seed=1102,
    valid_for=VALID_FOR,
    validity_text=VALIDITY_TEXT,
    notes=(
        "1) HALF B: DUMMY PLUG (EXCEPT DC CHARGING); PLUG OF W95 (WITH DC CHARGING).",
        "THE BRIDGE 3 - 4 IS PART OF EITHER PLUG.",
    ),
    bodies=_BODIES,
    wires=_WIRES,
    words=(
        WordPlan("BRIDGE", MmPoint(283, 113), 1.75, "centre", is_turned=True),
        WordPlan("12 V, 10 MA; OPEN: CONTACTORS FALL WITHIN 50 MS", MmPoint(76, 144), 1.75),
    ),
    panels=(PanelPlan(MmBox(214, 62, 258, 158), "A60   JUNCTION BOX"),),
    cautions=(
        CautionPlan(
            MmPoint(14, 163),
            (
                "THE LOOP PROVES THAT EVERY HIGH-VOLTAGE PLUG IS HOME.",
                "NO LEAD IS JOINED TO IT, IT IS NOT TAPPED AND NOT BRIDGED.",
                "A DUMMY PLUG COMES OUT ONLY WITH THE SYSTEM PROVED DEAD.",
            ),
        ),
    ),
)
