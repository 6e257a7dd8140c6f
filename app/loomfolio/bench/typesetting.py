"""The one module that touches typst: a template of `assets/typst/` and printed records -> PDF bytes.

The records go in as JSON and come out in the template as text, never as markup, so that no name can
be taken for an instruction. The compiler is in the wheel; our fonts are tried before the system's.
"""

from __future__ import annotations

import json
from dataclasses import asdict
from datetime import UTC, date, datetime, time
from typing import Any, ClassVar, Literal, Protocol

import typst

from loomfolio.basics import asset_path
from loomfolio.bench.frame import Frame

Template = Literal["connector_map.typ", "splice_sheet.typ", "gap_sheet.typ", "estimate_page.typ"]


class PrintedSheet(Protocol):
    """A record of ready texts with a frame, as the templates take it."""

    __dataclass_fields__: ClassVar[dict[str, Any]]

    @property
    def frame(self) -> Frame:
        """Return what every page of the sheet carries."""


def typeset(template: Template, sheet: PrintedSheet, *, today: date) -> bytes:
    """Return a printed sheet as PDF; the same records and day give the same bytes."""
    folder = asset_path("typst")
    pdf: bytes = typst.compile(
        folder / template,
        root=folder,
        font_paths=[asset_path("fonts")],
        format="pdf",
        sys_inputs={"data": json.dumps(asdict(sheet))},
        timestamp=datetime.combine(today, time(), UTC),
    )
    return pdf
