"""Where things lie in the van, and what is chosen for each of its gaps. Every place and length is invented."""

from __future__ import annotations

from pathlib import Path

from drawing.workshop import Choice, Errand, Run, Site, Workshop, choose, lay_out

from loomfolio.project import Project
from parcel_van.job import marked
from parcel_van.survey import STATIONS, record_survey

SITES = (
    Site(
        "Front, under the bonnet",
        is_wet=True,
        ambient_c=75,
        vibration="high",
        covers=("bonnet",),
        parts=("G1", "F1", "U1", "GND3"),
    ),
    Site(
        "Under the driver's seat",
        is_wet=False,
        ambient_c=45,
        vibration="low",
        covers=("driver's seat", "cover of the seat box"),
        parts=("A1",),
    ),
    Site(
        "Left sill",
        is_wet=False,
        ambient_c=45,
        vibration="low",
        covers=("sill trim, left",),
        parts=("X14", "S21"),
    ),
    Site(
        "Rear left, behind the trim",
        is_wet=False,
        ambient_c=50,
        vibration="low",
        covers=("load space trim, left",),
        parts=("A27", "X70", "GND1", "SG1", "E11", "A31", "B6", "B8"),
    ),
    Site(
        "Rear fuse and relay box P2",
        is_wet=False,
        ambient_c=55,
        vibration="low",
        covers=("cover of P2",),
        parts=("F12", "F18", "F27", "F31", "K41"),
    ),
    Site(
        "Rear right, behind the trim",
        is_wet=False,
        ambient_c=50,
        vibration="low",
        covers=("load space trim, right",),
        parts=("E12", "GND2"),
    ),
    Site(
        "Rear end and drawbar",
        is_wet=True,
        ambient_c=45,
        vibration="high",
        covers=("bumper",),
        parts=("X90", "B14", "E20"),
    ),
)
RUNS = (
    Run("Front, under the bonnet", "Under the driver's seat", 2.1, "bulkhead, left", 30),
    Run("Under the driver's seat", "Left sill", 0.7, "along the seat rail"),
    Run("Left sill", "Rear left, behind the trim", 2.8, "duct in the left sill", 28),
    Run("Rear left, behind the trim", "Rear fuse and relay box P2", 0.5, "behind the trim"),
    Run(
        "Rear left, behind the trim",
        "Rear end and drawbar",
        1.2,
        "grommet behind the left lamp",
        30,
    ),
    Run("Rear left, behind the trim", "Rear right, behind the trim", 1.7, "along the rear sill"),
)
ERRANDS = (
    Errand(
        "Drill the plate for X90, deburr, paint, grommet",
        "Rear end and drawbar",
        before=("work: device missing: {X90}",),
        hours=0.5,
    ),
    Errand(
        "Tie the new leads to the rear loom, 50 mm clear of edges",
        "Rear left, behind the trim",
        after=("measure: ring out",),
        hours=0.3,
    ),
    Errand(
        "Put a holder with 20 A in line into the lead from K41:87, 120 mm behind it",
        "Rear fuse and relay box P2",
        after=("work: lead: {K41}///87 {X90}///10",),
        before=("measure: ring out",),
        hours=0.3,
    ),
)
CHOICES = (
    Choice("device missing: {X90}", "fit part: {X90}", "fit part"),
    Choice("device missing: {B14}", "fit part: {B14}", "fit part"),
    Choice("device position of a lower grade: {K41}", "fit part: {K41}", "fit part"),
    Choice("device position of a lower grade: {A27}", "fit part: {A27}", "fit part"),
    Choice("device position of a lower grade: {F31}", "fit part: {F31}", "fit part"),
    Choice("connector missing: {A27}/C2/", "fit connector: {A27}/C2/", "fit connector"),
    Choice("terminal missing: {A27}/C1//8", "fit terminal: {A27}/C1//8", "fit terminal"),
    Choice(
        "bar missing: {X70}///8 {X70}///9 {X70}///10 {X70}///12",
        "fit bar: {X70}///8 {X70}///9 {X70}///10 {X70}///12",
        "fit bar",
    ),
    Choice(
        "lead: {K41}///87 {X90}///10",
        "lead into cavity: {K41}///87 {X90}///10",
        "lead into cavity",
        colour="GY",
        fuse_a=20,
        fuse_distance_mm=120,
    ),
    Choice(
        "lead: {A27}/C2//1 {X90}///1", "lead into cavity: {A27}/C2//1 {X90}///1", "lead into cavity"
    ),
    Choice(
        "lead: {A27}/C2//2 {X90}///4", "lead into cavity: {A27}/C2//2 {X90}///4", "lead into cavity"
    ),
    Choice(
        "lead: {A27}/C2//3 {X90}///2", "lead into cavity: {A27}/C2//3 {X90}///2", "lead into cavity"
    ),
    Choice(
        "lead: {A27}/C2//4 {X90}///7", "lead into cavity: {A27}/C2//4 {X90}///7", "lead into cavity"
    ),
    Choice(
        "lead: {A27}/C2//5 {X90}///5", "lead into cavity: {A27}/C2//5 {X90}///5", "lead into cavity"
    ),
    Choice(
        "lead: {A27}/C2//6 {X90}///6", "lead into cavity: {A27}/C2//6 {X90}///6", "lead into cavity"
    ),
    Choice(
        "lead: {A27}/C2//7 {X90}///8", "lead into cavity: {A27}/C2//7 {X90}///8", "lead into cavity"
    ),
    Choice(
        "lead: {X70}///10 {X90}///13", "lead into cavity: {X70}///10 {X90}///13", "lead into cavity"
    ),
    Choice(
        "lead: {X70}///8 {X90}///3", "lead into cavity: {X70}///8 {X90}///3", "lead into cavity"
    ),
    Choice(
        "lead: {X70}///9 {X90}///11", "lead into cavity: {X70}///9 {X90}///11", "lead into cavity"
    ),
    Choice(
        "lead: {X90}///9 {F31}///2", "lead into cavity: {X90}///9 {F31}///2", "lead into cavity"
    ),
    Choice(
        "lead: joint {A27}/C1//8 {A27}/C1//8",
        "butt splice: joint {A31}/C1//4 {A31}/C1//4 at {A31}/C1//4",
        "butt splice",
        note="The lead of A31 is too short to reach A27.",
    ),
    Choice(
        "other colour: {A27}/C1//1 {F27}///2",
        "take as found: {A27}/C1//1 {F27}///2",
        "take as found",
    ),
)
LATER = (
    Choice("pin missing in header: {A1}/C2//17", "swap part: {A1}", "swap part"),
    Choice("terminal missing: {A1}/C2//17", "fit terminal: {A1}/C2//17", "fit terminal"),
    Choice("terminal missing: {A27}/C1//15", "fit terminal: {A27}/C1//15", "fit terminal"),
    Choice("terminal missing: {A27}/C1//16", "fit terminal: {A27}/C1//16", "fit terminal"),
    Choice("terminal missing: {A27}/C1//9", "fit terminal: {A27}/C1//9", "fit terminal"),
    Choice("terminal missing: {X14}//A/9", "fit terminal: {X14}//A/9", "fit terminal"),
    Choice("terminal missing: {X70}///10", "fit terminal: {X70}///10", "fit terminal"),
    Choice("terminal missing: {X70}///8", "fit terminal: {X70}///8", "fit terminal"),
    Choice("terminal missing: {X70}///9", "fit terminal: {X70}///9", "fit terminal"),
    Choice(
        "cable group missing: {Drawbar force, screened}",
        "fit cable: {A27}/C1//15 {B14}///1 {A27}/C1//16 {B14}///2",
        "fit cable",
    ),
    Choice(
        "lead: {A1}/C2//17 {X14}//A/9",
        "lead into cavity: {A1}/C2//17 {X14}//A/9",
        "lead into cavity",
    ),
    Choice(
        "lead: joint {A27}/C1//9 {A27}/C1//9",
        "tap: joint {A27}/C1//9 {A27}/C1//9",
        "tap",
        note="The halves for an adaptor at E11 cannot be got.",
    ),
)
"""What is chosen for the gaps that are found only once everything has been looked at."""

WORKSHOP = Workshop(SITES, RUNS, CHOICES, LATER, ERRANDS)


def planned_project(folder: Path) -> Project:
    """Return the document with everything marked, confirmed, looked at, and planned to the last lead."""
    marker = marked(folder, reading_on=False)
    record_survey(marker, STATIONS)
    lay_out(marker, WORKSHOP)
    choose(marker, WORKSHOP.choices)
    choose(marker, WORKSHOP.later)
    return marker.project
