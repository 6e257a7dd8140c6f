"""Draw the sheets of the electric parcel van and write its demo project and the truth about its nets.

    python demo_projects/draw_parcel_van.py            everything, in place
    python demo_projects/draw_parcel_van.py --into DIR the project only, into another folder

The van, its maker and every line on the sheets are invented. The sheets are declared in `parcel_van/`,
drawn by `drawing/`; the truth comes from the declared ends of the wires, not from the picture.
"""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "app"))
sys.path.insert(0, str(Path(__file__).resolve().parent))

from drawing.layout import sheet_ink
from drawing.paper import Plate, Skew, save_scan, scan
from drawing.plan import SheetPlan
from drawing.wiring import all_pins, leads, nets
from parcel_van.half_way import half_way_project
from parcel_van.job import complete_project
from parcel_van.parts import JOINING, NET_NAMES, TOWING
from parcel_van.sheets import SHEETS

from loomfolio.project.document_file import document_bytes

__all__ = ["SHEETS", "complete_project", "draw_sheet", "half_way_project", "main", "truth"]

_HERE = Path(__file__).resolve().parent
PROJECT = _HERE / "parcel_van_towing"
TRUTH = _HERE.parent / "tests" / "jobs" / "data" / "parcel_van_truth.json"
_FITS: dict[str, frozenset[str]] = {"base": frozenset(), "with towing": frozenset({TOWING})}


def draw_sheet(plan: SheetPlan, folder: Path) -> Path:
    """Draw one sheet into a folder and return its file."""
    plate = Plate(dpi=plan.dpi, skew=Skew(plan.skew_degrees))
    plate.print_all(sheet_ink(plan))
    path = folder / plan.file
    save_scan(scan(plate, dpi=plan.dpi, seed=plan.seed), path, dpi=plan.dpi)
    return path


def truth() -> dict[str, object]:
    """Return what the sheets connect: all nets, their names, the nets and leads of each fit."""
    return {
        "about": "Nets of demo_projects/parcel_van_towing as declared; made by demo_projects/draw_parcel_van.py.",
        "pins": sorted(all_pins(SHEETS)),
        "nets": nets(SHEETS, JOINING),
        "names": NET_NAMES,
        "fits": {
            name: {
                "nets": nets(SHEETS, JOINING, fit=options),
                "leads": [
                    {"pins": lead.pins, "colours": lead.colours, "sheets": lead.sheets}
                    for lead in leads(SHEETS, fit=options)
                ],
            }
            for name, options in _FITS.items()
        },
    }


def write_project(folder: Path) -> None:
    """Draw all sheets below a folder and write the half-way document beside them."""
    sheets = folder / "sheets"
    sheets.mkdir(parents=True, exist_ok=True)
    for plan in SHEETS:
        path = draw_sheet(plan, sheets)
        print(f"{path.name}: {path.stat().st_size // 1024} KB")
    data = document_bytes(half_way_project(folder), saved_edit=0)
    (folder / "project.json").write_bytes(data)


def main(arguments: list[str] | None = None) -> None:
    """Draw into the place the arguments name; without any, in place, with the truth."""
    parser = argparse.ArgumentParser(description="Draw the demo project of the parcel van.")
    parser.add_argument("--into", type=Path, metavar="DIR", help="write only the project, there")
    into: Path | None = parser.parse_args(arguments).into
    write_project(into or PROJECT)
    if into is None:
        TRUTH.parent.mkdir(parents=True, exist_ok=True)
        text = json.dumps(truth(), indent=1)
        TRUTH.write_text(_compact(text) + "\n", encoding="utf-8")


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


if __name__ == "__main__":
    main()
