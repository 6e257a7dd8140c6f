"""The columns of each ledger: which words of a line stand where, and what can be typed; no Qt."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Protocol, get_args

from loomfolio.desk.ledgers.columns import Column, Mark
from loomfolio.desk.ledgers.lines import DoubtLine, GapLine, LeadLine, NetLine, PinLine, SheetLine
from loomfolio.desk.ledgers.plan_lines import RuleLine
from loomfolio.desk.ledgers.plan_tables import BENCH_COLUMNS, PROOF_COLUMNS, WORK_COLUMNS
from loomfolio.desk.stages import StageId
from loomfolio.project import SheetKind, natural_order

SHEET_KINDS: tuple[str, ...] = get_args(SheetKind)

_OPEN = Mark("doubts", "doubt")
_DONE = Mark("confirm", "confirmed")
_STOP = Mark("caution", "stop")


class LedgerEdits(Protocol):
    """What can be typed in a ledger; each call is one step of undo."""

    def name_net(self, net: int, name: str) -> None:
        """Give a net its name; an empty one takes it away."""

    def title_sheet(self, sheet: str, title: str) -> None:
        """Give a sheet another title."""

    def set_sheet_kind(self, sheet: str, kind: str) -> None:
        """Say what a sheet shows."""


def columns_of(stage: StageId, edits: LedgerEdits) -> Sequence[Column[Any]]:
    """Return the columns of a stage's ledger."""
    match stage:
        case "sheets":
            return _sheet_columns(edits)
        case "names":
            return _net_columns(edits)
        case _:
            return _READ_ONLY[stage]


def _sheet_columns(edits: LedgerEdits) -> tuple[Column[SheetLine], ...]:
    return (
        Column(
            "title",
            "Sheet",
            lambda line: line.sheet.title,
            width_px=208,
            mark=_sheet_mark,
            tip=_sheet_tip,
            edit=lambda line, text: edits.title_sheet(line.sheet.id, text),
        ),
        Column(
            "kind",
            "Kind",
            lambda line: line.sheet.kind,
            width_px=104,
            edit=lambda line, text: edits.set_sheet_kind(line.sheet.id, text),
            choices=SHEET_KINDS,
        ),
        Column(
            "open",
            "Open",
            lambda line: str(line.open_count) if line.open_count else "",
            width_px=52,
            is_number=True,
            sort_key=lambda line: -line.open_count,
            tip=lambda line: f"{line.open_count} findings stand open on this sheet",
        ),
        Column("read", "Reading", lambda line: line.progress, width_px=88),
        Column("valid", "Valid for", lambda line: line.valid_for, width_px=168, tip=_sheet_tip),
        Column("dpi", "Resolution", _resolution, width_px=136, is_faint=lambda _: True),
    )


def _sheet_mark(line: SheetLine) -> Mark | None:
    if line.misfits:
        return _STOP
    return _OPEN if line.is_open else Mark("sheets")


def _sheet_tip(line: SheetLine) -> str:
    reasons = list(line.misfits)
    if line.sheet.resolution_from == "assumed":
        reasons.append("its size on paper is not known: open the sheet and pick a paper size")
    return "\n".join(r[:1].upper() + r[1:] + "." for r in reasons) or line.sheet.title


def _resolution(line: SheetLine) -> str:
    dpi = (line.sheet.x_dpi + line.sheet.y_dpi) / 2
    return f"{dpi:.0f} dpi, {line.sheet.resolution_from}"


def _net_columns(edits: LedgerEdits) -> tuple[Column[NetLine], ...]:
    return (
        Column(
            "name",
            "Name",
            lambda line: line.name,
            width_px=136,
            mark=lambda line: _OPEN if line.is_open else None,
            tip=_net_tip,
            edit=lambda line, text: edits.name_net(line.number, text),
        ),
        Column(
            "pins",
            "Pins",
            lambda line: line.pins,
            width_px=176,
            is_mono=True,
            sort_key=lambda line: (not line.pins, natural_order(line.pins)),
        ),
        Column(
            "count",
            "No.",
            lambda line: str(line.pin_count) if line.pin_count else "",
            width_px=44,
            is_number=True,
            sort_key=lambda line: -line.pin_count,
            tip=lambda line: f"{line.pin_count} pins are on this net",
        ),
        Column("known", "Known", lambda line: line.known, width_px=108, mark=_known_mark),
        Column("sheets", "Sheets", lambda line: line.sheets, width_px=140),
    )


def _known_mark(line: NetLine) -> Mark | None:
    return Mark(f"known_{line.known}") if line.known else None


def _net_tip(line: NetLine) -> str:
    if len(line.names) > 1:
        return f"This net is called {' and '.join(line.names)}; only one of them can be right."
    return line.name or "No name yet: click here and type it."


