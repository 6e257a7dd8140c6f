"""From the gaps of a job to the metal of the finished vehicle, and from its nodes to points to probe."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from itertools import pairwise

from loomfolio.bench.lead_colours import colour_name
from loomfolio.bench.proof.metal import Metal, MetalNet, MetalPiece
from loomfolio.bench.proof.records import Probe
from loomfolio.project import FuseNote, HalfKey, PinKey, Project, SupplyNote, half_text
from loomfolio.retrofit import Ends, Equipment, Gap, GapKind, JobGaps, Node

HIGH_VOLTAGE = "high voltage"
LOW_VOLTAGE_V = 60.0
"""Up to this DC is no high voltage (49 CFR 571.305; ISO 6469)."""
NEW_PART: frozenset[GapKind] = frozenset({"device missing", "device position of a lower grade"})
"""Gaps that bring in a part."""
TAKEN_OUT = frozenset({"fuse", "relay"})
"""Kinds of part that are taken out of their socket instead of being unplugged."""
STAY_MATED = frozenset({"in-line connector", "joint connector"})


def proved_gaps(job: JobGaps) -> tuple[Gap, ...]:
    """Return the gaps whose closing has to be proved: those of the job that work closes, or will close."""
    return tuple(
        gap
        for gap in job.gaps
        if gap.in_scope and (gap.closed_by is None or gap.closed_by.by == "work")
    )


def metal_of(
    project: Project,
    job: JobGaps,
    *,
    circuits: Mapping[int, Collection[str]] | None = None,
    lengths: Mapping[Ends, float] | None = None,
    areas: Mapping[Ends, float] | None = None,
) -> Metal:
    """Return the metal of the vehicle as it is to be, with what the work touches marked.

    Parameters
    ----------
    circuits
        The classes of circuit by the number of a net of `job.target.netlist`.
    lengths, areas
        What the plan of the work says of leads, over what the document says.
    """
    side = job.target.equipment
    known_lengths = {
        side.ends(*lead.ends): lead.length_m for lead in project.leads if lead.length_m is not None
    } | dict(lengths or {})
    touched, opened = _touched(job, side)
    leads = [
        MetalPiece(
            "lead",
            ends,
            is_touched=ends in touched or not opened.isdisjoint(ends),
            length_m=known_lengths.get(ends),
            area_mm2=(areas or {}).get(ends, lead.area_mm2),
            colour=lead.colour,
        )
        for ends, lead in side.leads.items()
    ]
    return Metal(
        pieces=(*leads, *_bars(side, job), *_mates(side)),
        kinds=side.part_kinds,
        names=side.part_names,
        signals={pin: name for pin, name in side.signals.items() if name},
        classes=_classes(job, side, circuits or {}),
    )


def _touched(job: JobGaps, side: Equipment) -> tuple[set[Ends], set[Node]]:
    """The leads that the work makes, and the splices and cavities that it opens."""
    gaps = proved_gaps(job)
    touched = {ends for gap in gaps for ends in gap.mend.joined}
    opened: set[Node] = {node for ends in touched for node in ends if side.is_splice(node)}
    opened |= {node for gap in gaps for ends in gap.mend.tapped for node in ends}
    opened |= {pin for gap in gaps for pin in gap.mend.cavity}
    return touched, opened


def _bars(side: Equipment, job: JobGaps) -> Iterator[MetalPiece]:
    new = {gap.mend.bar for gap in proved_gaps(job) if gap.mend.bar}
    for bar in side.bars:
        is_new = any(set(bar) == set(other) for other in new)
        for a, b in pairwise(bar):
            yield MetalPiece("bar", (a, b), is_touched=is_new)


def _mates(side: Equipment) -> Iterator[MetalPiece]:
    for pairs in side.mates.values():
        for a, b in pairs:
            if b in side.mated_at.get(a, ()):
                yield MetalPiece("mate", (a, b))


def _classes(
    job: JobGaps, side: Equipment, circuits: Mapping[int, Collection[str]]
) -> dict[Node, set[str]]:
    """The classes of circuit at each node."""
    found: dict[Node, set[str]] = {}
    for pin, number in job.target.netlist.net_by_pin.items():
        if circuits.get(number):
            found.setdefault(side.node(pin), set()).update(circuits[number])
    return found


def orange_nets(project: Project, metal: Metal) -> tuple[MetalNet, ...]:
    """Return the nets that hang on an orange lead with nothing to say that they carry a low voltage.

    They are taken as high voltage, with what lies beyond a fuse, contact or load of them. Low is what reaches
    a ground point that way, for high voltage is never earthed to the chassis, or a blade fuse or a supply
    below the limit that was noted.
    """
    low = {
        note.pin
        for note in project.electric_notes
        if isinstance(note, SupplyNote) and note.voltage_v <= LOW_VOLTAGE_V
    }
    blades = {
        note.part
        for note in project.electric_notes
        if isinstance(note, FuseNote) and note.fuse_kind != "other"
    }
    beyond = _beyond(project, metal)
    found: dict[str, MetalNet] = {}
    for net in metal.nets:
        if HIGH_VOLTAGE in net.classes or not any(
            colour_name(piece.colour) == "orange" for piece in net.pieces
        ):
            continue
        reached = _reached(net, beyond)
        nodes = [node for one in reached for node in one.nodes]
        if not any(metal.stops(n) or n in low or _part_of(n) in blades for n in nodes):
            found.update((one.key, one) for one in reached)
    return tuple(found.values())


def _beyond(project: Project, metal: Metal) -> dict[str, list[MetalNet]]:
    """For each net by its key those that it reaches through what passes or loads inside a part, or a battery."""
    net_of = {node: net for net in metal.nets for node in net.nodes if not metal.stops(node)}
    beyond: dict[str, list[MetalNet]] = {}
    for part in project.parts:
        groups = [
            [PinKey(part=part.id, **pin.model_dump()) for pin in way.pins] for way in part.ways
        ]
        if part.kind == "battery":
            groups.append([n for n in net_of if isinstance(n, PinKey) and n.part == part.id])
        for pins in groups:
            ends = [net_of[pin] for pin in pins if pin in net_of]
            for net in ends:
                beyond.setdefault(net.key, []).extend(ends)
    return beyond


def _reached(net: MetalNet, beyond: Mapping[str, list[MetalNet]]) -> tuple[MetalNet, ...]:
    found = {net.key: net}
    rest = [net]
    while rest:
        for other in beyond.get(rest.pop().key, ()):
            if other.key not in found:
                found[other.key] = other
                rest.append(other)
    return tuple(found.values())


def _part_of(node: Node) -> str:
    return node if isinstance(node, str) else node.part


# ---------------------------------------------------------------------------------- points to probe


class Points:
    """Where the nodes of a vehicle can be probed, and what has to be opened for it."""

    def __init__(
        self, project: Project, metal: Metal, covers: Mapping[HalfKey, str] | None = None
    ) -> None:
        self._project = project
        self._metal = metal
        self._covers = covers or {}
        self._at_high_voltage = {
            node.part
            for net in metal.nets
            if HIGH_VOLTAGE in net.classes
            for node in net.nodes
            if isinstance(node, PinKey)
        }

    def at(self, node: Node) -> Probe | None:
        """Return where a node is probed; None for a splice, which lies under its sleeve."""
        kind = self._metal.kind(node)
        if isinstance(node, str):
            if kind != "ground point":
                return None
            name = self._metal.names[node]
            cover = self._covers.get(HalfKey(part=node), name)
            return Probe(node, name, "", "on bare metal beside the eyelet", cover)
        if kind == "splice":
            return None
        place = half_text(self._project, node.half_key)
        how = _how("module" if node.part in self._at_high_voltage else kind)
        return Probe(node, place, node.pin, how, self._cover(node.half_key, place))

    def _cover(self, half: HalfKey, place: str) -> str:
        """What is opened to get at a half: the zone that it, or its whole part, was placed in."""
        return self._covers.get(half) or self._covers.get(HalfKey(part=half.part)) or place

    def reach(self, node: Node) -> int:
        """Return how well a node is probed: 0 at an unplugged connector, 1 by back-probing a mated one."""
        return int(self._metal.kind(node) in STAY_MATED)

    def half(self, node: Node) -> str:
        """Return the name of the half of a pin, or of a ground point."""
        return (
            self._metal.names.get(node, "")
            if isinstance(node, str)
            else half_text(self._project, node.half_key)
        )

    def separated(self, nodes: Collection[Node]) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Return what has to be unplugged, and what is taken out, so that these nodes hang free."""
        unplugged: dict[str, None] = {}
        taken_out: dict[str, None] = {}
        for node in nodes:
            kind = self._metal.kind(node)
            if isinstance(node, str) or kind in STAY_MATED or kind in {"splice", "ground point"}:
                continue
            if kind in TAKEN_OUT and node.part not in self._at_high_voltage:
                taken_out[self._metal.names[node.part]] = None
            else:
                unplugged[self.half(node)] = None
        return tuple(unplugged), tuple(taken_out)


def _how(kind: str) -> str:
    match kind:
        case "fuse" | "relay":
            return f"{kind} out, at the clip of its socket"
        case "battery" | "supply":
            return "at the terminal"
        case "in-line connector" | "joint connector":
            return "back-probed from the wire side, left mated"
        case _:
            return "unplugged, from the mating side, with a fitting test pin"
