"""The job as a person has left it half way: what is boxed, named, linked and confirmed, and what stands open.

Sheets 1, 2 and 4 are done, sheets 3, 5 and 6 are begun. Open on purpose:

- two names on one net: sheet 2 prints STOP, sheet 3 BRAKE LP, and the person took over both;
- one name on two nets: REVERSE on sheet 2, and again at contact 8 of the socket, behind the trailer module;
- two colours on one lead: arrow C is GY/RD on sheet 1 and GY on sheet 4;
- contact 12 of the socket meets no conductor, the link of arrow H to sheet 6 has no other end yet, the
  pairs of X14 are worked out from its numbers and only two were looked at, sheet 6 is of other years;
- the survey has been at the rear fuse box, at X14 and at the plug of the trailer module.
"""

from __future__ import annotations

from pathlib import Path

from drawing.circuits import note_circuits
from drawing.marks import Marker
from drawing.plan import BodyPlan
from drawing.workshop import choose, lay_out

from loomfolio.project import Known, Project, edits
from parcel_van.circuits import CIRCUITS
from parcel_van.job import add_cable_groups, begun, mate_x14
from parcel_van.sheets import SHEETS
from parcel_van.survey import LOOKED_AT, record_survey
from parcel_van.work import WORKSHOP

_DONE = (1, 2, 4)
_BY_STANDARD = Known(how="standard", source="ISO 11446-1")
_BEGUN: dict[int, dict[str, tuple[str, ...] | None]] = {
    3: {
        "A27 C1": ("1", "2", "3", "4", "5", "6", "7", "8", "9", "12"),
        "A31 C1": None,
        "GND2": None,
    },
    5: {"K41": None, "A1 C2": ("8", "17"), "X14.A": ("9",), "X14.B": ("6",)},
    6: {"X70": ("1", "2", "6"), "GND1": None},
}
"""Bodies boxed on the sheets that are begun, with the pins numbered so far (None: all)."""

_NAMES = (
    (1, "F1:2", "SUPPLY 30"),
    (1, "KL15:1", "SUPPLY 15"),
    (2, "A1 C1:3", "L IND"),
    (2, "A1 C1:4", "R IND"),
    (2, "A1 C1:7", "STOP"),
    (2, "A1 C1:8", "FOG"),
    (2, "A1 C1:9", "REVERSE"),
    (3, "A27 C1:5", "BRAKE LP"),
    (4, "X90:1", "IND. LEFT"),
    (4, "X90:2", "REAR FOG"),
    (4, "X90:4", "IND. RIGHT"),
    (4, "X90:6", "STOP"),
    (4, "X90:8", "REVERSE"),
    (4, "X90:9", "PERM. 12 V"),
    (4, "X90:10", "SWITCHED 12 V"),
)
"""Names taken over from the print: sheet, pin, name."""

_LINKED = (
    ("A", 1, 3),
    ("B", 1, 4),
    ("C", 1, 4),
    ("D", 1, 3),
    ("E", 2, 3),
    ("J", 2, 3),
    ("L", 2, 3),
)
_SEEN_PAIRS = ("5=10", "7=8")
_CONFIRMED_CROSSINGS = ("A27 C2:3", "A27 C2:5", "X90:9")


def half_way_project(folder: Path) -> Project:
    """Return the document as it is shipped; `folder` is the project folder with the drawn pages."""
    marker = begun(folder)
    for plan in SHEETS:
        for body in plan.bodies:
            _box(marker, plan.number, body)
    _put_names(marker)
    for number in (1, 4):
        for wire in SHEETS[number - 1].wires:
            marker.note(number, wire)
    for letter, source, target in _LINKED:
        marker.link(letter, source, target)
    marker.link("F", 2, 3, known=Known(how="inferred"))
    marker.link("H", 2, None)
    mate = mate_x14(marker, known=Known(how="inferred"))
    for pair in _SEEN_PAIRS:
        marker.project = edits.confirm(
            marker.project,
            piece="mate",
            record=mate,
            detail=pair,
            known=Known(how="seen", source="The van in the workshop"),
        ).project
    add_cable_groups(marker)
    _confirm(marker)
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


def _put_names(marker: Marker) -> None:
    for number, pin, name in _NAMES:
        marker.name(number, pin, name)
    marker.name(4, "X90:5", "TAIL RIGHT", known=_BY_STANDARD)
    marker.name(2, "A1 C1:5", "L TAIL", known=Known(how="inferred"))


def _confirm(marker: Marker) -> None:
    """What was looked at so far: the dots of the supply, and three leads of the socket."""
    for node in ("@plus", "@f12", "@f27", "@f31"):
        marker.confirm_node(1, node)
    for pin in _CONFIRMED_CROSSINGS:
        marker.confirm_crossings(4, pin)
