"""The one module that touches typst: a template of `assets/typst/` and printed records -> PDF bytes.

The records go in as JSON and come out in the template as text, never as markup, so that no name can
be taken for an instruction. The compiler is in the wheel; our fonts are tried before the system's.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict
from datetime import UTC, date, datetime, time
from pathlib import Path
from shutil import copyfile
from tempfile import TemporaryDirectory
from typing import Any, ClassVar, Literal, Protocol

import typst

from loomfolio.basics import asset_path
from loomfolio.bench.frame import Frame

Template = Literal[
    "annotated_sheets.typ",
    "bench_pack.typ",
    "connector_map.typ",
    "estimate_page.typ",
    "gap_sheet.typ",
    "hand_over.typ",
    "map_picture.typ",
    "splice_sheet.typ",
    "wire_tags.typ",
]


class PrintedSheet(Protocol):
    """A record of ready texts with a frame, as the templates take it."""

    __dataclass_fields__: ClassVar[dict[str, Any]]

    @property
    def frame(self) -> Frame:
        """Return what every page of the sheet carries."""


def typeset(
    template: Template,
    sheet: PrintedSheet,
    *,
    today: date,
    files: Mapping[str, bytes] | None = None,
) -> bytes:
    """Return a printed sheet as PDF; the same records and day give the same bytes.

    `files` are pictures that the template names; they are laid beside it for as long as it is set.
    """
    folder = asset_path("typst")
    if not files:
        return _compiled(folder, template, sheet, today)
    with TemporaryDirectory() as beside:
        for source in folder.glob("*.typ"):
            copyfile(source, Path(beside) / source.name)
        for name, data in files.items():
            (Path(beside) / name).write_bytes(data)
        return _compiled(Path(beside), template, sheet, today)


def _compiled(folder: Path, template: Template, sheet: PrintedSheet, today: date) -> bytes:
    pdf: bytes = typst.compile(
        folder / template,
        root=folder,
        font_paths=[asset_path("fonts")],
        format="pdf",
        sys_inputs={"data": json.dumps(asdict(sheet))},
        timestamp=datetime.combine(today, time(), UTC),
    )
    return pdf
