"""Short ways to documents for the nets room: what matters to a test, and nothing else."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from loomfolio.basics import MmPoint
from loomfolio.nets import Netlist, derive
from loomfolio.project import (
    Anchor,
    BodyMark,
    BodyPin,
    Confirmation,
    Known,
    Link,
    Mark,
    Part,
    PartKind,
    PieceKind,
    PinKey,
    Project,
)
from support.ascii_sheet import AsciiSheet


def make_part(number: int, name: str, kind: PartKind = "device", **fields: object) -> Part:
    """Return a part with the id `part-<number>`."""
    return Part.model_validate({"id": f"part-{number}", "name": name, "kind": kind, **fields})


def make_body(
    number: int, drawn: AsciiSheet, part: Part, pins: str, *, connector: str = "", half: str = ""
) -> BodyMark:
    """Return a body round lettered places: `a=1 b=2` puts pin 1 at a and pin 2 at b."""
    pairs = [pair.split("=") for pair in pins.split()]
    return BodyMark(
        id=f"mark-{number}",
        sheet=drawn.sheet.id,
        box=drawn.box(*(letter for letter, _ in pairs), margin_mm=1.0),
        part=part.id,
        connector=connector,
        half=half,
        pins=tuple(BodyPin(at=drawn.at(letter), pin=pin) for letter, pin in pairs),
    )


def make_project(
    sheets: Iterable[AsciiSheet],
    parts: Iterable[Part] = (),
    marks: Iterable[Mark] = (),
    **fields: object,
) -> Project:
    """Return a document of drawn sheets, parts and marks."""
    return Project(
        serial=1000,
        sheets=tuple(drawn.sheet for drawn in sheets),
        parts=tuple(parts),
        marks=tuple(marks),
    ).model_copy(update=fields)


def make_netlist(project: Project, sheets: Iterable[AsciiSheet]) -> Netlist:
    """Return the nets of a document of drawn sheets."""
    return derive(project, {drawn.sheet.id: drawn.reading for drawn in sheets})


def make_link(
    number: int, a: tuple[AsciiSheet, str], b: tuple[AsciiSheet, str], how: str = "stated"
) -> Link:
    """Return a link between two lettered places."""
    ends = [Anchor(sheet=drawn.sheet.id, at=drawn.at(letter)) for drawn, letter in (a, b)]
    return Link(
        id=f"link-{number}",
        a=ends[0],
        b=ends[1],
        label="A",
        known=Known.model_validate({"how": how}),
    )


def confirm_at(
    number: int, piece: PieceKind, drawn: AsciiSheet, at: MmPoint, how: str = "stated"
) -> Confirmation:
    """Return the person's word for a piece at a place."""
    return Confirmation(
        id=f"confirmation-{number}",
        piece=piece,
        place=Anchor(sheet=drawn.sheet.id, at=at),
        known=Known.model_validate({"how": how}),
    )


def partition(netlist: Netlist, names: Mapping[str, str] | None = None) -> set[frozenset[str]]:
    """Return the nets as sets of `PART.pin`, with part names; nets of no pin left out."""
    known = names or {part.id: part.name for part in netlist.project.parts}
    return {frozenset(pin_word(pin, known) for pin in net.pins) for net in netlist.nets if net.pins}


def pin_word(pin: PinKey, names: Mapping[str, str]) -> str:
    """Return `PART.pin`."""
    return f"{names[pin.part]}.{pin.pin}"
