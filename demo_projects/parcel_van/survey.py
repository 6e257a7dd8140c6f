"""What was seen on the van in the workshop, where it contradicts the sheets, and how it was before the work.

The survey contradicts the sheets twice, both times at the plug of the trailer module, which every van
has: the branch of the rear fog lamp is not in its cavity 9, and the supply in its cavity 1 has another
stripe. What follows from it all stands in `tests/jobs/data/parcel_van_gaps.json`, written by hand first.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from drawing.marks import Marker
from drawing.survey import SeenHalf, Station, record_stations

from loomfolio.project import FaultCode, FunctionCheck, Project, edits
from parcel_van.job import marked
from parcel_van.sheets import SHEETS

LOOKED_ON = date(2024, 4, 16)


def _numbers(first: int, last: int) -> tuple[str, ...]:
    return tuple(str(number) for number in range(first, last + 1))


FUSE_BOX = Station(
    "Rear fuse and relay box P2",
    positions={
        "F12": "complete",
        "F18": "complete",
        "F27": "complete",
        "F31": "lead but no part",
        "K41": "lead but no part",
    },
)
IN_LINE = Station(
    "X14 between front and rear loom",
    halves={
        "X14.A": SeenHalf("wire side", (*_numbers(1, 8), "10"), {"9": "empty"}),
        "X14.B": SeenHalf("wire side", (*_numbers(5, 14),)),
    },
)
PLUG_UPPER_ROW = Station(
    "Plug of the trailer module behind the left trim, cavities 1 to 9",
    halves={
        "A27 C1": SeenHalf(
            "mating side",
            _numbers(1, 7),
            {"8": "empty", "9": "empty"},
            colours={"1": "RD/YE"},
        )
    },
    positions={"A27": "lead but no part"},
)
PLUG_LOWER_ROW = Station(
    "Plug of the trailer module, cavities 10 to 18",
    halves={"A27 C1": SeenHalf("mating side", ("10", "11", "12"), {"15": "empty", "16": "empty"})},
)
JOINT = Station(
    "Joint connector, rear left",
    halves={
        "X70": SeenHalf(
            "wire side",
            (*_numbers(1, 6), "12"),
            {"8": "empty", "9": "empty", "10": "empty"},
        )
    },
    bars={("X70", "bar 1"): "there", ("X70", "bar 2"): "missing"},
)
BODY_CONTROLLER = Station(
    "Body controller under the seat",
    halves={
        "A1 C2": SeenHalf("wire side", ("1", "5", "6", "8", "21", "22", "23"), {"17": "plugged"})
    },
    headers={"A1 C2:17": "missing"},
)
PARK_ASSIST = Station("Park assist", halves={"A31 C1": SeenHalf("wire side", ("1", "2", "4"))})
REAR_END = Station(
    "Behind the bumper and at the drawbar",
    halves={
        "A27 C2": SeenHalf("unknown", state="not there"),
        "X90": SeenHalf("unknown", state="not there"),
        "B14": SeenHalf("unknown", state="not there"),
    },
)
STATIONS = (
    FUSE_BOX,
    IN_LINE,
    PLUG_UPPER_ROW,
    PLUG_LOWER_ROW,
    JOINT,
    BODY_CONTROLLER,
    PARK_ASSIST,
    REAR_END,
)
LOOKED_AT = STATIONS[:4]
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
        fault_codes=(
            FaultCode(code="A31-204", module="A31", text="Sensor rear left, water in the plug"),
        ),
        functions=(
            FunctionCheck(name="Indicators, both sides", works=True),
            FunctionCheck(name="Tail and number plate lamps", works=True),
            FunctionCheck(name="Stop lamps", works=True),
            FunctionCheck(name="Rear fog lamp", works=True),
            FunctionCheck(name="Reversing lamp", works=True),
            FunctionCheck(
                name="Park assist, rear",
                works=False,
                note="Beeps all the time; so before the work.",
            ),
            FunctionCheck(name="Load space temperature shown", works=True),
        ),
        sleep_current_ma=14.0,
        note="Asleep 11 minutes after the key was taken away.",
    ).project


def surveyed_project(folder: Path, *, reading_on: bool = False) -> Project:
    """Return the document with everything marked, confirmed and looked at; see `complete_project`."""
    marker = marked(folder, reading_on=reading_on)
    record_survey(marker, STATIONS)
    return marker.project
