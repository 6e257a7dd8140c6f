"""The job on the van, up to the first mark: vehicle, fits, parts, references, sheets. And everything marked."""

from __future__ import annotations

from pathlib import Path
from typing import Literal, cast

from drawing.marks import Marker, add_sheets, all_crossings
from drawing.plan import SheetPlan
from drawing.wiring import arrow_pairs

from loomfolio.basics import MmPoint
from loomfolio.project import (
    Cavity,
    Connector,
    Half,
    HalfKey,
    Job,
    Known,
    PinPair,
    Project,
    Vehicle,
    edits,
)
from parcel_van.parts import (
    CHASSIS,
    NET_NAMES,
    PAIRS,
    SENSOR_GROUND,
    THINGS,
    TOWING,
    X14_PAIRS,
    Thing,
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
    for thing in THINGS:
        project = _with_part(project, thing, references)
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
            scope=(HalfKey(part=marker.pin_key("X90:1").part),),
            fit="with towing",
            cautions=CAUTIONS,
        ),
    )
    return marker


def _with_part(project: Project, thing: Thing, references: dict[str, str]) -> Project:
    return edits.add_part(
        project,
        name=thing.name,
        kind=thing.kind,
        connectors=_connectors(thing),
        ways=thing.ways,
        reference=references.get(thing.reference),
        when=thing.when,
        note=thing.note,
        known=Known(how="printed"),
    ).project


def _connectors(thing: Thing) -> tuple[Connector, ...]:
    """The connectors and halves that the sheets draw, with the cavities that depend on options."""
    halves: dict[str, set[str]] = {}
    for plan in SHEETS:
        for body in plan.bodies:
            if body.part == thing.name:
                halves.setdefault(body.connector, set()).add(body.half)
    return tuple(
        Connector(
            name=connector,
            halves=tuple(
                Half(name=half, cavities=_cavities(thing, connector, half))
                for half in sorted(halves[connector])
            ),
        )
        for connector in sorted(halves)
    )


def _cavities(thing: Thing, connector: str, half: str) -> tuple[Cavity, ...]:
    return tuple(
        Cavity(pin=pin, when=when, known=Known(how="printed"))
        for of_connector, of_half, pin, when in thing.conditions
        if (of_connector, of_half) == (connector, half)
    )


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
    """Return the document with everything marked and confirmed.

    Parameters
    ----------
    folder
        The project folder, in whose `sheets/` the drawn pages lie.
    reading_on
        False: no sheet is read, every conductor is drawn by hand. True: the sheets are left to the reader.
    """
    marker = begun(folder)
    for plan in SHEETS:
        for body in plan.bodies:
            marker.box(plan.number, body)
        for wire in plan.wires:
            marker.note(plan.number, wire)
            if not reading_on:
                marker.draw(plan.number, wire)
        for node, _ in plan.nodes:
            if node.startswith("@"):
                marker.confirm_node(plan.number, node)
        for at in all_crossings(plan):
            marker.confirm_at("crossing", plan.number, at)
    for letter, source, target in arrow_pairs(SHEETS):
        marker.link(letter, source, target)
    mate_x14(marker, known=Known())
    add_cable_groups(marker)
    for pin, name in NET_NAMES.items():
        marker.name(_first_sheet_with(pin).number, pin, name)
    marker.accept(_open_contact(marker), UNASSIGNED)
    return marker.project if reading_on else _unread(marker.project)


def _first_sheet_with(pin: str) -> SheetPlan:
    return next(plan for plan in SHEETS if any(pin in (w.a, w.b) for w in plan.wires))


def _open_contact(marker: Marker) -> str:
    """The key of the finding that contact 12 of the socket meets no conductor."""
    return f"pin on no conductor: X90:12 on {marker.anchor(4, MmPoint(0, 0)).sheet}"


def _unread(project: Project) -> Project:
    for sheet in project.sheets:
        project = edits.change_sheet(project, sheet.model_copy(update={"is_read": False}))
    return project
