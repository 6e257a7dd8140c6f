"""The columns of the ledgers of the plan: work, bench, proof; no Qt."""

from __future__ import annotations

from loomfolio.desk.ledgers.columns import Column, Mark
from loomfolio.desk.ledgers.plan_lines import BenchLine, ProofLine, WorkLine, hours_text
from loomfolio.project import natural_order

_OPEN = Mark("doubts", "doubt")
_DONE = Mark("confirm", "confirmed")
_STOP = Mark("caution", "stop")


def _work_mark(line: WorkLine) -> Mark:
    if line.offer is None:
        return Mark("gaps", "gap")
    return (
        _STOP
        if line.offer.forbidden
        else Mark("known_inferred", "doubt")
        if line.is_held_back
        else _DONE
    )


def _way(line: WorkLine) -> str:
    if line.offer is not None:
        return line.offer.title
    if line.others < 0:
        return "no way is known that may be taken"
    return f"to be chosen ({line.others + 1} ways)"


def _way_tip(line: WorkLine) -> str:
    offer = line.offer
    if offer is None:
        return "Enter shows the ways to close it; B takes the best for all."
    risk = f"Risk: {offer.risk}" if offer.risk else ""
    lines = (offer.title, *offer.reasons, *(f"Against it: {one}" for one in offer.against), risk)
    others = f"{line.others} other ways may be taken (Enter)." if line.others > 0 else ""
    return "\n".join(one for one in (*lines, others) if one)


def _held_back(line: WorkLine) -> str:
    return "\n".join(line.doubts) or "Everything on its way is confirmed."


WORK_COLUMNS: tuple[Column[WorkLine], ...] = (
    Column(
        "gap",
        "Gap",
        lambda line: line.gap.sentence,
        width_px=276,
        is_wrapped=True,
        mark=_work_mark,
        tip=lambda line: line.gap.sentence,
    ),
    Column(
        "way",
        "Closed by",
        _way,
        width_px=236,
        is_wrapped=True,
        tip=_way_tip,
        is_faint=lambda line: line.offer is None,
    ),
    Column(
        "wire",
        "Colour",
        lambda line: line.wire.letters if line.wire else "",
        width_px=96,
        is_mono=True,
        wire=lambda line: line.wire,
    ),
    Column("size", "Size", lambda line: line.size, width_px=92),
    Column("length", "Length", lambda line: line.length, width_px=88, is_number=True),
    Column(
        "released",
        "Stands",
        lambda line: (
            ("held back" if line.is_held_back else "released") if line.leads or line.joints else ""
        ),
        width_px=92,
        tip=_held_back,
    ),
    Column(
        "joints",
        "Cuts, joints",
        lambda line: f"{line.offer.cuts}, {line.offer.joints}" if line.offer else "",
        width_px=92,
        is_number=True,
        sort_key=lambda line: (-line.offer.cuts, -line.offer.joints) if line.offer else (0, 0),
    ),
    Column(
        "hours",
        "Hours",
        lambda line: hours_text(line.offer.effort_h) if line.offer else "",
        width_px=100,
        sort_key=lambda line: -line.offer.effort_h.most if line.offer else 0.0,
    ),
    Column(
        "others",
        "Other ways",
        lambda line: str(line.others) if line.others > 0 else "",
        width_px=84,
        is_number=True,
        sort_key=lambda line: -line.others,
    ),
)


def _bench_mark(line: BenchLine) -> Mark:
    if line.is_done:
        return _DONE
    if line.is_hold:
        return _STOP
    return Mark("lock") if line.blocked_by else Mark("bench" if line.is_step else "piece_lead")


BENCH_COLUMNS: tuple[Column[BenchLine], ...] = (
    Column(
        "title",
        "Do",
        lambda line: line.title if line.is_step else f"    {line.title}",
        width_px=356,
        is_wrapped=True,
        mark=_bench_mark,
        sort_key=lambda line: line.place,
        tip=lambda line: "\n".join(one for one in (line.title, line.detail) if one),
        is_faint=lambda line: line.is_done,
    ),
    Column(
        "stands",
        "Stands",
        lambda line: line.stands,
        width_px=152,
        is_wrapped=True,
        tip=lambda line: line.doing.note if line.doing is not None else line.stands,
    ),
    Column("detail", "How", lambda line: line.detail, width_px=320, is_wrapped=True),
    Column("zone", "Zone", lambda line: line.zone, width_px=128),
)


def _proof_mark(line: ProofLine) -> Mark:
    match line.outcome:
        case "pass":
            return _DONE
        case "fail":
            return _STOP
        case _:
            return _OPEN if line.outcome else Mark("proof")


def _reading_text(line: ProofLine) -> str:
    reading = line.reading
    if reading is None:
        return ""
    if reading.is_over_range:
        return "over range"
    return reading.text if reading.value is None else f"{reading.value:g} {reading.unit}".strip()


PROOF_COLUMNS: tuple[Column[ProofLine], ...] = (
    Column(
        "test",
        "Test",
        lambda line: line.test.title,
        width_px=316,
        is_wrapped=True,
        mark=_proof_mark,
        sort_key=lambda line: line.place,
        tip=lambda line: "\n".join((line.test.title, *line.test.conditions.lines)),
    ),
    Column("limit", "Passes at", lambda line: line.limit, width_px=148, is_wrapped=True),
    Column("reading", "Read", _reading_text, width_px=100, is_mono=True),
    Column(
        "verdict",
        "Says",
        lambda line: line.verdict.sentence if line.verdict is not None else "",
        width_px=240,
        is_wrapped=True,
    ),
    Column(
        "conditions",
        "With",
        lambda line: "; ".join(line.test.conditions.lines),
        width_px=320,
        is_wrapped=True,
        tip=lambda line: "\n".join(line.test.conditions.lines),
    ),
    Column(
        "stage",
        "Stage",
        lambda line: line.test.stage,
        width_px=128,
        sort_key=lambda line: (line.place, natural_order(line.test.stage)),
    ),
)
