"""Draw the sheets of the orchard tractor and write its demo project and the truth about its nets.

    python demo_projects/draw_orchard_tractor.py            everything, in place
    python demo_projects/draw_orchard_tractor.py --into DIR the project only, into another folder

The tractor, its maker and every line on the sheets are invented; what the contacts of the inlet do, and
the values of its pilot, are those of IEC 62196-3 and IEC 61851-1. The sheets are declared in
`orchard_tractor/`, drawn by `drawing/`; the truth comes from the declared ends of the wires, not from the
picture. What the tractor lacks stands in `tests/jobs/data/orchard_tractor_gaps.json`, which is not made
here: it was written by hand before the sheets were drawn and before any code that finds gaps was run.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "app"))
sys.path.insert(0, str(Path(__file__).resolve().parent))

from drawing import writing
from orchard_tractor.half_way import half_way_project
from orchard_tractor.job import complete_project
from orchard_tractor.parts import JOINING, NET_NAMES
from orchard_tractor.publication import OPTION
from orchard_tractor.sheets import SHEETS
from orchard_tractor.survey import surveyed_project
from orchard_tractor.work import planned_project

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
PROJECT = _HERE / "orchard_tractor_dc_inlet"
TRUTH = _HERE.parent / "tests" / "jobs" / "data" / "orchard_tractor_truth.json"
DEMO = writing.Demo(
    about="Nets of demo_projects/orchard_tractor_dc_inlet as declared;"
    " made by demo_projects/draw_orchard_tractor.py.",
    sheets=SHEETS,
    joining=JOINING,
    net_names=NET_NAMES,
    fits={"base": frozenset(), "with DC charging": frozenset({OPTION})},
    document=half_way_project,
    folder=PROJECT,
    truth_file=TRUTH,
)


def truth() -> dict[str, object]:
    """Return what the sheets connect: all nets, their names, the nets and leads of each fit."""
    return writing.truth(DEMO)


def main(arguments: list[str] | None = None) -> None:
    """Draw into the place the arguments name; without any, in place, with the truth."""
    writing.run(DEMO, "Draw the demo project of the orchard tractor.", arguments)


if __name__ == "__main__":
    main()
