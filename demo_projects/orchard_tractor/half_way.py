"""The job as a person has left it half way: what is boxed, named, linked and confirmed, and what stands open.

Sheets 1, 2 and 3 are done, sheets 4 and 5 are begun. Open on purpose:

- the pairs of X62 are worked out from its numbers and only two were looked at;
- arrow A on sheet 5 has no other end yet;
- the survey has been at the junction box and at the fuse box, not yet at the vehicle controller.
"""

from __future__ import annotations

from pathlib import Path

from drawing.circuits import note_circuits
from drawing.marks import Marker
from drawing.plan import BodyPlan
from drawing.workshop import choose, lay_out

from loomfolio.project import Known, Project, edits
from orchard_tractor.circuits import CIRCUITS
from orchard_tractor.job import add_looms, begun, mate
from orchard_tractor.sheets import SHEETS
from orchard_tractor.survey import LOOKED_AT, record_survey
from orchard_tractor.work import WORKSHOP

_DONE = (1, 2, 3)
_BY_STANDARD = Known(how="standard", source="IEC 62196-3")
_BEGUN: dict[int, dict[str, tuple[str, ...] | None]] = {
    4: {
        "A40 C1": ("1", "2", "3", "4", "5", "6", "7"),
        "A50 C2": ("3", "4", "9"),
        "X62.B": None,
        "X62.A": None,
        "K81": None,
        "K82": None,
        "GND2": None,
    },
    5: {"F42": None, "J1": ("1", "5"), "F90": None},
}
"""Bodies boxed on the sheets that are begun, with the pins numbered so far (None: all)."""

_NAMES = (
    (1, "F80:2", "HV +"),
    (1, "G2:-", "HV -"),
    (2, "A50 C1:11", "LOOP OUT"),
    (2, "A50 C1:12", "LOOP IN"),
    (3, "A40 C2:4", "LOCK"),
    (3, "A40 C2:8", "T1 +"),
    (3, "A40 C2:9", "T1 -"),
    (3, "A40 C2:10", "T2 +"),
    (4, "A50 C2:9", "DC WAKE"),
)
"""Names taken over from the print: sheet, pin, name."""
_FROM_THE_STANDARD = (
    (1, "X95:DC+", "DC PLUS"),
    (1, "X95:DC-", "DC MINUS"),
    (3, "X95:CP", "CONTROL PILOT"),
    (3, "X95:PP", "PROXIMITY"),
    (3, "X95:PE", "PROTECTIVE EARTH"),
)
_SEEN_PAIRS = ("4=4", "5=5")
_CONFIRMED_CROSSINGS = ("M95:1", "M95:2", "M95:3")


def half_way_project(folder: Path) -> Project:
    """Return the document as it is shipped; `folder` is the project folder with the drawn pages."""
    marker = begun(folder)
    for plan in SHEETS:
        for body in plan.bodies:
            _box(marker, plan.number, body)
    for number, pin, name in _NAMES:
        marker.name(number, pin, name)
    for number, pin, name in _FROM_THE_STANDARD:
        marker.name(number, pin, name, known=_BY_STANDARD)
    for number in _DONE:
        for wire in SHEETS[number - 1].wires:
            marker.note(number, wire)
    marker.link("A", 5, None)
    mate(marker, "X61", known=Known(how="printed"))
    low_voltage = mate(marker, "X62", known=Known(how="inferred"))
    for pair in _SEEN_PAIRS:
        marker.project = edits.confirm(
            marker.project,
            piece="mate",
            record=low_voltage,
            detail=pair,
            known=Known(how="seen", source="The tractor in the yard"),
        ).project
    add_looms(marker)
    for pin in _CONFIRMED_CROSSINGS:
        marker.confirm_crossings(3, pin)
    record_survey(marker, LOOKED_AT)
    note_circuits(marker, CIRCUITS)
    lay_out(marker, WORKSHOP)
    choose(marker, WORKSHOP.choices)
    return marker.project


def _box(marker: Marker, number: int, body: BodyPlan) -> None:
    half = f".{body.half}" if body.half else ""
    begun_here = _BEGUN.get(number, {})
    name = f"{body.half_text}{half}"
    if number in _DONE:
        marker.box(number, body)
    elif name in begun_here:
        marker.box(number, body, pins=begun_here[name])
