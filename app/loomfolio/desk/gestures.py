"""What the person did, as one edit of the document with a title for the menu; no Qt in here.

An intent of the light table, a confirmation on the strip, an answer to a doubt, a name typed in a
ledger: each becomes one `Step`, hence one step of undo. Nothing here decides anything of the trade.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from loomfolio.basics import EditError, MmPoint
from loomfolio.desk.table import intents
from loomfolio.nets import Net, Netlist, Piece, Snap, Spot
from loomfolio.project import (
    Anchor,
    BodyMark,
    BodyPin,
    Known,
    NameMark,
    Part,
    Project,
    edits,
    standard_ways,
)


@dataclass(frozen=True, slots=True)
class Step:
    """A changed document, and what the menu calls the change."""

    title: str
    project: Project


def step_of(project: Project, intent: object) -> Step:
    """Return the edit that an intent of the table asks for; `EditError` where it cannot be."""
    return _TURNERS[type(intent)](project, intent)


# ----------------------------------------------------------------------------- from the light table


def _name_net(project: Project, wish: intents.NameNet) -> Step:
    if wish.mark is None:
        made = edits.put_name(project, sheet=wish.sheet, at=wish.at, name=wish.name)
        return Step(f"Name net {wish.name}", made.project)
    return rename(project, wish.mark, wish.name)


def rename(project: Project, mark_id: str, name: str) -> Step:
    """Return the edit that gives a name mark another text; an empty one takes the mark away."""
    mark = next((m for m in project.marks if m.id == mark_id), None)
    if not isinstance(mark, NameMark):
        raise EditError("This name has been removed meanwhile; point at the net again.")
    if not name:
        return Step(f"Remove name {mark.name}", edits.remove_marks(project, [mark_id]))
    changed = mark.model_copy(update={"name": name, "known": Known()})
    return Step(f"Rename {mark.name} to {name}", edits.change_mark(project, changed))


def _make_body(project: Project, wish: intents.MakeBody) -> Step:
    project, part = _part_called(project, wish.text)
    made = edits.put_body(
        project,
        sheet=wish.sheet,
        box=wish.box,
        part=part.id,
        connector=wish.text.connector,
        half=wish.text.half,
        pins=wish.text.pins,
    )
    return Step(f"Box round {_body_title(part, wish.text)}", made.project)


def _change_body(project: Project, wish: intents.ChangeBody) -> Step:
    project, part = _part_called(project, wish.text)
    body = _body(project, wish.mark)
    changed = body.model_copy(
        update={
            "part": part.id,
            "connector": wish.text.connector,
            "half": wish.text.half,
            "pins": wish.text.pins,
        }
    )
    return Step(f"Change {_body_title(part, wish.text)}", edits.change_mark(project, changed))


def _number_pins(project: Project, wish: intents.NumberPins) -> Step:
    name = project.part(_body(project, wish.mark).part).name
    title = f"Number {len(wish.pins)} pin{'s' if len(wish.pins) != 1 else ''} of {name}"
    return Step(title, edits.number_pins(project, wish.mark, wish.pins))


def _answer(project: Project, wish: intents.Answer) -> Step:
    put = edits.put_join if wish.answer == "joined" else edits.put_apart
    title = "Join lines" if wish.answer == "joined" else "Keep lines apart"
    return Step(title, put(project, sheet=wish.sheet, at=wish.at).project)


def _draw_line(project: Project, wish: intents.DrawLine) -> Step:
    return Step("Draw line", edits.put_line(project, sheet=wish.sheet, points=wish.points).project)


LINK_END_MM = 3.0
"""So near to the start of a link that has no other end yet, a new link is its other end: about an arrow's length."""


def _make_link(project: Project, wish: intents.MakeLink) -> Step:
    sheets = [project.sheet(place.sheet).title for place in (wish.a, wish.b)]
    title = f"Link {sheets[0]} to {sheets[1]}"
    for start, end in ((wish.a, wish.b), (wish.b, wish.a)):
        for link in project.links:
            is_its_start = link.a.sheet == start.sheet and (
                link.a.at.distance_mm(start.at) <= LINK_END_MM
            )
            if link.b is None and is_its_start:
                ended = link.model_copy(update={"b": end, "known": Known()})
                return Step(title, edits.change_link(project, ended))
    return Step(title, edits.add_link(project, a=wish.a, b=wish.b).project)


def _remove(project: Project, wish: intents.Remove) -> Step:
    links = {link.id for link in project.links} & set(wish.ids)
    project = edits.remove_marks(project, [i for i in wish.ids if i not in links])
    for link in sorted(links):
        project = edits.remove_link(project, link)
    count = len(wish.ids)
    return Step("Remove mark" if count == 1 else f"Remove {count} marks", project)


def _move_sheet(project: Project, wish: intents.MoveSheet) -> Step:
    title = f"Move sheet {project.sheet(wish.sheet).title}"
    return Step(title, edits.move_sheet(project, wish.sheet, table_at=wish.table_at))


