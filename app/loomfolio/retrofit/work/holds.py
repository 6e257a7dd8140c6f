"""Hold points of work at high voltage: making it dead and proving it, and the way back.

The order is that of the cautions and of the trade: 12 V off; service disconnect out and kept by the one who
works; the maker's waiting time; tester proved, measured, proved again; below 60 V DC. Then the work. Then
12 V back with the disconnect still out; codes; loop; and traction last.
"""

from __future__ import annotations

from collections.abc import Mapping

from loomfolio.project import Project
from loomfolio.retrofit.work.records import HoldPoint

DOWN = (
    "hold: 12 V off",
    "hold: disconnect out",
    "hold: waiting time",
    "hold: tester",
    "hold: dead",
)
BACK = ("hold: 12 V back", "hold: codes", "hold: loop", "hold: traction")

_TITLES: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "hold: 12 V off": (
        "12 V off",
        (
            "Vehicle off, charging cable out, key out of range and kept by the one who works",
            "12 V battery off as the maker says; a second 12 V source and the DC/DC converter are off, too",
        ),
    ),
    "hold: disconnect out": (
        "Service disconnect out",
        (
            "Taken out in the maker's order, locked away, and kept by the one who works",
            "A notice with name and date hangs on the vehicle",
        ),
    ),
    "hold: waiting time": (
        "The maker's waiting time",
        ("Minutes waited, and the maker's figure; at least 10 where none can be found",),
    ),
    "hold: tester": (
        "Tester proved, measured, proved again",
        (
            "Tester and leads rated CAT III 1000 V: proved on a known source",
            "Plus to minus, plus to chassis, minus to chassis: three readings",
            "Tester proved on the known source again",
        ),
    ),
    "hold: dead": (
        "Below 60 V DC",
        ("Every reading is below 60 V DC; above means stop",),
    ),
    "hold: 12 V back": (
        "12 V back with the disconnect out",
        ("High-voltage covers are closed, the disconnect is still with the one who works",),
    ),
    "hold: codes": (
        "Codes read",
        ("Fault codes against the baseline: none that was not there, but for the disconnect",),
    ),
    "hold: loop": (
        "Interlock loop as the vehicle sees it",
        ("The loop reads closed, and open with the disconnect out",),
    ),
    "hold: traction": (
        "Traction back",
        (
            "Isolation of both poles against chassis: at least 100 ohm per volt",
            "The disconnect goes in last, by the one who kept it",
        ),
    ),
}


def hold_points(project: Project) -> Mapping[str, HoldPoint]:
    """Return the hold points of work at high voltage by their keys, with who has signed each."""
    signed = {one.hold: one.by for one in project.signatures}
    return {
        key: HoldPoint(key, title, to_read, signed.get(key, ""))
        for key, (title, to_read) in _TITLES.items()
    }
