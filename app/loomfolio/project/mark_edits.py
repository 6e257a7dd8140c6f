"""Edits of what the person puts on the sheets.

A join or a keep-apart is an answer to a question that the paper asks at one place. Answering again
changes the answer, and what had been confirmed about the old answer is no longer confirmed.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import NotRequired, Required, TypedDict, Unpack

from loomfolio.basics import EditError, MmBox, MmPoint
from loomfolio.project.editing import Added, add, found, swap, take_out, withdraw
from loomfolio.project.facts import STATED, Condition, Known, LeadColour
from loomfolio.project.marks import (
    ApartMark,
    BodyMark,
    BodyPin,
    JoinMark,
    LeadMark,
    LineMark,
    NameMark,
    NotConductorMark,
)
from loomfolio.project.models import PieceKind, Project
from loomfolio.project.record_lists import AnyMark

SAME_PLACE_MM = 1.0
"""Two answers nearer than this speak of the same place. A printed dot is about 1.5 mm wide, and lines
on a diagram keep 2 mm and more apart, so nearer answers are one and farther ones are two."""

_ANSWERED_PIECES: frozenset[PieceKind] = frozenset({"join", "crossing", "gap", "touch"})


def put_name(
    project: Project,
    *,
    sheet: str,
    at: MmPoint,
    name: str,
    when: Condition = "",
    known: Known = STATED,
) -> Added:
    """Return the document with the name of a net put on the conductor under `at`."""
    fields = {"sheet": sheet, "at": at, "name": name.strip(), "when": when, "known": known}
    return add(project, "marks", NameMark, fields)


def put_lead_note(
    project: Project,
    *,
    sheet: str,
    at: MmPoint,
    colour: LeadColour | None = None,
    area_mm2: float | None = None,
    when: Condition = "",
    known: Known = STATED,
) -> Added:
    """Return the document with colour and area of a lead put on the conductor under `at`."""
    if colour is None and area_mm2 is None:
        raise EditError("A note on a lead needs a colour or an area; give at least one of them.")
    fields = {"sheet": sheet, "at": at, "colour": colour, "area_mm2": area_mm2}
    return add(project, "marks", LeadMark, {**fields, "when": when, "known": known})


def put_line(
    project: Project,
    *,
    sheet: str,
    points: Collection[MmPoint],
    when: Condition = "",
    known: Known = STATED,
) -> Added:
    """Return the document with a conductor drawn by the person; doubled points are taken once."""
    corners: list[MmPoint] = []
    for point in points:
        if not corners or point != corners[-1]:
            corners.append(point)
    if len(corners) < 2:
        raise EditError("A line needs two different points; draw from one conductor to another.")
    fields = {"sheet": sheet, "points": tuple(corners), "when": when, "known": known}
    return add(project, "marks", LineMark, fields)


def put_join(
    project: Project, *, sheet: str, at: MmPoint, when: Condition = "", known: Known = STATED
) -> Added:
    """Return the document with what meets or crosses at `at` joined; an answer within 1 mm is replaced."""
    return _answer(project, JoinMark, _Answer(sheet=sheet, at=at, when=when, known=known))


def put_apart(
    project: Project, *, sheet: str, at: MmPoint, when: Condition = "", known: Known = STATED
) -> Added:
    """Return the document with what meets at `at` kept apart; an answer within 1 mm is replaced."""
    return _answer(project, ApartMark, _Answer(sheet=sheet, at=at, when=when, known=known))


class _Answer(TypedDict):
    sheet: str
    at: MmPoint
    when: Condition
    known: Known


def _answer(project: Project, mark_type: type[JoinMark | ApartMark], answer: _Answer) -> Added:
    old = [
        mark
        for mark in project.marks
        if isinstance(mark, JoinMark | ApartMark)
        and (mark.sheet, mark.when) == (answer["sheet"], answer["when"])
        and mark.at.distance_mm(answer["at"]) <= SAME_PLACE_MM
    ]
    is_new_answer = not old or any(type(mark) is not mark_type for mark in old)
    if is_new_answer:
        project = _withdraw_answered(project, answer["sheet"], answer["at"])
    project = take_out(project, "marks", [mark.id for mark in old])
    return add(project, "marks", mark_type, dict(answer))


def _withdraw_answered(project: Project, sheet: str, at: MmPoint) -> Project:
    return withdraw(
        project,
        {
            confirmation.id
            for confirmation in project.confirmations
            if confirmation.piece in _ANSWERED_PIECES
            and confirmation.place is not None
            and confirmation.place.sheet == sheet
            and confirmation.place.at.distance_mm(at) <= SAME_PLACE_MM
        },
    )


def put_not_conductor(
    project: Project, *, sheet: str, at: MmPoint, when: Condition = "", known: Known = STATED
) -> Added:
    """Return the document with the drawn line under `at` taken for no conductor."""
    fields = {"sheet": sheet, "at": at, "when": when, "known": known}
    return add(project, "marks", NotConductorMark, fields)


class BodyFields(TypedDict):
    """What `put_body` takes: where, of what, and the pins that are drawn there."""

    sheet: Required[str]
    box: Required[MmBox]
    part: Required[str]
    connector: NotRequired[str]
    half: NotRequired[str]
    pins: NotRequired[tuple[BodyPin, ...]]
    when: NotRequired[Condition]
    known: NotRequired[Known]


def put_body(project: Project, **fields: Unpack[BodyFields]) -> Added:
    """Return the document with one more appearance of a part or of one of its connectors."""
    return add(project, "marks", BodyMark, fields)


def number_pins(project: Project, body_id: str, pins: tuple[BodyPin, ...]) -> Project:
    """Return the document with the pins of one body replaced; an empty tuple takes all of them off."""
    body = _mark(project, body_id)
    if not isinstance(body, BodyMark):
        raise EditError(f"{body_id} is no body; only a body has pins.")
    return swap(project, "marks", body.model_copy(update={"pins": tuple(pins)}))


def change_mark(project: Project, mark: AnyMark) -> Project:
    """Return the document with another state of one mark, which keeps its id and its kind."""
    before = _mark(project, mark.id)
    after = swap(project, "marks", mark)
    if isinstance(before, NameMark) and isinstance(mark, NameMark) and before.name != mark.name:
        return withdraw(after, {c.id for c in after.confirmations if c.record == mark.id})
    return after


def move_marks(
    project: Project, ids: Collection[str], *, right_mm: float = 0.0, down_mm: float = 0.0
) -> Project:
    """Return the document with some marks shifted on their sheets, bodies together with their pins."""
    for mark_id in ids:
        moved = _moved(_mark(project, mark_id), right_mm, down_mm)
        project = swap(project, "marks", moved)
    return project


def remove_marks(project: Project, ids: Collection[str]) -> Project:
    """Return the document without some marks, and without the confirmations that name them."""
    return take_out(project, "marks", ids)


def _mark(project: Project, mark_id: str) -> AnyMark:
    mark = found(project, "marks", mark_id)
    if not isinstance(mark, AnyMark):  # pragma: no cover - the list holds nothing else
        raise TypeError(mark_id)
    return mark


def _moved(mark: AnyMark, right_mm: float, down_mm: float) -> AnyMark:
    return replaced(mark, lambda point: MmPoint(point.x + right_mm, point.y + down_mm))


def replaced(mark: AnyMark, moved: Callable[[MmPoint], MmPoint]) -> AnyMark:
    """Return a mark with each of its points where `moved` puts it; a body goes together with its pins."""
    match mark:
        case LineMark():
            points = tuple(moved(point) for point in mark.points)
            return mark.model_copy(update={"points": points})
        case BodyMark():
            corners = (MmPoint(*mark.box[:2]), MmPoint(*mark.box[2:]))
            pins = tuple(p.model_copy(update={"at": moved(p.at)}) for p in mark.pins)
            box = MmBox(*moved(corners[0]), *moved(corners[1]))
            return mark.model_copy(update={"box": box, "pins": pins})
        case _:
            return mark.model_copy(update={"at": moved(mark.at)})
