"""From gaps to work: offers, lengths, sizes, joints, steps in their order, effort."""

from loomfolio.retrofit.work.offers import all_offers, offers_for
from loomfolio.retrofit.work.records import (
    HoldPoint,
    LeadEnd,
    MaterialRow,
    Offer,
    OpeningFill,
    PickUp,
    PlanComparison,
    PlanFinding,
    PlannedJoint,
    PlannedLead,
    PlannedOperation,
    PlannedPart,
    PlannedStep,
    WorkPlan,
)

__all__ = [
    "HoldPoint",
    "LeadEnd",
    "MaterialRow",
    "Offer",
    "OpeningFill",
    "PickUp",
    "PlanComparison",
    "PlanFinding",
    "PlannedJoint",
    "PlannedLead",
    "PlannedOperation",
    "PlannedPart",
    "PlannedStep",
    "WorkPlan",
    "all_offers",
    "offers_for",
]