_TURNERS: dict[type, Callable[[Project, Any], Step]] = {
    intents.NameNet: _name_net,
    intents.MakeBody: _make_body,
    intents.ChangeBody: _change_body,
    intents.NumberPins: _number_pins,
    intents.Answer: _answer,
    intents.DrawLine: _draw_line,
    intents.MakeLink: _make_link,
    intents.Remove: _remove,
    intents.MoveSheet: _move_sheet,
}


def _body(project: Project, mark_id: str) -> BodyMark:
    mark = next((m for m in project.marks if m.id == mark_id), None)
    if not isinstance(mark, BodyMark):
        raise EditError("This box has been removed meanwhile; draw it again.")
    return mark


def _body_title(part: Part, text: intents.BodyText) -> str:
    return " ".join(word for word in (part.name, text.connector, text.half) if word)


def _part_called(project: Project, text: intents.BodyText) -> tuple[Project, Part]:
    """Return the part of this name, made first where there is none."""
    for part in project.parts:
        if part.name == text.part:
            return project, part
    made = edits.add_part(project, name=text.part, kind=text.kind or "device")
    part = made.project.part(made.id)
    usual = standard_ways(part.kind)
    numbers = {pin.pin for pin in text.pins}
    if usual and numbers and {pin.pin for way in usual for pin in way.pins} >= numbers:
        # Numbered as the standard numbers them: the inner ways are the standard's too.
        inner = {"connector": text.connector, "half": text.half}
        ways = tuple(
            way.model_copy(update={"pins": tuple(p.model_copy(update=inner) for p in way.pins)})
            for way in usual
        )
        project = edits.change_part(made.project, part.model_copy(update={"ways": ways}))
        return project, project.part(made.id)
    return made.project, part


# ---------------------------------------------------------------------------- from ledger and strip


def name_net(project: Project, netlist: Netlist, net: Net, name: str) -> Step:
    """Return the edit that names a net from the ledger: its one name mark, or a new one on it."""
    marks = [
        claim.source
        for claim in net.claims
        if any(m.id == claim.source and isinstance(m, NameMark) for m in project.marks)
    ]
    if len(marks) == 1:
        return rename(project, marks[0], name)
    if len(marks) > 1:
        raise EditError(
            f"This net carries {len(marks)} names; remove the wrong ones on the sheet first."
        )
    if not name:
        raise EditError("This net has no name that could be removed.")
    place = place_on_net(netlist, net)
    if place is None:
        raise EditError("No sheet draws this net where a name could stand; draw a line first.")
    made = edits.put_name(project, sheet=place.sheet, at=place.at, name=name)
    return Step(f"Name net {name}", made.project)


def place_on_net(netlist: Netlist, net: Net) -> Anchor | None:
    """Return a place on the drawn run of a net where a name would hold on to it and to nothing else.

    The middle of its longest straight piece is tried first; near a crossing it may lie as close to
    another net, so other places on it and on shorter pieces follow. None where there is no such place.
    """
    pieces = [
        (a.distance_mm(b), netlist.conductors[number].sheet, a, b)
        for number in net.conductors
        for line in netlist.conductors[number].lines
        for a, b in pairwise(line)
    ]
    pieces.sort(key=lambda piece: -piece[0])
    for _, sheet, a, b in pieces[:_MOST_TRIED]:
        for share in _SHARES:
            at = MmPoint(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share)
            found = netlist.snap(sheet, at)
            if _holds_on_to(netlist, found, net):
                return Anchor(sheet=sheet, at=at)
    return None


def _holds_on_to(netlist: Netlist, snap: Snap, net: Net) -> bool:
    if snap.conductor is None or snap.rivals:
        return False
    return netlist.conductors[snap.conductor].net == net.number


_SHARES = (0.5, 0.25, 0.75, 0.1, 0.9)
_MOST_TRIED = 20
"""Shorter pieces than the twenty longest are no better places for a name."""


def confirm_piece(project: Project, piece: Piece, known: Known) -> Step:
    """Return the edit that confirms one piece of a lead's path."""
    inferred = _inferred_pin(project, piece)
    if inferred is not None:
        body, pins = inferred
        return Step("Confirm pin number", edits.number_pins(project, body, pins))
    made = edits.confirm(
        project,
        piece=piece.kind,
        place=None if piece.record else piece.place,
        record=piece.record,
        detail=piece.detail,
        known=known,
    )
    return Step(f"Confirm {piece.kind}", made.project)


def _inferred_pin(project: Project, piece: Piece) -> tuple[str, tuple[BodyPin, ...]] | None:
    """A pin number that is only inferred is a fact of its body, and is confirmed there."""
    if piece.kind != "name" or piece.record is not None or piece.place is None:
        return None
    for body in project.marks:
        if isinstance(body, BodyMark) and body.sheet == piece.place.sheet:
            pins = tuple(
                pin.model_copy(update={"known": Known()}) if pin.at == piece.place.at else pin
                for pin in body.pins
            )
            if pins != body.pins:
                return body.id, pins
    return None


def settle_spot(project: Project, sheet: str, spot: Spot) -> Step:
    """Return the edit that lets a doubt stand as the reader took it."""
    step = _answer(project, intents.Answer(sheet=sheet, at=spot.at, answer=spot.taken))
    return Step("Leave as read", step.project)
