"""Option notes put on the paper: what is there only with some options. Each is one step; no Qt in here.

A conductor that was read has no record of its own; it stands under a condition by a mark that says it is
no conductor wherever the condition fails. A region is told thing by thing: the boxes, drawn lines and
conductors that lie wholly in it.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import pairwise

from loomfolio.basics import EditError, MmBox, MmPoint
from loomfolio.desk.gestures import Step
from loomfolio.desk.table.geometry import distance_to_line_mm, foot_on_lines
from loomfolio.desk.table.option_words import opposite
from loomfolio.nets import Netlist, conditional_records
from loomfolio.project import (
    BodyMark,
    LineMark,
    Mark,
    NotConductorMark,
    Project,
    edits,
    option_names,
    parse,
)

Line = tuple[MmPoint, ...]
ON_LINE_MM = 0.7
"""So near to a line a mark works on it (the reach of answers in the nets room)."""


def known_options(project: Project) -> tuple[str, ...]:
    """Return the options that the fits and the notes of a document speak of, in order."""
    found = {name for fit in project.fits for name in (*fit.options_with, *fit.options_without)}
    for record in conditional_records(project):
        if record.when:
            found |= option_names(parse(record.when))
    return tuple(sorted(found))


def condition_of(text: str) -> str:
    """Return a condition as it was typed; `EditError` with the place where it goes wrong."""
    parse(text)
    return text.strip()


def mark_only_with(project: Project, mark_id: str, when: str) -> Step:
    """Return the step that puts a mark under a condition; an empty one takes it off."""
    mark = next((one for one in project.marks if one.id == mark_id), None)
    if mark is None:
        raise EditError("This mark has been removed meanwhile.")
    changed = edits.change_mark(project, mark.model_copy(update={"when": condition_of(when)}))
    return Step(_title("mark", when), changed)


def conductor_condition(project: Project, netlist: Netlist, sheet: str, at: MmPoint) -> str:
    """Return the condition that the conductor at a place stands under; empty for always."""
    mark = _refusal_at(project, netlist, sheet, at)
    return opposite(mark.when) if mark is not None else ""


def conductor_only_with(
    project: Project, netlist: Netlist, sheet: str, at: MmPoint, when: str
) -> Step:
    """Return the step that puts the conductor at a place under a condition; an empty one takes it off."""
    condition = condition_of(when)
    mark = _refusal_at(project, netlist, sheet, at)
    if mark is not None:
        project = edits.remove_marks(project, [mark.id])
    if condition:
        foot = foot_on_lines(at, _piece_at(netlist, sheet, at))
        made = edits.put_not_conductor(project, sheet=sheet, at=foot, when=opposite(condition))
        project = made.project
    return Step(_title("conductor", when), project)


def region_only_with(project: Project, netlist: Netlist, sheet: str, box: MmBox, when: str) -> Step:
    """Return the step that puts all that lies wholly in a box under a condition.

    Raises
    ------
    EditError
        The condition cannot be read, or nothing lies in the box.
    """
    condition = condition_of(when)
    if not condition:
        raise EditError("Say with which options the region is there, such as towing.")
    marks = [mark for mark in project.marks if mark.sheet == sheet and _lies_in(mark, box)]
    for mark in marks:
        both = f"({mark.when}) & ({condition})" if mark.when else condition
        project = edits.change_mark(project, mark.model_copy(update={"when": both}))
    places = list(_conductors_in(netlist, sheet, box))
    for at in places:
        project = edits.put_not_conductor(
            project, sheet=sheet, at=at, when=opposite(condition)
        ).project
    if not marks and not places:
        raise EditError("Nothing lies wholly in this box; draw it round boxes and conductors.")
    return Step(_title("region", when), project)


def _title(what: str, when: str) -> str:
    return f"A {what} only with {when.strip()}" if when.strip() else f"A {what} always"


def _refusal_at(
    project: Project, netlist: Netlist, sheet: str, at: MmPoint
) -> NotConductorMark | None:
    """The mark that puts the piece of conductor at a place under a condition, wherever along it the mark lies."""
    piece = _piece_at(netlist, sheet, at)
    for mark in project.marks:
        if not isinstance(mark, NotConductorMark) or mark.sheet != sheet or not mark.when:
            continue
        if distance_to_lines_mm(mark.at, piece) <= ON_LINE_MM:
            return mark
    return None


def _piece_at(netlist: Netlist, sheet: str, at: MmPoint) -> Sequence[Line]:
    """The piece of a conductor, from joint to joint, that a place holds on to."""
    found = netlist.snap(sheet, at)
    if found.conductor is None or found.rivals:
        raise EditError("Two conductors lie about as near to this place; choose a clearer one.")
    lines = netlist.conductors[found.conductor].lines
    return min(_pieces(lines), key=lambda one: distance_to_lines_mm(at, one))


def distance_to_lines_mm(at: MmPoint, lines: Iterable[Line]) -> float:
    """Return how far a place is from the nearest of some lines."""
    return min(distance_to_line_mm(at, line) for line in lines)


def _lies_in(mark: Mark, box: MmBox) -> bool:
    if isinstance(mark, BodyMark):
        return _holds(box, (MmPoint(*mark.box[:2]), MmPoint(*mark.box[2:])))
    return isinstance(mark, LineMark) and _holds(box, mark.points)


def _holds(box: MmBox, points: Iterable[MmPoint]) -> bool:
    return all(box.x0 <= at.x <= box.x1 and box.y0 <= at.y <= box.y1 for at in points)


def _conductors_in(netlist: Netlist, sheet: str, box: MmBox) -> Iterable[MmPoint]:
    """A place on each piece of a conductor, from joint to joint, that lies wholly in a box."""
    for conductor in netlist.conductors_on(sheet):
        for piece in _pieces(conductor.lines):
            if all(_holds(box, line) for line in piece):
                place = _place_on(netlist, sheet, conductor.number, piece)
                if place is not None:
                    yield place


def _pieces(lines: Sequence[Line]) -> list[list[Line]]:
    """Lines put together where just two of them meet: what runs from one joint or end to the next."""
    ends = Counter(at for line in lines for at in (line[0], line[-1]))
    pieces: list[list[Line]] = []
    for line in lines:
        passed = {at for at in (line[0], line[-1]) if ends[at] == 2}
        met = [p for p in pieces if any({other[0], other[-1]} & passed for other in p)]
        pieces = [p for p in pieces if p not in met]
        pieces.append([line, *(other for p in met for other in p)])
    return pieces


def _place_on(
    netlist: Netlist, sheet: str, conductor: int, piece: Sequence[Line]
) -> MmPoint | None:
    """A place where a mark holds on to this conductor and to no other; None where it is crowded all along."""
    segments = sorted(
        (pair for line in piece for pair in pairwise(line)), key=lambda pair: -math.dist(*pair)
    )
    for a, b in segments:
        for share in (0.5, 0.3, 0.7):
            at = MmPoint(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share)
            found = netlist.snap(sheet, at)
            if found.conductor == conductor and not found.rivals:
                return at
    return None
