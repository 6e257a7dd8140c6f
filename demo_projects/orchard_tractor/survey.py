"""What was seen on the tractor in the yard, where it contradicts the sheets, and how it was before the work.

The survey contradicts the sheets once: the interlock lead in cavity 4 of X62 has another stripe. Nothing
on the high-voltage side was opened for it: the dummy plug was looked at from outside. What follows from
it all stands in `tests/jobs/data/orchard_tractor_gaps.json`, written by hand first.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from drawing.marks import Marker
from drawing.survey import SeenHalf, Station, record_stations

from loomfolio.project import FunctionCheck, Project, edits
from orchard_tractor.job import marked
from orchard_tractor.sheets import SHEETS

LOOKED_ON = date(2025, 2, 4)

JUNCTION_BOX = Station(
    "Junction box A60 under the seat",
    halves={
        "X61.B": SeenHalf(
            "unknown",
            state="dummy plug",
            note="Seal whole. Looked at from outside, not unplugged.",
        ),
        "X62.B": SeenHalf(
            "wire side",
            ("4", "5"),
            {"1": "empty", "2": "empty", "3": "empty"},
            colours={"4": "VT/GN"},
        ),
    },
)
FUSE_BOX = Station(
    "Fuse box P1",
    positions={"F40": "complete", "F41": "complete", "F42": "lead but no part", "F43": "complete"},
)
VEHICLE_CONTROLLER = Station(
    "Vehicle controller behind the dash",
    halves={
        "A50 C2": SeenHalf("wire side", ("1", "2"), {"3": "empty", "4": "empty", "9": "plugged"})
    },
    headers={"A50 C2:3": "there", "A50 C2:4": "there", "A50 C2:9": "needs coding"},
)
PLACE_OF_INLET = Station(
    "Left mudguard, where the inlet goes",
    halves={
        name: SeenHalf("unknown", state="not there")
        for name in ("X95", "M95", "B95", "B96", "A40 C1", "A40 C2")
    },
)
STATIONS = (JUNCTION_BOX, FUSE_BOX, VEHICLE_CONTROLLER, PLACE_OF_INLET)
LOOKED_AT = STATIONS[:2]
"""Where the person has been so far."""


def record_survey(marker: Marker, stations: Sequence[Station]) -> None:
    """Put the baseline, and what was seen at some stations, into the document."""
    record_stations(marker, stations, SHEETS, on=LOOKED_ON)
    (specimen,) = marker.project.specimens
    marker.project = edits.add_baseline(
        marker.project,
        specimen=specimen.id,
        when="before",
        on=LOOKED_ON,
        functions=(
            FunctionCheck(name="Drives forward and back", works=True),
            FunctionCheck(name="Charges at the AC socket", works=True),
            FunctionCheck(name="Power take-off", works=True),
            FunctionCheck(name="Does not drive while the charging cable is in", works=True),
        ),
        sleep_current_ma=9.0,
        note="No fault codes stored.",
    ).project


def surveyed_project(folder: Path, *, reading_on: bool = False) -> Project:
    """Return the document with everything marked, confirmed and looked at; see `complete_project`."""
    marker = marked(folder, reading_on=reading_on)
    record_survey(marker, STATIONS)
    return marker.project
