"""Fits, specimens, survey, gaps: what the equipped vehicle has and this one lacks."""

from loomfolio.retrofit.applying import apply_gaps
from loomfolio.retrofit.gaps import find_gaps
from loomfolio.retrofit.job import (
    FitView,
    GapMemory,
    JobGaps,
    compare_sides,
    fit_view,
    job_gaps,
    this_vehicle,
)
from loomfolio.retrofit.matching import match_halves
from loomfolio.retrofit.records import (
    Closing,
    EquippedLead,
    FitComparison,
    Gap,
    GapKind,
    Matching,
    MatchQuestion,
    Mend,
    Node,
)
from loomfolio.retrofit.renaming import Renaming
from loomfolio.retrofit.scope import job_scope
from loomfolio.retrofit.seen import Seen, VehicleState, vehicle_as_it_is
from loomfolio.retrofit.state import Equipment, equipment_of

__all__ = [
    "Closing",
    "Equipment",
    "EquippedLead",
    "FitComparison",
    "FitView",
    "Gap",
    "GapKind",
    "GapMemory",
    "JobGaps",
    "MatchQuestion",
    "Matching",
    "Mend",
    "Node",
    "Renaming",
    "Seen",
    "VehicleState",
    "apply_gaps",
    "compare_sides",
    "equipment_of",
    "find_gaps",
    "fit_view",
    "job_gaps",
    "job_scope",
    "match_halves",
    "this_vehicle",
    "vehicle_as_it_is",
]
