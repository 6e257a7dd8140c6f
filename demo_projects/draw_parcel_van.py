"""Draw the sheets of the electric parcel van and write its demo project and the truth about its nets.

    python demo_projects/draw_parcel_van.py            everything, in place
    python demo_projects/draw_parcel_van.py --into DIR the project only, into another folder

The van, its maker and every line on the sheets are invented. The sheets are declared in `parcel_van/`,
drawn by `drawing/`; the truth comes from the declared ends of the wires, not from the picture. What the
van lacks stands in `tests/jobs/data/parcel_van_gaps.json`, which is not made here: it was written by hand
before any code that finds gaps was run.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "app"))
sys.path.insert(0, str(Path(__file__).resolve().parent))

from drawing import writing
from parcel_van.half_way import half_way_project
from parcel_van.job import complete_project
from parcel_van.parts import JOINING, NET_NAMES, TOWING
from parcel_van.sheets import SHEETS
from parcel_van.survey import surveyed_project
from parcel_van.work import planned_project

__all__ = [
    "SHEETS",
    "complete_project",
    "half_way_project",
    "main",
    "planned_project",
    "surveyed_project",
    "truth",
]

_HERE = Path(__file__).resolve().parent
PROJECT = _HERE / "parcel_van_towing"
TRUTH = _HERE.parent / "tests" / "jobs" / "data" / "parcel_van_truth.json"
DEMO = writing.Demo(
    about="Nets of demo_projects/parcel_van_towing as declared; made by demo_projects/draw_parcel_van.py.",
    sheets=SHEETS,
    joining=JOINING,
    net_names=NET_NAMES,
    fits={"base": frozenset(), "with towing": frozenset({TOWING})},
    document=half_way_project,
    folder=PROJECT,
    truth_file=TRUTH,
)


def truth() -> dict[str, object]:
    """Return what the sheets connect: all nets, their names, the nets and leads of each fit."""
    return writing.truth(DEMO)


def main(arguments: list[str] | None = None) -> None:
    """Draw into the place the arguments name; without any, in place, with the truth."""
    writing.run(DEMO, "Draw the demo project of the parcel van.", arguments)


if __name__ == "__main__":
    main()
