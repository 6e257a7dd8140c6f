"""What the rules look at, worked out once: the target's nets and leads, what is new in them, notes, states, plan.

Without a job there is no vehicle to compare with; then nothing counts as new, and the rules about new
things are silent.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from loomfolio.electrics import Figure, Tables, standard_tables
from loomfolio.nets import MapRow, Netlist
from loomfolio.project import (
    CircuitClass,
    Part,
    PinKey,
    Project,
    RelayNote,
    half_text,
    pin_text,
)
from loomfolio.retrofit.circuits import circuit_reasons
from loomfolio.retrofit.job import JobGaps
from loomfolio.retrofit.live import LiveFault, live_table
from loomfolio.retrofit.loops import BusPair, InterlockLoop, bus_pairs, interlock_loops
from loomfolio.retrofit.records import Ends, EquippedLead, Node
from loomfolio.retrofit.rules.feeding import FeedingWays
from loomfolio.retrofit.state import Equipment, equipment_of
from loomfolio.retrofit.work import WorkPlan


@dataclass(frozen=True, slots=True)
class TargetLead:
    """A lead of the target: its ends, its net, and whether this vehicle lacks it."""

    ends: Ends
    lead: EquippedLead
    net: int
    is_new: bool

    @property
    def pins(self) -> tuple[PinKey, ...]:
        """The pins at its ends."""
        return self.lead.pins


class Judged:
    """A target to be judged: its document and nets, and where they are known its job and its plan."""

    def __init__(
        self,
        project: Project,
        netlist: Netlist,
        rows: Sequence[MapRow],
        *,
        job: JobGaps | None = None,
        plan: WorkPlan | None = None,
    ) -> None:
        self.project, self.netlist, self.rows = project, netlist, tuple(rows)
        self.job, self.plan = job, plan

    # -------------------------------------------------------------------------------- in words

    def pin(self, pin: PinKey) -> str:
        """Return a pin as a person writes it."""
        return pin_text(self.project, pin)

    def half(self, pin: PinKey) -> str:
        """Return the half of a pin as a person writes it."""
        return half_text(self.project, pin.half_key)

    def lead_text(self, lead: TargetLead) -> str:
        """Return a lead by its two ends."""
        names = [self.node(node) for node in lead.ends]
        return f"{names[0]} to {names[1]}"

    def node(self, node: Node) -> str:
        """Return a pin, splice or ground point as a person writes it."""
        if isinstance(node, PinKey):
            return self.pin(node)
        return self.equipment.part_names.get(node, "a joint")

    def net(self, number: int) -> str:
        """Return a net by its name, or by its first pin."""
        net = self.netlist.nets[number]
        return net.name or (self.pin(net.pins[0]) if net.pins else "a net")

    # ------------------------------------------------------------------------------- the target

    @cached_property
    def tables(self) -> Tables:
        """The tables of the trade."""
        return standard_tables()

    @cached_property
    def equipment(self) -> Equipment:
        """What the target says is there."""
        if self.job is not None and self.job.target.netlist is self.netlist:
            return self.job.target.equipment
        return equipment_of(self.netlist, self.rows)

    @cached_property
    def parts(self) -> Mapping[str, Part]:
        """The parts of the target by their id."""
        return {part.id: part for part in self.netlist.project.parts}

    def part(self, pin: PinKey) -> Part:
        """Return the part of a pin."""
        return self.parts[pin.part]

    @cached_property
    def classes(self) -> Mapping[int, Mapping[CircuitClass, str]]:
        """The classes of each net, each with the clause that says why."""
        return circuit_reasons(self.project, self.netlist)

    def nets_of_class(self, *circuits: CircuitClass) -> tuple[int, ...]:
        """Return the nets that are of one of some classes."""
        return tuple(
            net for net, own in self.classes.items() if not own.keys().isdisjoint(circuits)
        )

    def is_of_class(self, net: int, *circuits: CircuitClass) -> bool:
        """Is a net of one of some classes?"""
        return not self.classes.get(net, {}).keys().isdisjoint(circuits)

    @cached_property
    def leads(self) -> tuple[TargetLead, ...]:
        """The leads of the target."""
        return tuple(_target_leads(self))

    @cached_property
    def new_leads(self) -> tuple[TargetLead, ...]:
        """The leads that this vehicle lacks."""
        return tuple(lead for lead in self.leads if lead.is_new)

    @cached_property
    def _worked_at(self) -> frozenset[str]:
        return frozenset(
            part
            for gap in (self.job.gaps if self.job is not None else ())
            for part in (*(pin.part for pin in gap.pins), gap.part or "")
        )

    def is_worked_at(self, part: str) -> bool:
        """Does the job have to do with a part? Without a job every part counts."""
        return self.job is None or part in self._worked_at

    @cached_property
    def grounds(self) -> Mapping[int, tuple[Part, ...]]:
        """The ground points on each net that holds one."""
        found: dict[int, dict[str, Part]] = {}
        for pin, net in self.netlist.net_by_pin.items():
            part = self.parts[pin.part]
            if part.kind == "ground point":
                found.setdefault(net, {})[part.id] = part
        return {net: tuple(own.values()) for net, own in found.items()}

    def reference(self, part: Part) -> str:
        """Return the kind of reference that a ground point stands on; chassis where none is named."""
        kinds = {reference.id: reference.kind for reference in self.netlist.project.references}
        return kinds.get(part.reference or "", "chassis")

    # ------------------------------------------------------------------------ feeds and relays

    @cached_property
    def feeds(self) -> FeedingWays:
        """What feeds what."""
        return FeedingWays(self.project, self.netlist)

    @cached_property
    def relays(self) -> Mapping[str, RelayNote]:
        """What is noted of relays, by part."""
        return {n.part: n for n in self.project.electric_notes if isinstance(n, RelayNote)}

    # ----------------------------------------------------------------------------- loops and states

    @cached_property
    def interlocks(self) -> tuple[InterlockLoop, ...]:
        """The interlock loops of the target."""
        return interlock_loops(self.project, self.netlist, self.equipment)

    @cached_property
    def pairs(self) -> tuple[BusPair, ...]:
        """The bus pairs of the target."""
        lengths = self._planned_lengths()
        return bus_pairs(self.project, self.netlist, self.equipment, self.tables, lengths=lengths)

    def _planned_lengths(self) -> dict[Ends, Figure]:
        found: dict[Ends, Figure] = {}
        for lead in self.plan.leads if self.plan is not None else ():
            a, b = (end.pin for end in lead.ends)
            if a is not None and b is not None and lead.length_m is not None:
                found[self.equipment.ends(a, b)] = lead.length_m
        return found

    @cached_property
    def live_faults(self) -> tuple[tuple[str, LiveFault], ...]:
        """What is wrong in each state of the target, and is not wrong in this vehicle already."""
        before = set()
        if self.job is not None:
            own = self.job.vehicle.netlist
            before = {
                (state.name, fault.key)
                for state in self.project.states
                for fault in live_table(self.project, own, state).faults
            }
        return tuple(
            (state.name, fault)
            for state in self.project.states
            for fault in live_table(self.project, self.netlist, state).faults
            if (state.name, fault.key) not in before
        )


def _target_leads(judged: Judged) -> Iterator[TargetLead]:
    """The leads of the target, each with whether a gap asks for it."""
    new = {
        ends
        for gap in (judged.job.gaps if judged.job is not None else ())
        if gap.closed_by is None or gap.closed_by.by != "survey"
        for ends in gap.mend.joined
    }
    by_pin = judged.netlist.net_by_pin
    for ends, lead in judged.equipment.leads.items():
        nets = [by_pin[pin] for pin in lead.pins if pin in by_pin]
        if nets:
            yield TargetLead(ends, lead, nets[0], ends in new)
