"""Fits, specimens, survey, gaps: what the equipped vehicle has and this one lacks."""

from loomfolio.retrofit.applying import apply_gaps
from loomfolio.retrofit.gaps import find_gaps
from loomfolio.retrofit.records import (
    Closing,
    EquippedLead,
    FitComparison,
    Gap,
    GapKind,
    Mend,
    Node,
)
from loomfolio.retrofit.scope import job_scope
from loomfolio.retrofit.seen import Seen, VehicleState, vehicle_as_it_is
from loomfolio.retrofit.state import Equipment, equipment_of

__all__ = [
    "Closing",
    "Equipment",
    "EquippedLead",
    "FitComparison",
    "Gap",
    "GapKind",
    "Mend",
    "Node",
    "Seen",
    "VehicleState",
    "apply_gaps",
    "equipment_of",
    "find_gaps",
    "job_scope",
    "vehicle_as_it_is",
]