_PIN_COLUMNS: tuple[Column[PinLine], ...] = (
    Column(
        "pin",
        "Pin",
        lambda line: line.text,
        width_px=136,
        is_mono=True,
        mark=lambda line: _OPEN if line.is_open else Mark("piece_pin"),
        sort_key=lambda line: natural_order(line.text.casefold()),
    ),
    Column("net", "Net", lambda line: line.net_name, width_px=128),
    Column(
        "state",
        "Stands",
        lambda line: {
            "joined": "on a conductor",
            "open": "meets nothing",
            "not drawn": "drawn nowhere",
        }[line.state],
        width_px=116,
        is_faint=lambda line: not line.is_open,
    ),
    Column("sheets", "Sheets", lambda line: line.sheets, width_px=168),
)


_LEAD_COLUMNS: tuple[Column[LeadLine], ...] = (
    Column("a", "From", lambda line: line.a, width_px=104, is_mono=True),
    Column(
        "b",
        "To",
        lambda line: line.b,
        width_px=104,
        is_mono=True,
        is_faint=lambda line: line.row.b is None,
    ),
    Column(
        "state",
        "Stands",
        lambda line: line.open_text,
        width_px=132,
        mark=lambda line: _OPEN if line.is_open else _DONE,
        sort_key=lambda line: (not line.is_open, -len(line.row.open_pieces)),
        tip=lambda line: (
            "\n".join(piece.sentence for piece in line.row.open_pieces) or line.open_text
        ),
    ),
    Column(
        "colour",
        "Colour",
        lambda line: line.wire.letters if line.wire else "",
        width_px=108,
        is_mono=True,
        wire=lambda line: line.wire,
    ),
    Column("net", "Net", lambda line: line.row.net_name, width_px=112),
    Column(
        "area",
        "mm²",
        lambda line: f"{line.row.area_mm2:g}" if line.row.area_mm2 else "",
        width_px=52,
        is_number=True,
        sort_key=lambda line: line.row.area_mm2 or 0.0,
    ),
    Column("sheets", "Sheets", lambda line: line.sheets, width_px=140),
)


def _finding_mark(line: DoubtLine | RuleLine) -> Mark:
    if not line.is_open:
        return _DONE
    return _STOP if line.finding.severity == "stop" else _OPEN


_DOUBT_COLUMNS: tuple[Column[DoubtLine | RuleLine], ...] = (
    Column(
        "sentence",
        "What",
        lambda line: line.finding.sentence,
        width_px=436,
        is_wrapped=True,
        mark=_finding_mark,
        tip=lambda line: line.tip,
        is_faint=lambda line: not line.is_open,
    ),
    Column("kind", "Kind", lambda line: line.kind, width_px=168, is_wrapped=True),
    Column("sheet", "Sheet", lambda line: line.sheet, width_px=140),
    Column("accepted", "Accepted because", lambda line: line.finding.accepted or "", width_px=180),
)


def _gap_mark(line: GapLine) -> Mark:
    if not line.is_open:
        return _DONE
    return Mark("gaps", "gap") if line.gap.sureness == "sure" else _OPEN


def _gap_tip(line: GapLine) -> str:
    lines = [line.gap.sentence, *line.gap.evidence]
    if line.gap.decides:
        lines += ["To be looked at:", *line.gap.decides]
    return "\n".join(lines)


_GAP_COLUMNS: tuple[Column[GapLine], ...] = (
    Column(
        "sentence",
        "What",
        lambda line: line.gap.sentence,
        width_px=308,
        is_wrapped=True,
        mark=_gap_mark,
        tip=_gap_tip,
        is_faint=lambda line: not line.is_open,
    ),
    Column("kind", "Kind", lambda line: line.gap.kind, width_px=140, is_wrapped=True),
    Column(
        "where",
        "Where",
        lambda line: line.where,
        width_px=168,
        is_mono=True,
        is_wrapped=True,
        tip=_gap_tip,
    ),
    Column(
        "sureness",
        "How sure",
        lambda line: line.gap.sureness,
        width_px=112,
        tip=lambda line: "\n".join(line.gap.decides) or "Looked at on this vehicle.",
    ),
    Column(
        "evidence",
        "Evidence",
        lambda line: "; ".join(line.gap.evidence),
        width_px=320,
        is_wrapped=True,
        tip=lambda line: "\n".join(line.gap.evidence),
    ),
    Column("sheet", "Sheet", lambda line: line.sheet, width_px=140),
    Column("closed", "Closed by", lambda line: line.closed, width_px=220, is_wrapped=True),
)

_READ_ONLY: Mapping[StageId, Sequence[Column[Any]]] = {
    "pins": _PIN_COLUMNS,
    "leads": _LEAD_COLUMNS,
    "gaps": _GAP_COLUMNS,
    "work": WORK_COLUMNS,
    "bench": BENCH_COLUMNS,
    "proof": PROOF_COLUMNS,
    "doubts": _DOUBT_COLUMNS,
}
"""The ledgers in which nothing is typed."""
