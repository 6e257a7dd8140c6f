"""Fits, specimens, survey, gaps: what the equipped vehicle has and this one lacks."""

from loomfolio.retrofit.applying import apply_gaps
from loomfolio.retrofit.baseline import BaselineComparison, compare_baselines
from loomfolio.retrofit.circuits import circuit_reasons, circuits_of
from loomfolio.retrofit.donor import DifferingHalf, DonorCover, FollowingLoom, donor_cover
from loomfolio.retrofit.effort import Span, effort_hours
from loomfolio.retrofit.estimate import (
    Alternative,
    AlternativeKind,
    Estimate,
    estimate,
    estimate_text,
)
from loomfolio.retrofit.fits import compare_fits
from loomfolio.retrofit.gaps import find_gaps
from loomfolio.retrofit.job import (
    FitMemory,
    FitView,
    GapMemory,
    JobGaps,
    compare_sides,
    fit_view,
    job_gaps,
    this_vehicle,
)
from loomfolio.retrofit.list_files import ListFile, read_list, sheet_names
from loomfolio.retrofit.lists import ListResult, RowFault, bring_in_list, proposed_layout
from loomfolio.retrofit.matching import match_halves
from loomfolio.retrofit.records import (
    Closing,
    DecidingPlace,
    Ends,
    EquippedLead,
    FitComparison,
    Gap,
    GapKind,
    Matching,
    MatchQuestion,
    Mend,
    MovedLead,
    Node,
    SeenPlace,
    SideVerdict,
    Sureness,
)
from loomfolio.retrofit.renaming import Renaming
from loomfolio.retrofit.scope import job_scope
from loomfolio.retrofit.seen import Seen, VehicleState, vehicle_as_it_is
from loomfolio.retrofit.state import Equipment, equipment_of
from loomfolio.retrofit.survey import (
    Expected,
    expected_in,
    face_places,
    mirrored,
    side_verdict,
    store_face,
)

__all__ = [
    "Alternative",
    "AlternativeKind",
    "BaselineComparison",
    "Closing",
    "DecidingPlace",
    "DifferingHalf",
    "DonorCover",
    "Ends",
    "Equipment",
    "EquippedLead",
    "Estimate",
    "Expected",
    "FitComparison",
    "FitMemory",
    "FitView",
    "FollowingLoom",
    "Gap",
    "GapKind",
    "GapMemory",
    "JobGaps",
    "ListFile",
    "ListResult",
    "MatchQuestion",
    "Matching",
    "Mend",
    "MovedLead",
    "Node",
    "Renaming",
    "RowFault",
    "Seen",
    "SeenPlace",
    "SideVerdict",
    "Span",
    "Sureness",
    "VehicleState",
    "apply_gaps",
    "bring_in_list",
    "circuit_reasons",
    "circuits_of",
    "compare_baselines",
    "compare_fits",
    "compare_sides",
    "donor_cover",
    "effort_hours",
    "equipment_of",
    "estimate",
    "estimate_text",
    "expected_in",
    "face_places",
    "find_gaps",
    "fit_view",
    "job_gaps",
    "job_scope",
    "match_halves",
    "mirrored",
    "proposed_layout",
    "read_list",
    "sheet_names",
    "side_verdict",
    "store_face",
    "this_vehicle",
    "vehicle_as_it_is",
]
