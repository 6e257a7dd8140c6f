"""What each piece of a followed way says on the strip; no Qt in here."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from loomfolio.desk.ledgers.columns import Wire
from loomfolio.nets import MapRow, Piece, Relation, Way, WayStep
from loomfolio.project import Anchor, LeadColour

PieceState = Literal["confirmed", "open", "dead end", "plain"]

_ICONS = {
    "pin": "piece_pin",
    "lead": "piece_lead",
    "splice": "piece_splice",
    "in-line connector": "piece_inline",
    "mate": "piece_inline",
    "joint bar": "piece_bar",
    "bar": "piece_bar",
    "joint connector": "piece_bar",
    "fuse": "piece_fuse",
    "relay contact": "piece_contact",
    "relay": "piece_contact",
    "switch": "piece_switch",
    "coil": "piece_coil",
    "lamp": "piece_lamp",
    "motor": "piece_motor",
    "resistor": "piece_resistor",
    "diode": "piece_diode",
    "ground": "piece_ground",
    "ground point": "piece_ground",
    "supply": "piece_supply",
    "battery": "piece_supply",
    "module": "piece_module",
    "link": "piece_link",
    "dead end": "piece_dead_end",
}
_PIN_ICONS = {
    "splice": "piece_splice",
    "ground point": "piece_ground",
    "supply": "piece_supply",
    "battery": "piece_supply",
}
_STATE_ICONS: dict[PieceState, str] = {
    "confirmed": "confirm",
    "open": "doubts",
    "dead end": "piece_dead_end",
}


@dataclass(frozen=True, slots=True)
class StripPiece:
    """One piece of the strip: its picture, its words, how it stands, and where it is."""

    step: int
    icon: str
    label: str
    kind: str
    relation: Relation
    state: PieceState
    state_text: str
    place: Anchor | None
    tip: str
    wire: Wire | None = None

    @property
    def state_icon(self) -> str | None:
        """The form that goes with the state's word."""
        return _STATE_ICONS.get(self.state)


def strip_pieces(way: Way, rows: Sequence[MapRow]) -> tuple[StripPiece, ...]:
    """Return the pieces of a way, one per step; none for a way without steps."""
    return tuple(_piece(way, number, rows) for number in range(len(way.steps)))


def _piece(way: Way, number: int, rows: Sequence[MapRow]) -> StripPiece:
    step = way.steps[number]
    colour = _lead_colour(way, number, rows) if step.what == "lead" else None
    is_last = number == len(way.steps) - 1
    state, text = _state(step, is_dead_end=is_last and way.is_dead_end)
    return StripPiece(
        step=number,
        icon=_icon(step),
        label=step.label or step.what,
        kind=step.what,
        relation=step.relation,
        state=state,
        state_text=text,
        place=step.place or _first_place(step.pieces),
        tip=_tip(step, way.ends_at if is_last else ""),
        wire=Wire.of(colour),
    )


def _icon(step: WayStep) -> str:
    """Return the symbol of a piece; a pin of a splice, supply or ground is shown as that."""
    if step.what == "pin":
        return _PIN_ICONS.get(step.note, "piece_pin")
    if step.what == "relay" and step.relation == "loads":
        return "piece_coil"
    return _ICONS.get(step.what, "piece_thing")


def _state(step: WayStep, *, is_dead_end: bool) -> tuple[PieceState, str]:
    open_count = sum(not piece.is_confirmed for piece in step.pieces)
    if open_count:
        return "open", "to confirm" if open_count == 1 else f"{open_count} to confirm"
    if is_dead_end:
        return "dead end", "ends here"
    if step.pieces:
        return "confirmed", "confirmed"
    return "plain", step.note or step.what


def _tip(step: WayStep, ends_at: str) -> str:
    rests_on = [f"{'✓' if piece.is_confirmed else '?'} {piece.sentence}" for piece in step.pieces]
    how = {"joined": "", "passes": "Conducts in a state.", "loads": "Conducts through a load."}
    lines = [step.what, step.note, how[step.relation], *rests_on, ends_at]
    return "\n".join(line for line in lines if line)


def _first_place(pieces: Sequence[Piece]) -> Anchor | None:
    return next((piece.place for piece in pieces if piece.place is not None), None)


def _lead_colour(way: Way, number: int, rows: Sequence[MapRow]) -> LeadColour | None:
    """Return a lead's colour: of the row between the pins beside it, else the net's only one."""
    step = way.steps[number]
    near = {way.steps[i].pin for i in (number - 1, number + 1) if 0 <= i < len(way.steps)} - {None}
    on_net = [row for row in rows if row.net == step.net]
    for row in on_net:
        if near and near <= {row.a, row.b}:
            return row.colour
    colours = {row.colour.text: row.colour for row in on_net if row.colour is not None}
    return next(iter(colours.values())) if len(colours) == 1 else None
