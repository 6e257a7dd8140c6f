"""What the things on the sheets are, as data, and how they come into a document as parts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from drawing.plan import FacePlan, SheetPlan
from loomfolio.project import (
    Cavity,
    Connector,
    Face,
    FaceSide,
    Half,
    InnerPin,
    InnerWay,
    Known,
    PartKind,
    Project,
    edits,
)

_PRINTED = Known(how="printed")


@dataclass(frozen=True, slots=True)
class Thing:
    """A part: `conditions` are (connector, half, pin, condition) of pins that are not in every vehicle.

    `connector_conditions` are (connector, condition) of connectors that are not in every vehicle as a whole.
    """

    name: str
    kind: PartKind
    note: str
    ways: tuple[InnerWay, ...] = ()
    reference: str = ""
    when: str = ""
    conditions: tuple[tuple[str, str, str, str], ...] = ()
    connector_conditions: tuple[tuple[str, str], ...] = ()


def way(
    relation: str,
    *pins: str,
    at_rest: str = "unknown",
    label: str = "",
    when: str = "",
    connector: str = "",
) -> InnerWay:
    """Return a way inside a part between pins of one of its connectors."""
    return InnerWay.model_validate(
        {
            "relation": relation,
            "pins": tuple(InnerPin(connector=connector, pin=pin) for pin in pins),
            "at_rest": at_rest,
            "label": label,
            "when": when,
        }
    )


def fuse(name: str, note: str, conditions: tuple[tuple[str, str, str, str], ...] = ()) -> Thing:
    """Return a fuse with its two pins."""
    ways = (way("passes", "1", "2", at_rest="closed"),)
    return Thing(name, "fuse", note, ways, conditions=conditions)


def sensor(name: str, note: str, when: str = "") -> Thing:
    """Return a sensor between two pins."""
    return Thing(name, "sensor", note, (way("loads", "1", "2"),), when=when)


def add_parts(
    project: Project,
    things: Sequence[Thing],
    sheets: Sequence[SheetPlan],
    references: Mapping[str, str],
) -> Project:
    """Return the document with all things as parts; `references` are the ids of the nodes by name."""
    for thing in things:
        project = edits.add_part(
            project,
            name=thing.name,
            kind=thing.kind,
            connectors=_connectors(thing, sheets),
            ways=thing.ways,
            reference=references.get(thing.reference),
            when=thing.when,
            note=thing.note,
            known=_PRINTED,
        ).project
    return project


def _connectors(thing: Thing, sheets: Sequence[SheetPlan]) -> tuple[Connector, ...]:
    """The connectors and halves that the sheets draw, with the cavities that depend on options."""
    halves: dict[str, set[str]] = {}
    for plan in sheets:
        for body in plan.bodies:
            if body.part == thing.name:
                halves.setdefault(body.connector, set()).add(body.half)
    faces = {face.half: face for plan in sheets for face in plan.faces}
    return tuple(
        Connector(
            name=connector,
            halves=tuple(
                Half(
                    name=half,
                    cavities=_cavities(thing, connector, half),
                    face=_face(faces.get((thing.name, connector, half))),
                )
                for half in sorted(halves[connector])
            ),
            when=dict(thing.connector_conditions).get(connector, ""),
        )
        for connector in sorted(halves)
    )


def _cavities(thing: Thing, connector: str, half: str) -> tuple[Cavity, ...]:
    return tuple(
        Cavity(pin=pin, when=when, known=_PRINTED)
        for of_connector, of_half, pin, when in thing.conditions
        if (of_connector, of_half) == (connector, half)
    )


_SIDES: dict[str, FaceSide] = {
    "WIRE SIDE": "wire side",
    "MATING SIDE": "mating side",
    "": "unknown",
}


def _face(plan: FacePlan | None) -> Face | None:
    """The printed face of a half, as the sheet shows it."""
    if plan is None:
        return None
    return Face(rows=plan.rows, side=_SIDES[plan.seen_from], known=_PRINTED)
