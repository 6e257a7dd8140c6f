"""How the bench speaks of a plan of the work: numbers of leads and joints, ends, figures, what was done already.

New leads are N1, N2, …, joints J1, J2, … and steps 1, 2, …, each in the order of the plan; map numbers
stay plain, so that no two numbers can be mixed up.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from loomfolio.electrics import Figure
from loomfolio.project import Doing, PinKey, Project, half_text, pin_text
from loomfolio.retrofit import Equipment, JobGaps, LeadEnd, Node, PlannedLead, WorkPlan

NOT_CONFIRMED = "*"
"""Stands behind a figure that rests on a value from memory."""


@dataclass(frozen=True, eq=False)
class PlanWords:
    """The words for one plan of one document; `zone` narrows it to what is done in one zone."""

    project: Project
    job: JobGaps
    plan: WorkPlan
    zone: str | None = None

    @cached_property
    def lead_numbers(self) -> dict[str, str]:
        """The number of each new lead by its key."""
        return {lead.key: f"N{number}" for number, lead in enumerate(self.plan.leads, 1)}

    @cached_property
    def joint_numbers(self) -> dict[str, str]:
        """The number of each joint by its key."""
        return {joint.key: f"J{number}" for number, joint in enumerate(self.plan.joints, 1)}

    @cached_property
    def zone_names(self) -> dict[str, str]:
        """The name of each zone by its id."""
        return {zone.id: zone.name for zone in self.project.zones}

    @cached_property
    def doings(self) -> dict[str, Doing]:
        """What was noted as done, by its subject."""
        return {doing.subject: doing for doing in self.project.doings}

    @property
    def side(self) -> Equipment:
        """The vehicle as it is to be."""
        return self.job.target.equipment

    def is_done(self, key: str) -> bool:
        """Was this ticked?"""
        return key in self.doings and self.doings[key].is_done

    def zone_text(self, zone: str | None) -> str:
        """Return the name of a zone; empty where there is none."""
        return self.zone_names.get(zone or "", zone or "")

    def is_in_zone(self, zones: Iterable[str | None]) -> bool:
        """Does something of these zones belong on the sheet? Everything does where no zone was asked for."""
        return self.zone is None or self.zone in {self.zone_text(zone) for zone in zones}

    def node(self, node: Node) -> str:
        """Return a node as a person writes it."""
        if isinstance(node, PinKey):
            return pin_text(self.project, node)
        return self.side.part_names.get(node) or self.job.state.equipment.part_names.get(node, node)

    def end(self, end: LeadEnd) -> str:
        """Return one end of a new lead: its pin, or the number of its joint."""
        if end.pin is not None:
            return pin_text(self.project, end.pin)
        return self.joint_numbers.get(end.joint or "", end.text)

    def half(self, node: Node) -> str:
        """Return the half, or the ground point or splice, that a node belongs to."""
        if isinstance(node, PinKey):
            return half_text(self.project, node.half_key)
        return self.node(node)

    def leads_at(self, pin: PinKey) -> list[PlannedLead]:
        """Return the new leads that end at a pin."""
        return [lead for lead in self.plan.leads if any(end.pin == pin for end in lead.ends)]


def figure_text(figure: Figure | None, unit: str | None = None, digits: int = 3) -> str:
    """Return a figure as it is printed, a sign behind it where it is not confirmed; empty for None."""
    if figure is None:
        return ""
    shown = figure.unit if unit is None else unit
    sign = "" if figure.is_confirmed else NOT_CONFIRMED
    return f"{figure.value:.{digits}g}{sign}{' ' + shown if shown else ''}"


def length_text(figure: Figure | None) -> str:
    """Return a length to cut in m with two digits; empty where it is measured on the vehicle."""
    return (
        ""
        if figure is None
        else f"{figure.value:.2f}{'' if figure.is_confirmed else NOT_CONFIRMED}"
    )
