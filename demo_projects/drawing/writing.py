"""Writes a demo project: the scans of its sheets, its document, and the truth about its nets beside the tests."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from drawing.layout import sheet_ink
from drawing.paper import Plate, Skew, save_scan, scan
from drawing.plan import SheetPlan
from drawing.wiring import Joining, all_pins, leads, nets
from loomfolio.project import Project
from loomfolio.project.document_file import document_bytes


@dataclass(frozen=True, slots=True)
class Demo:
    """A demo project: its sheets, what they connect, what a person has made of them, and where it goes."""

    about: str
    sheets: tuple[SheetPlan, ...]
    joining: Joining
    net_names: Mapping[str, str]
    fits: Mapping[str, Collection[str]]
    document: Callable[[Path], Project]
    folder: Path
    truth_file: Path


def draw_sheet(plan: SheetPlan, folder: Path) -> Path:
    """Draw one sheet into a folder and return its file."""
    plate = Plate(dpi=plan.dpi, skew=Skew(plan.skew_degrees))
    plate.print_all(sheet_ink(plan))
    path = folder / plan.file
    save_scan(scan(plate, dpi=plan.dpi, seed=plan.seed), path, dpi=plan.dpi)
    return path


def truth(demo: Demo) -> dict[str, object]:
    """Return what the sheets connect: all nets, their names, the nets and leads of each fit."""
    return {
        "about": demo.about,
        "pins": sorted(all_pins(demo.sheets)),
        "nets": nets(demo.sheets, demo.joining),
        "names": dict(demo.net_names),
        "fits": {
            name: {
                "nets": nets(demo.sheets, demo.joining, fit=options),
                "leads": [
                    {"pins": lead.pins, "colours": lead.colours, "sheets": lead.sheets}
                    for lead in leads(demo.sheets, fit=options)
                ],
            }
            for name, options in demo.fits.items()
        },
    }


def write_project(demo: Demo, folder: Path) -> None:
    """Draw all sheets below a folder and write the half-way document beside them."""
    sheets = folder / "sheets"
    sheets.mkdir(parents=True, exist_ok=True)
    for plan in demo.sheets:
        path = draw_sheet(plan, sheets)
        print(f"{path.name}: {path.stat().st_size // 1024} KB")
    write_document(demo, folder)


def write_document(demo: Demo, folder: Path) -> None:
    """Write the half-way document over sheets that are drawn already."""
    data = document_bytes(demo.document(folder), saved_edit=0)
    (folder / "project.json").write_bytes(data)


def run(demo: Demo, description: str, arguments: Sequence[str] | None = None) -> None:
    """Draw into the place the arguments name; without any, in place, with the truth."""
    parser = argparse.ArgumentParser(description=description)
    parser.add_argument("--into", type=Path, metavar="DIR", help="write only the project, there")
    into: Path | None = parser.parse_args(arguments).into
    write_project(demo, into or demo.folder)
    if into is None:
        demo.truth_file.parent.mkdir(parents=True, exist_ok=True)
        text = json.dumps(truth(demo), indent=1)
        demo.truth_file.write_text(_compact(text) + "\n", encoding="utf-8")


def _compact(text: str) -> str:
    """Put each innermost list on one line, so that a change of one net is one line of a difference."""
    out: list[str] = []
    for line in text.split("\n"):
        word = line.strip()
        if out and ((out[-1].endswith("[") and word[:1] in '"0123456789') or _is_open(out[-1])):
            out[-1] += ("" if out[-1].endswith("[") or word[:1] == "]" else " ") + word
        else:
            out.append(line)
    return "\n".join(out)


def _is_open(line: str) -> bool:
    return line.count("[") > line.count("]") and not line.endswith("[")
