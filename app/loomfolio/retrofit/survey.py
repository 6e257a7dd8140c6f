"""Looking at a connector's face: which cavity lies where, and whether one looks from the side one thinks.

The wire side and the mating side of a housing are mirror images: seen from the other side each row runs the
other way, top and bottom stay. A face read from the wrong side is wrong in every cavity but those in the
middle. So what was seen is held against the documents twice, as entered and mirrored; where the mirror image
agrees better, that is said with the cavities that decide, and nothing is stored before the side is settled.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from loomfolio.basics import EditError
from loomfolio.nets import MapRow, Netlist
from loomfolio.project import (
    SEEN,
    Face,
    FaceSide,
    HalfKey,
    Known,
    LeadColour,
    Project,
    edits,
)
from loomfolio.retrofit.records import DecidingPlace, SeenPlace, SideVerdict
from loomfolio.retrofit.state import is_other_colour

Rows = tuple[tuple[str, ...], ...]
_WITH_LEAD = frozenset({"filled", "corroded"})
_OPPOSITE: dict[FaceSide, FaceSide] = {"wire side": "mating side", "mating side": "wire side"}


@dataclass(frozen=True, slots=True)
class Expected:
    """What the documents say of one cavity: whether a lead ends there, and its colour where it is noted."""

    is_wired: bool
    colour: LeadColour | None = None


def mirrored(rows: Rows) -> Rows:
    """Return a face as it looks from the other side: each row turned round, the rows in their order."""
    return tuple(row[::-1] for row in rows)


def face_places(face: Face, viewed_from: FaceSide) -> Rows:
    """Return which cavity lies where for somebody who looks from `viewed_from`.

    Raises
    ------
    EditError
        One of the two sides is not known: then nobody can say which cavity is which.
    """
    if viewed_from == "unknown":
        raise EditError("Say first from which side you look: wire side or mating side.")
    if face.side == "unknown":
        raise EditError(
            "The documents do not say which side this face shows; settle that before you count cavities."
        )
    return face.rows if viewed_from == face.side else mirrored(face.rows)


def expected_in(netlist: Netlist, rows: Sequence[MapRow], half: HalfKey) -> Mapping[str, Expected]:
    """Return what the documents say of each cavity of a half; what they do not name is left out."""
    expected = {
        pin.pin: Expected(is_wired=False) for pin in netlist.net_by_pin if pin.half_key == half
    }
    colours: dict[str, set[LeadColour | None]] = {}
    for row in rows:
        for end in (row.a, row.b):
            if end is not None and end.half_key == half:
                colours.setdefault(end.pin, set()).add(row.colour)
    for pin, found in colours.items():
        expected[pin] = Expected(
            is_wired=True, colour=next(iter(found)) if len(found) == 1 else None
        )
    return expected


def side_verdict(
    face: Face,
    viewed_from: FaceSide,
    seen: Sequence[SeenPlace],
    expected: Mapping[str, Expected],
) -> SideVerdict:
    """Hold what was seen against the documents, as entered and mirrored.

    Only places at which the documents say something, either way, are compared. With nothing to compare
    there is no reason to doubt the side.
    """
    as_seen = face_places(face, viewed_from)
    other = mirrored(as_seen)
    compared = [place for place in seen if _is_comparable(place, as_seen, other, expected)]
    direct = [_agrees(place, as_seen, expected) for place in compared]
    turned = [_agrees(place, other, expected) for place in compared]
    deciding = tuple(
        _deciding(place, as_seen, other, agrees_as_entered=as_entered)
        for place, as_entered, as_mirrored in zip(compared, direct, turned, strict=True)
        if as_entered != as_mirrored
    )
    counts = sum(direct), sum(turned)
    return SideVerdict(
        as_entered=counts[0],
        mirrored=counts[1],
        compared=len(compared),
        deciding=deciding,
        sentence=_verdict_sentence(counts, len(compared), viewed_from),
    )


def _is_comparable(
    place: SeenPlace, as_seen: Rows, other: Rows, expected: Mapping[str, Expected]
) -> bool:
    return any(_pin(place, rows) in expected for rows in (as_seen, other))


def _pin(place: SeenPlace, rows: Rows) -> str:
    """The cavity at a place; empty where the face has none."""
    is_inside = place.row < len(rows) and place.column < len(rows[place.row])
    return rows[place.row][place.column] if is_inside else ""


def _agrees(place: SeenPlace, rows: Rows, expected: Mapping[str, Expected]) -> bool:
    """Does what was seen fit what the documents say of this cavity? Of one they do not name, being empty fits."""
    drawn = expected.get(_pin(place, rows), Expected(is_wired=False))
    if (place.state in _WITH_LEAD) != drawn.is_wired:
        return False
    return not is_other_colour(drawn.colour, place.colour)


def _deciding(
    place: SeenPlace, as_seen: Rows, other: Rows, *, agrees_as_entered: bool
) -> DecidingPlace:
    direct, turned = _pin(place, as_seen), _pin(place, other)
    colour = f", {place.colour.text}" if place.colour is not None else ""
    fits, fits_not = (direct, turned) if agrees_as_entered else (turned, direct)
    sentence = (
        f"Row {place.row + 1}, place {place.column + 1} is {place.state}{colour}:"
        f" that fits cavity {fits or 'none'}, not {fits_not or 'none'}"
    )
    return DecidingPlace(place.row, place.column, direct, turned, sentence)


def _verdict_sentence(counts: tuple[int, int], compared: int, viewed_from: FaceSide) -> str:
    as_entered, turned = counts
    if not compared:
        return "The documents say nothing of what was seen here."
    agree = f"{as_entered} of {compared} places agree with the documents"
    if as_entered >= turned:
        return f"{agree}; mirrored it would be {turned}."
    return (
        f"Only {agree}, mirrored {turned} would: it looks as if this were the {_OPPOSITE[viewed_from]},"
        f" not the {viewed_from}."
    )


def store_face(
    project: Project,
    *,
    specimen: str,
    half: HalfKey,
    face: Face,
    viewed_from: FaceSide,
    seen: Sequence[SeenPlace],
    known: Known = SEEN,
) -> Project:
    """Return the document with what was seen of a face, in one step.

    The caller has settled the side: with the person, where `side_verdict` raised a doubt.

    Raises
    ------
    EditError
        A side is not known, or something was seen where the face has no cavity; nothing is stored then.
    """
    rows = face_places(face, viewed_from)
    entries = list(_entries(rows, seen))
    project = edits.record_half(
        project, specimen=specimen, half=half, viewed_from=viewed_from, known=known
    ).project
    for pin, place in entries:
        project = edits.record_cavity(
            project,
            specimen=specimen,
            pin=half.pin(pin),
            state=place.state,
            colour=place.colour,
            area_mm2=place.area_mm2,
            note=place.note,
            known=known,
        ).project
    return project


def _entries(rows: Rows, seen: Sequence[SeenPlace]) -> Iterator[tuple[str, SeenPlace]]:
    for place in seen:
        pin = _pin(place, rows)
        if not pin:
            raise EditError(
                f"There is no cavity in row {place.row + 1}, place {place.column + 1} of this face;"
                " check how the face is drawn."
            )
        yield pin, place
