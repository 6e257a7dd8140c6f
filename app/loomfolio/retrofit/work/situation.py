"""What planning looks at, worked out once for a job: both sides, classes of circuits, zones, effort.

Nodes are pins, splices and ground points of the target; the vehicle is spoken of in the same words. What
is joined in the vehicle to a node is its block: a lead may end anywhere on it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import cached_property

from loomfolio.basics import EditError
from loomfolio.electrics import Tables, standard_tables
from loomfolio.project import CircuitClass, HalfKey, PinKey, Project, natural_order
from loomfolio.retrofit.circuits import circuits_of
from loomfolio.retrofit.donor import DonorCover, donor_cover
from loomfolio.retrofit.evidence import Sides
from loomfolio.retrofit.job import FitView, JobGaps
from loomfolio.retrofit.nodes import node_order
from loomfolio.retrofit.records import Ends, Gap, Node
from loomfolio.retrofit.state import Equipment
from loomfolio.retrofit.work.effort_book import EffortBook
from loomfolio.retrofit.work.zones import ZoneMap


def _with_all_names(project: Project, job: JobGaps) -> Equipment:
    """The target with the names of parts that only the vehicle has: work is spoken of at both."""
    target, vehicle = job.target.equipment, job.state.equipment
    stored = {part.id: part.name for part in project.parts}
    return replace(target, part_names={**vehicle.part_names, **stored, **target.part_names})


class Situation:
    """A job as planning sees it. Everything in it is derived and looked at only."""

    def __init__(self, project: Project, job: JobGaps) -> None:
        self.project, self.job = project, job
        self.target = _with_all_names(project, job)
        told_apart = job.state.equipment.speaking_of(self.target).telling_splices_apart(self.target)
        self.vehicle = told_apart
        self.sides = Sides(self.target, replace(job.state, equipment=told_apart))
        self.seen = job.state.seen
        self.zones = ZoneMap(project)
        self.effort = EffortBook(project)
        self.tables: Tables = standard_tables()
        self.gaps: Mapping[str, Gap] = {
            gap.key: gap for gap in job.gaps if gap.in_scope and gap.is_open
        }

    # ------------------------------------------------------------------------------------ words

    def text(self, node: Node) -> str:
        """Return a node as a person writes it, whichever side knows it."""
        return self.sides.text(node)

    def lead_text(self, ends: Ends) -> str:
        """Return a lead by its two ends."""
        return f"{self.text(ends[0])} to {self.text(ends[1])}"

    def half_text(self, half: HalfKey) -> str:
        """Return a half as a person writes it."""
        return self.target.half_text(half)

    def part_name(self, part: str) -> str:
        """Return the name of a part."""
        return self.target.part_names[part]

    def kind(self, node: Node) -> str:
        """Return the kind of part that a node belongs to; drawn joints are splices."""
        part = node if isinstance(node, str) else node.part
        return self.target.part_kinds.get(part) or self.vehicle.part_kinds.get(part, "splice")

    # --------------------------------------------------------------------------------- circuits

    @cached_property
    def _classes(self) -> tuple[tuple[FitView, Mapping[int, frozenset[CircuitClass]]], ...]:
        views = (self.job.target, self.job.vehicle)
        return tuple((view, circuits_of(self.project, view.netlist)) for view in views)

    def classes(self, *nodes: Node) -> frozenset[CircuitClass]:
        """Return the classes of the circuits that some nodes belong to, on either side."""
        found: set[CircuitClass] = set()
        for node in nodes:
            for pin in self._pins_of(node):
                for view, classes in self._classes:
                    net = view.netlist.net_by_pin.get(pin)
                    if net is not None:
                        found |= classes.get(net, frozenset())
        return frozenset(found)

    def _pins_of(self, node: Node) -> Iterable[PinKey]:
        """The pins that say which net a node is on: itself, or those of its part, or of its leads."""
        if isinstance(node, PinKey):
            return (node,)
        own = self._pins_of_part.get(node, [])
        if own:
            return own
        ends = [*self.target.leads.at.get(node, ()), *self.vehicle.leads.at.get(node, ())]
        return [end for pair in ends for end in pair if isinstance(end, PinKey)]

    def net_name(self, *nodes: Node) -> str:
        """Return the name of the net of some nodes; empty where it has none."""
        for node in nodes:
            for pin in self._pins_of(node):
                if pin in self.target.signals:
                    return self.target.signals[pin]
        return ""

    def is_chassis(self, node: Node) -> bool:
        """Is a node a ground point of the chassis, or joined to one in the target?"""
        chassis = {ref.id for ref in self.project.references if ref.kind == "chassis"}
        points = {part.id for part in self.project.parts if part.reference in chassis}
        return any(own in points for own in self.joined(node, on_target=True))

    # ---------------------------------------------------------------------------------- the vehicle

    def joined(self, node: Node, *, on_target: bool = False) -> tuple[Node, ...]:
        """Return the block of a node: all that is joined to it, itself first."""
        side = self.target if on_target else self.vehicle
        found: dict[Node, None] = {node: None}
        rest = [node]
        while rest:
            for other in sorted(side.neighbours(rest.pop()), key=node_order):
                if other not in found:
                    found[other] = None
                    rest.append(other)
        return tuple(found)

    def leads_at(self, node: Node) -> tuple[Ends, ...]:
        """Return the leads that are at a node in the vehicle."""
        return self.vehicle.leads.at.get(node, ())

    def is_there(self, node: Node) -> bool:
        """Does the vehicle have the half, splice or ground point already?"""
        return self.vehicle.knows(node)

    def cavity_state(self, pin: PinKey) -> str:
        """Return what was seen in a cavity; empty where nobody has looked."""
        entry = self.seen.cavities.get(pin)
        return "" if entry is None else entry.state

    def is_module_in_vehicle(self, node: Node) -> bool:
        """Is it a pin of a module that is in the vehicle?"""
        return isinstance(node, PinKey) and self.kind(node) == "module" and self.is_there(node)

    def pins_of_half(self, half: HalfKey) -> tuple[PinKey, ...]:
        """Return the pins of a half that the target's documents speak of."""
        own = self._pins_of_part.get(half.part, ())
        place = (half.connector, half.half)
        return tuple(pin for pin in own if (pin.connector, pin.half) == place)

    @cached_property
    def _pins_of_part(self) -> Mapping[str, list[PinKey]]:
        found: dict[str, list[PinKey]] = {}
        for pin in self.target.pins:
            found.setdefault(pin.part, []).append(pin)
        return found

    def counted(self, pin: PinKey) -> tuple[int, int, int]:
        """Return the place of a pin among those known of its half: from the first, from the last, of how many."""
        own = {p.pin for p in self.pins_of_half(pin.half_key)}
        names = sorted(own | {pin.pin}, key=natural_order)
        place = names.index(pin.pin) + 1
        return place, len(names) - place + 1, len(names)

    # ------------------------------------------------------------------------------------- donors

    @cached_property
    def donors(self) -> tuple[tuple[str, DonorCover], ...]:
        """The donor looms at hand by name, each with what it covers; those without a harness are left out."""
        found: list[tuple[str, DonorCover]] = []
        for specimen in self.project.specimens:
            if specimen.kind == "donor loom":
                try:
                    found.append((specimen.name, donor_cover(self.job, self.project, specimen)))
                except EditError:
                    continue
        return tuple(found)
