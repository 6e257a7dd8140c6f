"""The job on the van, up to the first mark: vehicle, fits, parts, references, sheets. And everything marked."""

from __future__ import annotations

from pathlib import Path
from typing import Literal, cast

from drawing.circuits import note_circuits
from drawing.marks import Marker, add_sheets, first_sheet_with, mark_all
from drawing.things import add_parts

from loomfolio.basics import MmPoint
from loomfolio.project import (
    Job,
    Known,
    PinPair,
    Project,
    Vehicle,
    edits,
)
from loomfolio.retrofit import about
from parcel_van.circuits import CIRCUITS
from parcel_van.parts import (
    CHASSIS,
    NET_NAMES,
    PAIRS,
    SENSOR_GROUND,
    THINGS,
    TOWING,
    X14_PAIRS,
)
from parcel_van.sheets import SHEETS

VEHICLE = Vehicle(
    make="Brenvik",
    model="Pakka e3",
    year=2023,
    market="EU",
    note="Built without towing. Fleet number 17.",
)
CAUTIONS = (
    "Take G1 minus off before work at the rear fuse and relay box; wait until U1 has gone to sleep.",
    "SG1 is the ground of the sensors: nothing of the trailer may be joined to it.",
    "Do not drill or weld near the traction battery under the load floor.",
)
_SCOPE = ("X90", "A27 C1", "A27 C2", "B14")
FUSE_IN_LINE = (
    "So drawn: K41 feeds the socket past F1 alone. A fuse holder with 20 A goes into the new lead in line,"
    " less than 180 mm from K41:87, before F1 is put back."
)
UNASSIGNED = "Contact 12 of the socket is not assigned (ISO 11446-1); it stays empty."


def begun(folder: Path) -> Marker:
    """Return the job with its parts and sheets, and no mark on any of them yet."""
    project = Project()
    references: dict[str, str] = {}
    kinds: tuple[tuple[str, Literal["chassis", "sensor ground"]], ...] = (
        (CHASSIS, "chassis"),
        (SENSOR_GROUND, "sensor ground"),
    )
    for name, kind in kinds:
        project, references[name] = edits.add_reference(project, name=name, kind=kind)
    project = add_parts(project, THINGS, SHEETS, references)
    project = edits.add_fit(project, name="base", options_without=(TOWING,)).project
    project = edits.add_fit(project, name="with towing", options_with=(TOWING,)).project
    project = edits.add_specimen(
        project, name="The van in the workshop", kind="this vehicle", vehicle=VEHICLE
    ).project
    project, sheet_ids = add_sheets(project, SHEETS, folder)
    marker = Marker(project, SHEETS, sheet_ids)
    marker.project = edits.set_job(
        project,
        Job(
            title="13-pin trailer socket for a parcel van",
            option="Towing",
            vehicle=VEHICLE,
            scope=tuple(marker.pin_key(f"{name}:1").half_key for name in _SCOPE),
            fit="with towing",
            target_fit="with towing",
            vehicle_fit="base",
            cautions=CAUTIONS,
        ),
    )
    return marker


def mate_x14(marker: Marker, *, known: Known) -> str:
    """Mate the two halves of X14, which are numbered against each other; return the id of the mate."""
    a, b = (marker.pin_key(pin).half_key for pin in ("X14.A:1", "X14.B:1"))
    pairs = tuple(PinPair(a=one, b=other) for one, other in X14_PAIRS)
    added = edits.add_mate(marker.project, a=a, b=b, pairs=pairs, known=known)
    marker.project = added.project
    return added.id


def add_cable_groups(marker: Marker) -> None:
    """Say which leads are twisted together and which are screened."""
    for name, (kind, pairs, screen_ends) in PAIRS.items():
        marker.project = edits.add_group(
            marker.project,
            name=name,
            kind=cast(Literal["twist", "screen"], kind),
            pins=tuple((marker.pin_key(a), marker.pin_key(b)) for a, b in pairs),
            screen_ends=tuple(marker.pin_key(pin) for pin in screen_ends),
            known=Known(how="printed"),
        ).project


def complete_project(folder: Path, *, reading_on: bool) -> Project:
    """Return the document with everything marked and confirmed, and nothing looked at on the van yet.

    Parameters
    ----------
    folder
        The project folder, in whose `sheets/` the drawn pages lie.
    reading_on
        False: no sheet is read, every conductor is drawn by hand. True: the sheets are left to the reader.
    """
    return marked(folder, reading_on=reading_on).project


def marked(folder: Path, *, reading_on: bool) -> Marker:
    """Return the complete job still in the hand that marks it; see `complete_project`."""
    marker = begun(folder)
    mark_all(marker, SHEETS, draw_wires=not reading_on)
    mate_x14(marker, known=Known())
    add_cable_groups(marker)
    for pin, name in NET_NAMES.items():
        marker.name(first_sheet_with(SHEETS, pin).number, pin, name)
    marker.accept(_open_contact(marker), UNASSIGNED)
    note_circuits(marker, CIRCUITS)
    marker.accept(_unfused_lead(marker), FUSE_IN_LINE)
    return marker


def _open_contact(marker: Marker) -> str:
    """The key of the finding that contact 12 of the socket meets no conductor."""
    return f"pin on no conductor: X90:12 on {marker.anchor(4, MmPoint(0, 0)).sheet}"


def _unfused_lead(marker: Marker) -> str:
    """The key of the finding that the lead from the supply relay to the socket has no fuse of its size."""
    ends = (marker.pin_key("K41:87"), marker.pin_key("X90:10"))
    return f"rule fuse: area: {about(*ends)}"
