"""The job on the tractor, up to the first mark: vehicle, fits, parts, references, sheets. And everything marked."""

from __future__ import annotations

from pathlib import Path

from drawing.circuits import note_circuits
from drawing.marks import Marker, add_sheets, first_sheet_with, mark_all
from drawing.things import add_parts

from loomfolio.project import HalfKey, Job, Known, PinPair, Project, Vehicle, edits
from orchard_tractor.circuits import CIRCUITS
from orchard_tractor.parts import (
    CHASSIS,
    GROUPS,
    HARNESS,
    NET_NAMES,
    PAIRS,
    THINGS,
)
from orchard_tractor.publication import OPTION
from orchard_tractor.sheets import SHEETS

VEHICLE = Vehicle(
    make="Orrfelt",
    model="Rad 40e",
    year=2022,
    market="EU",
    note="Narrow orchard tractor, built without DC charging.",
)
CAUTIONS = (
    "350 V DC: orange leads by trained people only, never alone.",
    "Cable out, key kept away, 12 V off; U3 feeds 12 V from 350 V.",
    "S80 out and locked away. Wait 10 minutes, or the maker's time.",
    "Prove dead: meter, circuit, meter. Above 60 V: stop.",
    "G2 is always live.",
    "W95 is fitted whole. No joint, tap, fuse or repair in orange leads.",
    "Nothing is joined to the interlock loop; it is never bridged.",
    "High voltage is not earthed to the chassis. Bond GND4: below 0.1 ohm.",
    "Inlet with lock, earth, pilot, proximity and both temperature sensors, or not at all.",
    "New leads 50 mm from orange ones.",
    "Afterwards isolation: at least 100 ohm per volt.",
)
_SCOPE = ("X95", "X61.B", "A40 C1", "A40 C2", "M95", "B95", "B96")


def begun(folder: Path) -> Marker:
    """Return the job with its parts and sheets, and no mark on any of them yet."""
    project = Project()
    project, chassis = edits.add_reference(project, name=CHASSIS, kind="chassis")
    project = add_parts(project, THINGS, SHEETS, {CHASSIS: chassis})
    project = edits.add_fit(project, name="base", options_without=(OPTION,)).project
    project = edits.add_fit(project, name="with DC charging", options_with=(OPTION,)).project
    project = edits.add_specimen(
        project, name="The tractor in the yard", kind="this vehicle", vehicle=VEHICLE
    ).project
    project, sheet_ids = add_sheets(project, SHEETS, folder)
    marker = Marker(project, SHEETS, sheet_ids)
    marker.project = edits.set_job(
        project,
        Job(
            title="DC charging inlet for an orchard tractor",
            option="DC charging",
            vehicle=VEHICLE,
            scope=tuple(half(marker, name) for name in _SCOPE),
            fit="with DC charging",
            target_fit="with DC charging",
            vehicle_fit="base",
            cautions=CAUTIONS,
        ),
    )
    return marker


def half(marker: Marker, name: str) -> HalfKey:
    """Return the key of a half written as on the plans, without a pin."""
    return marker.pin_key(f"{name}:1").half_key


def mate(marker: Marker, name: str, *, known: Known) -> str:
    """Mate the two halves of an in-line connector, n to n; return the id of the mate."""
    added = edits.add_mate(
        marker.project,
        a=half(marker, f"{name}.A"),
        b=half(marker, f"{name}.B"),
        pairs=tuple(PinPair(a=a, b=b) for a, b in PAIRS[name]),
        known=known,
    )
    marker.project = added.project
    return added.id


def add_looms(marker: Marker) -> None:
    """Say which leads are twisted, and which are one assembly with a part number."""
    for name, (kind, pairs) in GROUPS.items():
        marker.project = edits.add_group(
            marker.project,
            name=name,
            kind=kind,
            pins=tuple((marker.pin_key(a), marker.pin_key(b)) for a, b in pairs),
            known=Known(how="printed"),
        ).project
    name, number, ends = HARNESS
    marker.project = edits.add_harness(
        marker.project,
        name=name,
        part_number=number,
        ends=tuple(half(marker, end) for end in ends),
        when=OPTION,
    ).project


def complete_project(folder: Path, *, reading_on: bool) -> Project:
    """Return the document with everything marked and confirmed, and nothing looked at on the tractor yet.

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
    for name in PAIRS:
        mate(marker, name, known=Known())
    add_looms(marker)
    for pin, name in NET_NAMES.items():
        marker.name(first_sheet_with(SHEETS, pin).number, pin, name)
    note_circuits(marker, CIRCUITS)
    return marker
