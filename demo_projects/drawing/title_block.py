"""Head and title block of a sheet: whose diagram it is, of which vehicle and years it speaks, which sheet."""

from __future__ import annotations

from collections.abc import Iterable

from drawing.plan import SheetPlan
from drawing.shapes import Area, Ink, Lettering, corners, line, rectangle
from loomfolio.basics import MmBox, MmPoint

_BLOCK = MmBox(166, 189, 285, 202)


def draw_title_block(plan: SheetPlan) -> Iterable[Ink]:
    """Yield the rule and head at the top, and at the bottom the notes and the ruled block."""
    yield Area(corners(MmBox(12, 18.6, 285, 19.3)))
    yield Lettering(plan.title.upper(), MmPoint(12, 14.4), 3.6, is_bold=True)
    yield Lettering(f"{plan.number}", MmPoint(285, 14.4), 4.2, "right", is_bold=True)
    maker, model = plan.publication.maker, plan.publication.model
    yield Lettering(f"{maker} {model}   WIRING DIAGRAMS", MmPoint(276, 14.7), 2.2, "right")
    for number, note in enumerate(plan.notes):
        yield Lettering(note, MmPoint(12, 200.8 - 3.6 * (len(plan.notes) - 1 - number)), 1.75)
    yield from _block(plan)


def _block(plan: SheetPlan) -> Iterable[Ink]:
    yield rectangle(_BLOCK, 0.4, "rule")
    made = plan.publication
    edges = (0.0, 29.0, 66.0, 96.0, 119.0)
    for edge in edges[1:-1]:
        x = _BLOCK.x0 + edge
        yield line((x, _BLOCK.y0), (x, _BLOCK.y1), 0.25, "rule")
    cells = (
        ("MAKER, MODEL", (made.maker, made.model)),
        ("TITLE", _two_lines(plan.title)),
        ("VALID FOR", _two_lines(plan.validity_text)),
        ("SHEET", (f"{plan.number} OF {made.sheet_count}", made.document)),
    )
    for edge, (head, words) in zip(edges, cells, strict=False):
        x = _BLOCK.x0 + edge + 1.8
        yield Lettering(head, MmPoint(x, _BLOCK.y0 + 2.5), 1.25)
        for number, text in enumerate(words):
            at = MmPoint(x, _BLOCK.y0 + 6.3 + 3.7 * number)
            yield Lettering(text, at, 1.95, is_bold=number == 0)


def _two_lines(text: str) -> tuple[str, ...]:
    """Break at the comma, where there is one."""
    return tuple(part.strip() for part in text.split(",", maxsplit=1))
