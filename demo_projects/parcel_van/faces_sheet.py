"""Sheet 7: connector faces (one printed without saying from which side), the socket's contacts, the colour letters."""

from __future__ import annotations

from drawing.plan import FacePlan, SheetPlan, TablePlan

from loomfolio.basics import MmPoint
from loomfolio.project import ValidFor
from parcel_van.publication import PAKKA_E3


def _row(first: int, last: int) -> tuple[str, ...]:
    """Cavity numbers from first to last, counting up or down."""
    step = 1 if last >= first else -1
    return tuple(str(number) for number in range(first, last + step, step))


_FACES = (
    FacePlan(
        "X14  A",
        ("FRONT LOOM",),
        MmPoint(14, 42),
        (_row(1, 7), _row(8, 14)),
        "WIRE SIDE",
        half=("X14", "", "A"),
    ),
    FacePlan(
        "X14  B",
        ("REAR LOOM",),
        MmPoint(88, 42),
        (_row(8, 14), _row(1, 7)),
        "WIRE SIDE",
        half=("X14", "", "B"),
    ),
    FacePlan(
        "A27  C1",
        ("TRAILER MODULE",),
        MmPoint(14, 90),
        (_row(9, 1), _row(18, 10)),
        "MATING SIDE",
        half=("A27", "C1", ""),
    ),
    FacePlan(
        "A27  C2",
        ("TRAILER MODULE",),
        MmPoint(96, 90),
        (_row(1, 8),),
        "",
        half=("A27", "C2", ""),
    ),
    FacePlan(
        "A1  C2",
        ("BODY CONTROLLER",),
        MmPoint(14, 140),
        (_row(1, 13), _row(14, 26)),
        "WIRE SIDE",
        frozenset({"17"}),
        half=("A1", "C2", ""),
    ),
    FacePlan(
        "X70",
        ("JOINT CONNECTOR, BARS 1 TO 6, 7 TO 12",),
        MmPoint(118, 140),
        (_row(1, 6), _row(7, 12)),
        "WIRE SIDE",
        frozenset({"7", "11"}),
        half=("X70", "", ""),
    ),
)

_CONTACTS = TablePlan(
    at=MmPoint(190, 30),
    columns_mm=(0.0, 14.0, 64.0, 82.0, 95.0),
    head=("X90", "FUNCTION", "COLOUR", "MM2"),
    rows=(
        ("1", "INDICATOR, LEFT", "YE", "1.5"),
        ("2", "REAR FOG LAMP", "BU", "1.5"),
        ("3", "GROUND FOR 1 TO 8", "WH", "2.5"),
        ("4", "INDICATOR, RIGHT", "GN", "1.5"),
        ("5", "TAIL LAMP, RIGHT", "BN", "1.5"),
        ("6", "STOP LAMPS", "RD", "1.5"),
        ("7", "TAIL LAMP, LEFT", "BK", "1.5"),
        ("8", "REVERSING LAMP", "PK", "1.5"),
        ("9", "PERMANENT SUPPLY", "OG", "2.5"),
        ("10", "SWITCHED SUPPLY", "GY", "2.5"),
        ("11", "GROUND FOR 10", "WH/BK", "2.5"),
        ("12", "NOT ASSIGNED", "", ""),
        ("13", "GROUND FOR 9", "WH/RD", "2.5"),
    ),
)

_LETTERS = TablePlan(
    at=MmPoint(190, 112),
    columns_mm=(0.0, 12.0, 47.5, 59.5, 95.0),
    head=("", "COLOUR", "", "COLOUR"),
    rows=(
        ("BK", "BLACK", "BU", "BLUE"),
        ("BN", "BROWN", "VT", "VIOLET"),
        ("RD", "RED", "GY", "GREY"),
        ("OG", "ORANGE", "WH", "WHITE"),
        ("YE", "YELLOW", "PK", "PINK"),
        ("GN", "GREEN", "TQ", "TURQUOISE"),
    ),
)

SHEET = SheetPlan(
    number=7,
    title="Connector faces",
    file="7-connector-faces.png",
    publication=PAKKA_E3,
    dpi=200,
    skew_degrees=0.21,
    seed=707,
    kind="connector faces",
    valid_for=ValidFor(make="Brenvik", model="Pakka e3", year_from=2022, year_to=2024, market="EU"),
    validity_text="MODEL YEARS, 2022 - 2024 EU",
    notes=("COLOUR LETTERS AFTER IEC 60757; BASE / STRIPE.", "CROSSED CAVITY: PLUGGED."),
    faces=_FACES,
    tables=(_CONTACTS, _LETTERS),
)
