"""Sheet 6: connector faces, the contacts of the inlet, the pilot's values, the colour letters."""

from __future__ import annotations

from drawing.plan import CautionPlan, FacePlan, SheetPlan, TablePlan

from loomfolio.basics import MmPoint
from orchard_tractor.publication import RAD_40E, VALID_FOR, VALIDITY_TEXT


def _row(first: int, last: int) -> tuple[str, ...]:
    """Cavity numbers from first to last, counting up or down."""
    step = 1 if last >= first else -1
    return tuple(str(number) for number in range(first, last + step, step))


_FACES = (
    FacePlan(
        "X62  B",
        ("LV PLUG OF THE JUNCTION BOX",),
        MmPoint(16, 42),
        (_row(1, 3), _row(4, 6)),
        "WIRE SIDE",
        half=("X62", "", "B"),
    ),
    FacePlan(
        "X61  B",
        ("HV PLUG; 3, 4: INTERLOCK",),
        MmPoint(88, 42),
        (_row(2, 1), _row(4, 3)),
        "MATING SIDE",
        half=("X61", "", "B"),
    ),
    FacePlan(
        "A50  C2",
        ("VEHICLE CONTROLLER",),
        MmPoint(16, 92),
        (_row(1, 6), _row(7, 12)),
        "WIRE SIDE",
        frozenset({"9"}),
        half=("A50", "C2", ""),
    ),
    FacePlan(
        "A40  C1",
        ("CHARGE CONTROLLER",),
        MmPoint(88, 92),
        (_row(7, 1), _row(14, 8)),
        "MATING SIDE",
        half=("A40", "C1", ""),
    ),
    FacePlan(
        "A40  C2",
        ("CHARGE CONTROLLER",),
        MmPoint(16, 142),
        (_row(1, 12),),
        "",
        half=("A40", "C2", ""),
    ),
)

CONTACTS = TablePlan(
    at=MmPoint(172, 30),
    columns_mm=(0.0, 14.0, 74.0, 93.0, 113.0),
    head=("X95", "FUNCTION", "COLOUR", "MM2"),
    rows=(
        ("DC+", "DC PLUS", "OG", "70"),
        ("DC-", "DC MINUS", "OG", "70"),
        ("PE", "PROTECTIVE EARTH", "GN/YE", "16"),
        ("CP", "CONTROL PILOT", "WH", "0.75"),
        ("PP", "PROXIMITY", "BU", "0.5"),
        ("L1 - L3, N", "UNUSED IN DC CHARGING", "", ""),
    ),
)

PILOT = TablePlan(
    at=MmPoint(172, 76),
    columns_mm=(0.0, 14.0, 68.0, 88.0, 113.0),
    head=("STATE", "CONTROL PILOT", "VOLTS", "OHM"),
    rows=(
        ("A", "NO VEHICLE", "12", ""),
        ("B", "CONNECTED, NOT READY", "9", "2740"),
        ("C", "CHARGING", "6", "882"),
        ("D", "CHARGING, VENTILATED", "3", "246"),
        ("E", "SHORT TO EARTH, NO POWER", "0", ""),
        ("F", "STATION NOT AVAILABLE", "-12", ""),
    ),
)

_LETTERS = TablePlan(
    at=MmPoint(172, 122),
    columns_mm=(0.0, 14.0, 56.5, 70.5, 113.0),
    head=("", "COLOUR", "", "COLOUR"),
    rows=(
        ("BK", "BLACK", "BU", "BLUE"),
        ("BN", "BROWN", "VT", "VIOLET"),
        ("RD", "RED", "GY", "GREY"),
        ("OG", "ORANGE: HIGH VOLTAGE", "WH", "WHITE"),
        ("YE", "YELLOW", "PK", "PINK"),
        ("GN", "GREEN", "TQ", "TURQUOISE"),
    ),
)

SHEET = SheetPlan(
    number=6,
    title="Connector faces, inlet contacts",
    file="6-connector-faces.png",
    publication=RAD_40E,
    dpi=200,
    skew_degrees=-0.18,
    seed=1106,
    kind="connector faces",
    valid_for=VALID_FOR,
    validity_text=VALIDITY_TEXT,
    notes=("COLOUR LETTERS AFTER IEC 60757; BASE / STRIPE.", "CROSSED CAVITY: PLUGGED."),
    faces=_FACES,
    tables=(CONTACTS, PILOT, _LETTERS),
    cautions=(
        CautionPlan(
            MmPoint(14, 172),
            (
                "CONTACTS OF X61: NOT TOUCHED, ALSO WITH THE PLUG OUT.",
                "MEASURE WITH A METER OF CAT III 1000 V.",
            ),
        ),
    ),
)
