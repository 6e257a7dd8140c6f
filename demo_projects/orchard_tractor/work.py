"""Where things lie in the tractor, and what is chosen for each of its gaps. Every place and length is invented."""

from __future__ import annotations

from pathlib import Path

from drawing.workshop import Choice, Errand, Run, Site, Workshop, choose, lay_out

from loomfolio.project import Project
from orchard_tractor.job import marked
from orchard_tractor.survey import STATIONS, record_survey

SITES = (
    Site(
        "Junction box under the seat",
        is_wet=False,
        ambient_c=50,
        vibration="high",
        covers=("seat", "cover over A60"),
        parts=("X61", "X62", "K81", "K82", "U2", "U3"),
    ),
    Site(
        "Left mudguard, place of the inlet",
        is_wet=True,
        ambient_c=45,
        vibration="high",
        covers=("blanking plate of the mudguard",),
        parts=("X95", "M95", "B95", "B96", "GND4"),
    ),
    Site(
        "Behind the dash",
        is_wet=False,
        ambient_c=45,
        vibration="low",
        covers=("dash panel",),
        parts=("A50", "A40"),
    ),
    Site(
        "Fuse box P1",
        is_wet=False,
        ambient_c=45,
        vibration="low",
        covers=("cover of P1",),
        parts=("F40", "F41", "F42", "F43", "J1", "GND2"),
    ),
    Site(
        "Battery compartment",
        is_wet=True,
        ambient_c=45,
        vibration="high",
        covers=("battery cover",),
        parts=("G1", "F90", "GND1"),
    ),
)
RUNS = (
    Run(
        "Left mudguard, place of the inlet",
        "Junction box under the seat",
        1.1,
        "tunnel under the seat, left",
        50,
    ),
    Run("Junction box under the seat", "Behind the dash", 1.6, "along the steering column", 32),
    Run("Behind the dash", "Fuse box P1", 0.6, "behind the dash"),
    Run("Fuse box P1", "Battery compartment", 1.2, "bulkhead grommet", 25),
)
ERRANDS = (
    Errand(
        "Cut the opening for the inlet, deburr, paint",
        "Left mudguard, place of the inlet",
        before=("work: device missing: {X95}",),
        hours=1.0,
    ),
    Errand(
        "Torque the bond at GND4 and measure it: below 0.1 ohm with 0.2 A or more",
        "Left mudguard, place of the inlet",
        after=("work: lead: {X95}///PE {GND4}",),
        hours=0.1,
    ),
)
CHOICES = (
    Choice("device missing: {X95}", "fit part: {X95}", "fit part"),
    Choice("device missing: {M95}", "fit part: {M95}", "fit part"),
    Choice("device missing: {B95}", "fit part: {B95}", "fit part"),
    Choice("device missing: {B96}", "fit part: {B96}", "fit part"),
    Choice("device missing: {A40}", "fit part: {A40}", "fit part"),
    Choice(
        "dummy plug or bridge must go: {X61}//B",
        "remove plug: dummy plug or bridge must go: {X61}//B",
        "remove plug",
    ),
    Choice("terminal missing: {X62}//B/1", "fit terminal: {X62}//B/1", "fit terminal"),
    Choice("terminal missing: {X62}//B/2", "fit terminal: {X62}//B/2", "fit terminal"),
    Choice("terminal missing: {X62}//B/3", "fit terminal: {X62}//B/3", "fit terminal"),
    Choice(
        "cable group missing: {Charge CAN}",
        "lead into cavity: {A40}/C1//4 {A50}/C2//3 {A40}/C1//5 {A50}/C2//4",
        "lead into cavity",
    ),
    Choice(
        "cable group missing: {W95}",
        "fit cable: {X95}///DC+ {X61}//B/1 {X95}///DC- {X61}//B/2",
        "fit cable",
    ),
    Choice(
        "lead: {X62}//B/1 {A40}/C1//6",
        "lead into cavity: {X62}//B/1 {A40}/C1//6",
        "lead into cavity",
    ),
    Choice(
        "lead: {X62}//B/2 {A40}/C1//7",
        "lead into cavity: {X62}//B/2 {A40}/C1//7",
        "lead into cavity",
    ),
    Choice("lead: {X62}//B/3 {GND2}", "lead into cavity: {X62}//B/3 {GND2}", "lead into cavity"),
    Choice(
        "lead: {X95}///CP {A40}/C2//1",
        "lead into cavity: {X95}///CP {A40}/C2//1",
        "lead into cavity",
    ),
    Choice("lead: {X95}///PE {GND4}", "lead into cavity: {X95}///PE {GND4}", "lead into cavity"),
    Choice(
        "lead: {X95}///PP {A40}/C2//2",
        "lead into cavity: {X95}///PP {A40}/C2//2",
        "lead into cavity",
    ),
    Choice(
        "lead: {M95}///1 {A40}/C2//4", "lead into cavity: {M95}///1 {A40}/C2//4", "lead into cavity"
    ),
    Choice(
        "lead: {M95}///2 {A40}/C2//5", "lead into cavity: {M95}///2 {A40}/C2//5", "lead into cavity"
    ),
    Choice(
        "lead: {M95}///3 {A40}/C2//6", "lead into cavity: {M95}///3 {A40}/C2//6", "lead into cavity"
    ),
    Choice(
        "lead: {B95}///1 {A40}/C2//8", "lead into cavity: {B95}///1 {A40}/C2//8", "lead into cavity"
    ),
    Choice(
        "lead: {B95}///2 {A40}/C2//9", "lead into cavity: {B95}///2 {A40}/C2//9", "lead into cavity"
    ),
    Choice(
        "lead: {B96}///1 {A40}/C2//10",
        "lead into cavity: {B96}///1 {A40}/C2//10",
        "lead into cavity",
    ),
    Choice(
        "lead: {B96}///2 {A40}/C2//11",
        "lead into cavity: {B96}///2 {A40}/C2//11",
        "lead into cavity",
    ),
    Choice("lead: {A40}/C1//2 {GND2}", "lead into cavity: {A40}/C1//2 {GND2}", "lead into cavity"),
    Choice(
        "lead: {A40}/C1//3 {A50}/C2//9",
        "lead into cavity: {A40}/C1//3 {A50}/C2//9",
        "lead into cavity",
    ),
    Choice(
        "other colour: {X62}//B/4 {U2}/C1//2",
        "take as found: {X62}//B/4 {U2}/C1//2",
        "take as found",
    ),
)
LATER = (
    Choice("device position of a lower grade: {F42}", "fit part: {F42}", "fit part"),
    Choice("needs coding: {A50}/C2//9", "code module: {A50}", "code module"),
    Choice("terminal missing: {A50}/C2//3", "fit terminal: {A50}/C2//3", "fit terminal"),
    Choice("terminal missing: {A50}/C2//4", "fit terminal: {A50}/C2//4", "fit terminal"),
    Choice("terminal missing: {A50}/C2//9", "fit terminal: {A50}/C2//9", "fit terminal"),
    Choice(
        "lead: {A40}/C1//1 {F42}///2", "lead into cavity: {A40}/C1//1 {F42}///2", "lead into cavity"
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
