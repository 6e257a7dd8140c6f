"""Small vehicles in two fits with a survey, drawn by hypothesis; nets of an equipment by a general graph library.

A vehicle has modules with pins, a relay, splices, a ground point, a joint connector with two bars and an
in-line pair. Every lead, and some parts and bars, stand under a condition: `t` is built into the
target only, `x` is an option of which neither fit says anything.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple, TypeVar

import networkx as nx
from hypothesis import strategies as st

from loomfolio.nets import MapRow, Netlist, Undetermined, connector_map, derive
from loomfolio.project import (
    BarEntry,
    CavityEntry,
    Connector,
    Fit,
    Half,
    HalfEntry,
    HalfKey,
    InnerPin,
    InnerWay,
    Job,
    Known,
    Lead,
    LeadColour,
    LeadEntry,
    Mate,
    Part,
    PinKey,
    PinPair,
    PositionEntry,
    Project,
    Specimen,
    evaluate,
)
from loomfolio.retrofit import Equipment, Node, Seen, VehicleState, equipment_of, vehicle_as_it_is

T = TypeVar("T")

A, B, K, S, S2, G, J, X = (f"part-{n}" for n in range(1, 9))
NAMES = dict(
    zip((A, B, K, S, S2, G, J, X), ("A1", "B2", "K3", "S4", "S5", "G6", "J7", "X8"), strict=True)
)
TARGET = Fit(id="fit-90", name="equipped", options_with=("t",))
VEHICLE = Fit(id="fit-91", name="base", options_without=("t",))
VAN = Specimen(id="specimen-92", name="Van 7", kind="this vehicle")


def pin(part: str, number: int | str, half: str = "", connector: str | None = None) -> PinKey:
    """Return a pin; modules have a connector C1."""
    own = "C1" if part in {A, B} else ""
    return PinKey(
        part=part, connector=own if connector is None else connector, half=half, pin=str(number)
    )


MODULE_PINS = [pin(part, n) for part in (A, B) for n in range(1, 5)]
RELAY_PINS = [pin(K, n) for n in ("30", "85", "86", "87")]
SPLICE_PINS = [pin(part, n) for part in (S, S2) for n in range(1, 5)]
GROUND_PINS = [pin(G, n) for n in range(1, 3)]
JOINT_PINS = [pin(J, n) for n in range(1, 6)]
INLINE_PINS = [pin(X, n, half) for half in "AB" for n in range(1, 4)]
REAL_PINS = [*MODULE_PINS, *RELAY_PINS, *JOINT_PINS, *INLINE_PINS]
ALL_PINS = [*REAL_PINS, *SPLICE_PINS, *GROUND_PINS]
CONDITIONS = ["", "", "t", "t", "!t", "x"]
COLOURS = [None, LeadColour(text="RD"), LeadColour(text="GN", base="green")]


class Branch(NamedTuple):
    """Leads that meet at a drawn dot, and the condition they stand under."""

    pins: tuple[PinKey, ...]
    when: str


@dataclass(frozen=True, repr=False)
class Drawn:
    """A document in two fits, and what was seen on the vehicle. `branches` are drawn joints of several pins."""

    project: Project
    branches: tuple[Branch, ...]
    target: Equipment
    vehicle: VehicleState

    def __repr__(self) -> str:
        def text(pin: PinKey) -> str:
            return f"{NAMES[pin.part]}{pin.half}:{pin.pin}"

        whens = [f"{p.name} if {p.when}" for p in self.project.parts if p.when]
        bars = [f"bar {w.label} if {w.when}" for p in self.project.parts for w in p.ways if w.when]
        wires = [
            f"{text(lead.ends[0])}-{text(lead.ends[1])} if {lead.when or 'always'}"
            + (f" {lead.colour.text}" if lead.colour else "")
            for lead in self.project.leads
        ]
        seen = [
            " ".join(
                str(text(value) if isinstance(value, PinKey) else value)
                for name, value in entry
                if name not in {"id", "specimen", "note", "known"}
            )
            for entry in self.project.survey
        ]
        joints = [f"{' + '.join(map(text, b.pins))} if {b.when}" for b in self.branches]
        return "\n  ".join(["Drawn:", *whens, *bars, *wires, *joints, *seen])

    def _repr_pretty_(self, printer: object, cycle: object) -> None:
        printer.text(repr(self))  # type: ignore[attr-defined]


def make_vehicle_in_fits(
    leads: tuple[Lead, ...] = (),
    survey: tuple[object, ...] = (),
    *,
    parts: dict[str, str] | None = None,
    bars: tuple[str, str] = ("", ""),
    branches: tuple[Branch, ...] = (),
    more_mates: tuple[Mate, ...] = (),
    are_listed: bool = True,
    **fields: object,
) -> Drawn:
    """Return the vehicle with these leads. `parts` gives the conditions of parts, `bars` of the two bars.

    With `are_listed` the parts say which connectors they have; else only their leads do.
    """
    when = parts or {}
    c1, bare = ((Connector(name=name),) if are_listed else () for name in ("C1", ""))
    made = (
        Part(id=A, name=NAMES[A], kind="module", connectors=c1, when=when.get(A, "")),
        Part(id=B, name=NAMES[B], kind="module", connectors=c1, when=when.get(B, "")),
        Part(id=K, name=NAMES[K], kind="relay", connectors=bare, when=when.get(K, "")),
        Part(id=S, name=NAMES[S], kind="splice"),
        Part(id=S2, name=NAMES[S2], kind="splice"),
        Part(id=G, name=NAMES[G], kind="ground point", when=when.get(G, "")),
        Part(
            id=J,
            name=NAMES[J],
            kind="joint connector",
            when=when.get(J, ""),
            ways=(_bar("a", "12", bars[0]), _bar("b", "345", bars[1])),
        ),
        Part(
            id=X,
            name=NAMES[X],
            kind="in-line connector",
            connectors=(Connector(halves=(Half(name="A"), Half(name="B"))),),
            when=when.get(X, ""),
        ),
    )
    mate = Mate(
        id="mate-80",
        a=HalfKey(part=X, half="A"),
        b=HalfKey(part=X, half="B"),
        pairs=tuple(PinPair(a=str(n), b=str(4 - n)) for n in range(1, 4)),
    )
    project = Project(
        serial=1000,
        parts=made,
        mates=(mate, *more_mates),
        leads=leads,
        fits=(TARGET, VEHICLE),
        specimens=(VAN,),
        survey=survey,
        job=Job(target_fit="equipped", vehicle_fit="base"),
        **fields,
    )
    return compared(project, branches)


def _bar(label: str, pins: str, when: str) -> InnerWay:
    return InnerWay(
        relation="joined", pins=tuple(InnerPin(pin=p) for p in pins), label=label, when=when
    )


def compared(project: Project, branches: tuple[Branch, ...] = ()) -> Drawn:
    """Return both sides of a document."""
    target, documented = (equipment_in(project, fit, branches) for fit in (TARGET, VEHICLE))
    seen = Seen.of(project.survey, VAN)
    return Drawn(project, branches, target, vehicle_as_it_is(documented, seen, target=target))


def equipment_in(project: Project, fit: Fit, branches: tuple[Branch, ...] = ()) -> Equipment:
    """Return what a document says in one fit."""
    certain = equipment_of(*_read(project, fit, branches, "left out"))
    return equipment_of(*_read(project, fit, branches, "kept"), certain=certain)


def _read(
    project: Project, fit: Fit, branches: tuple[Branch, ...], undetermined: Undetermined
) -> tuple[Netlist, tuple[MapRow, ...]]:
    """The nets and the map of one fit; drawn joints are put into the map as drawing them would."""
    netlist = derive(project, {}, fit=fit, undetermined=undetermined)
    rows = list(connector_map(netlist))
    for branch in branches:
        value = evaluate(branch.when, fit)
        is_there = (undetermined == "kept") if value is None else value
        pins = [p for p in sorted(branch.pins, key=lambda p: p.sort_key) if p in netlist.net_by_pin]
        if is_there and len(pins) > 2:
            rows += [branch_row(pins[0], other) for other in pins[1:]]
    return netlist, tuple(rows)


def branch_row(a: PinKey, b: PinKey) -> MapRow:
    """Return the row of one leg of a drawn joint."""
    return MapRow(
        net=0,
        net_name="",
        a=a,
        b=b,
        colour=None,
        area_mm2=None,
        is_branch=True,
        places=(),
        sheets=(),
        pieces=(),
        known=Known(how="printed"),
    )


# ------------------------------------------------------------------------------------- by hypothesis


@st.composite
def leads(draw: Callable[[st.SearchStrategy[T]], T]) -> tuple[Lead, ...]:
    """Draw up to a dozen leads between any two pins, no two between the same."""
    ends = draw(
        st.lists(
            st.tuples(st.sampled_from(ALL_PINS), st.sampled_from(ALL_PINS))
            .filter(lambda pair: pair[0].part != pair[1].part or pair[0].part in {A, B, X})
            .filter(lambda pair: pair[0] != pair[1]),
            max_size=12,
            unique_by=frozenset,
        )
    )
    return tuple(
        Lead(
            id=f"lead-{n}",
            ends=pair,
            when=draw(st.sampled_from(CONDITIONS)),
            colour=draw(st.sampled_from(COLOURS)),
        )
        for n, pair in enumerate(ends, start=100)
    )


@st.composite
def entries(draw: Callable[[st.SearchStrategy[T]], T]) -> tuple[object, ...]:
    """Draw a few survey entries, each about another thing."""
    kinds = draw(st.lists(st.sampled_from(sorted(_ENTRIES)), max_size=5))
    made: dict[object, object] = {}
    for number, kind in enumerate(kinds, start=200):
        fields = {"id": f"entry-{number}", "specimen": VAN.id}
        entry = _ENTRIES[kind](draw, fields)
        made.setdefault(_subject(entry), entry)
    return tuple(made.values())


def _subject(entry: object) -> object:
    from loomfolio.project import subject_of

    return subject_of(entry)  # type: ignore[arg-type]


def _cavity(draw: Callable[[st.SearchStrategy[T]], T], fields: dict[str, object]) -> CavityEntry:
    states = ["filled", "empty", "plugged", "terminal without lead", "cut", "corroded", "not there"]
    state, colour = draw(st.sampled_from(states)), draw(st.sampled_from(COLOURS))
    return CavityEntry(**fields, pin=draw(st.sampled_from(REAL_PINS)), state=state, colour=colour)


def _lead(draw: Callable[[st.SearchStrategy[T]], T], fields: dict[str, object]) -> LeadEntry:
    ends = draw(
        st.tuples(st.sampled_from(REAL_PINS), st.sampled_from(REAL_PINS)).filter(
            lambda pair: pair[0] != pair[1]
        )
    )
    state = draw(st.sampled_from(["there", "not there", "goes elsewhere"]))
    others = st.sampled_from([None, *(p for p in REAL_PINS if p not in ends)])
    goes_to = draw(others) if state == "goes elsewhere" else None
    return LeadEntry(**fields, ends=ends, state=state, goes_to=goes_to)


def _position(
    draw: Callable[[st.SearchStrategy[T]], T], fields: dict[str, object]
) -> PositionEntry:
    grades = ["complete", "moulding only", "terminals but no lead", "lead but no part", "not there"]
    return PositionEntry(**fields, part=K, grade=draw(st.sampled_from(grades)))


def _half(draw: Callable[[st.SearchStrategy[T]], T], fields: dict[str, object]) -> HalfEntry:
    half = HalfKey(part=X, half=draw(st.sampled_from("AB")))
    state = draw(st.sampled_from(["there", "not there", "dummy plug", "bridge plug"]))
    bridged = ("1", "2") if state == "bridge plug" else ()
    return HalfEntry(**fields, half=half, state=state, bridged=bridged, viewed_from="wire side")


def _bar_entry(draw: Callable[[st.SearchStrategy[T]], T], fields: dict[str, object]) -> BarEntry:
    label, state = draw(st.sampled_from("ab")), draw(st.sampled_from(["there", "missing"]))
    return BarEntry(**fields, part=J, label=label, state=state)


_ENTRIES = {
    "cavity": _cavity,
    "lead": _lead,
    "position": _position,
    "half": _half,
    "bar": _bar_entry,
}


@st.composite
def vehicles_in_fits(
    draw: Callable[[st.SearchStrategy[T]], T], *, has_joints: bool = True
) -> Drawn:
    """Draw a vehicle in two fits with a survey, with drawn joints or without."""
    conditions = {part: draw(st.sampled_from(["", "", "t", "!t"])) for part in (A, K, G, J, X)}
    bars = (draw(st.sampled_from(CONDITIONS)), draw(st.sampled_from(CONDITIONS)))
    pins = st.lists(st.sampled_from(REAL_PINS), min_size=3, max_size=5, unique=True).map(tuple)
    joints = st.lists(st.builds(Branch, pins, st.sampled_from(CONDITIONS)), max_size=3).map(tuple)
    return make_vehicle_in_fits(
        draw(leads()),
        draw(entries()),
        parts=conditions,
        bars=bars,
        branches=draw(joints) if has_joints else (),
        are_listed=draw(st.booleans()),
    )


# ------------------------------------------------------------------------------- by a graph library


def nets_by_graph(equipment: Equipment) -> list[frozenset[Node]]:
    """Return what is joined of pins and ground points, splices left out; what is alone is left out, too."""
    graph = nx.Graph(list(equipment.leads))
    for bar in equipment.bars:
        nx.add_path(graph, bar)
    for halves, pairs in equipment.mates.items():
        if all(equipment.halves.get(half) == "there" for half in halves):
            graph.add_edges_from(pairs)
    nets = [
        frozenset(node for node in component if equipment.hubs.get(node) != "splice")
        for component in nx.connected_components(graph)
    ]
    return [net for net in nets if len(net) > 1]


def is_told(node: Node, documents: Equipment) -> bool:
    """Do these documents say of a pin or ground point what it is joined to, be it nothing?"""
    if isinstance(node, str):
        return node in documents.part_kinds
    return node.half_key in documents.halves
