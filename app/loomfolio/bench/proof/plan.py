"""The whole proof of a job, in the order in which it is done.

How the data flows::

    project, job's gaps, plan of the work ─> metal (what is touched) ─> nets, points to probe
    nets ─> continuity ─> isolation ─> loops ─> bus ends ─> high voltage        before power
         ─> power in stages ─> drops under load                                  with power
    baseline, scope ─> codes ─> sleep current ─> functions ─> option in use      at the end
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace

from loomfolio.bench.proof.afterwards import afterwards_tests, baseline_before
from loomfolio.bench.proof.building import (
    HIGH_VOLTAGE,
    NEW_PART,
    Points,
    metal_of,
    orange_nets,
    proved_gaps,
)
from loomfolio.bench.proof.bus_ends import bus_tests
from loomfolio.bench.proof.continuity import continuity_tests
from loomfolio.bench.proof.high_voltage import high_voltage_tests
from loomfolio.bench.proof.isolation import Surroundings, isolation_tests
from loomfolio.bench.proof.loops import loop_tests, loops_of
from loomfolio.bench.proof.metal import Metal, MetalNet
from loomfolio.bench.proof.power_up import drop_tests, power_up_tests
from loomfolio.bench.proof.records import ProofPlan
from loomfolio.project import CircuitNote, FuseNote, HalfKey, PinKey, Project
from loomfolio.retrofit import Ends, JobGaps, circuits_of


@dataclass(frozen=True, slots=True)
class WorkFacts:
    """What the plan of the work says that the proof needs; empty where there is no plan yet."""

    lengths: Mapping[Ends, float] = field(default_factory=dict)
    areas: Mapping[Ends, float] = field(default_factory=dict)
    covers: Mapping[HalfKey, str] = field(default_factory=dict)
    classes: Mapping[int, Collection[str]] | None = None


NO_FACTS = WorkFacts()


def proof_metal(
    project: Project, job: JobGaps, facts: WorkFacts = NO_FACTS
) -> tuple[Metal, Points]:
    """Return the metal that the proof is about, and where it can be probed."""
    metal = metal_of(
        project,
        job,
        circuits=facts.classes or circuits_of(project, job.target.netlist),
        lengths=facts.lengths,
        areas=facts.areas,
    )
    orange = orange_nets(project, metal)
    classes = {node: set(own) for node, own in metal.classes.items()}
    for net in orange:
        for node in net.nodes:
            if not metal.stops(node):
                classes.setdefault(node, set()).add(HIGH_VOLTAGE)
    metal = replace(metal, classes=classes) if orange else metal
    return metal, Points(project, metal, facts.covers)


def proof_plan(project: Project, job: JobGaps, facts: WorkFacts = NO_FACTS) -> ProofPlan:
    """Return all tests of a job; where nothing is missing, only those of the vehicle as a whole."""
    metal, points = proof_metal(project, job, facts)
    loops = loops_of(project, metal)
    before = (
        *continuity_tests(metal.nets, points),
        *isolation_tests(metal.nets, Surroundings(project, metal, points), points),
        *(loop_tests(metal, loops, points) if _has_touched_high_voltage(metal) else ()),
        *bus_tests(project, metal, points),
        *high_voltage_tests(metal, points, working_v=_working_v(project)),
    )
    new_parts = {gap.part for gap in proved_gaps(job) if gap.part and gap.kind in NEW_PART}
    power = power_up_tests(metal, new_parts=new_parts, ratings=_ratings(project))
    drops = drop_tests(metal, points, coil_pins=_coil_pins(project), ratings=_ratings(project))
    last = (power[-1].key,) if power else ()
    ends = afterwards_tests(project, metal, new_parts, after=last)
    return ProofPlan((*before, *power, *drops, *ends), _remarks(project, metal))


def _has_touched_high_voltage(metal: Metal) -> bool:
    return any(
        net.is_touched and not {HIGH_VOLTAGE, "interlock"}.isdisjoint(net.classes)
        for net in metal.nets
    )


def _working_v(project: Project) -> float | None:
    volts = [
        note.voltage_v
        for note in project.electric_notes
        if isinstance(note, CircuitNote) and note.circuit == HIGH_VOLTAGE and note.voltage_v
    ]
    return max(volts, default=None)


def _coil_pins(project: Project) -> frozenset[PinKey]:
    return frozenset(
        PinKey(part=part.id, **pin.model_dump())
        for part in project.parts
        if part.kind == "relay"
        for way in part.ways
        if way.relation == "loads"
        for pin in way.pins
    )


def _ratings(project: Project) -> dict[str, float]:
    return {
        note.part: note.rating_a
        for note in project.electric_notes
        if isinstance(note, FuseNote) and note.rating_a
    }


def _remarks(project: Project, metal: Metal) -> tuple[str, ...]:
    said: list[str] = []
    touched_hv = [n for n in metal.nets if n.is_touched and HIGH_VOLTAGE in n.classes]
    if touched_hv and _working_v(project) is None:
        names = ", ".join(net.name or metal.names[_part(net)] for net in touched_hv[:4])
        said.append(
            f"The high voltage of {names} is not stated: its insulation limit cannot be worked out. Note it"
            " at a pin; where an orange lead carries none, note its supply or its blade fuse."
        )
    leads = [p for net in metal.nets for p in net.pieces if p.is_touched and p.is_lead]
    unknown = sum(piece.length_m is None for piece in leads)
    if unknown:
        said.append(
            f"Of {len(leads)} leads {unknown} have no length yet: their limit is the general one."
        )
    if baseline_before(project) is None:
        said.append(
            "How the vehicle was before the work is not noted: nothing can be held against it."
        )
    return tuple(said)


def _part(net: MetalNet) -> str:
    node = net.nodes[0]
    return node if isinstance(node, str) else node.part
