"""From gaps to work: offers, lengths, sizes, joints, steps in their order, effort."""

from loomfolio.retrofit.work.offers import all_offers, offers_for
from loomfolio.retrofit.work.plan import Preference, compare_plans, plan_work, take_best
from loomfolio.retrofit.work.records import (
    HoldPoint,
    LeadEnd,
    MaterialRow,
    NewEnd,
    NewLead,
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
    "NewEnd",
    "NewLead",
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
    "Preference",
    "WorkPlan",
    "all_offers",
    "compare_plans",
    "offers_for",
    "plan_work",
    "take_best",
]
