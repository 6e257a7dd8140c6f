"""Following a pin: over sheets, through splices, in-line connectors, fuses and coils, to the module at its end."""

from __future__ import annotations

import itertools

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.nets import Netlist, Way, derive, follow, follow_record, way_text
from loomfolio.project import (
    HalfKey,
    InnerPin,
    InnerWay,
    Known,
    Lead,
    Mate,
    Part,
    PartKind,
    PinKey,
    PinPair,
    Project,
)
from support.ascii_sheet import ascii_sheet
from support.make_netlist import make_body, make_link, make_netlist, make_part, make_project


def _key(part: Part, pin: str, half: str = "") -> PinKey:
    return PinKey(part=part.id, half=half, pin=pin)


def _words(netlist: Netlist, ways: tuple[Way, ...]) -> list[str]:
    return [way_text(netlist, way) for way in ways]


MODULE = make_part(1, "BCM", "module")
LAMP = make_part(2, "H7", "lamp")
FUSE = make_part(
    3,
    "F12",
    "fuse",
    ways=(InnerWay(relation="passes", pins=(InnerPin(pin="1"), InnerPin(pin="2"))),),
)
RELAY = make_part(
    4,
    "K5",
    "relay",
    ways=(
        InnerWay(relation="loads", pins=(InnerPin(pin="85"), InnerPin(pin="86")), label="coil"),
        InnerWay(
            relation="passes",
            pins=(InnerPin(pin="30"), InnerPin(pin="87")),
            label="contact",
            at_rest="open",
        ),
    ),
)
GROUND = make_part(5, "G201", "ground point")
SUPPLY = make_part(6, "B+", "supply")


def test_a_pin_is_followed_over_a_link_to_the_module_on_another_sheet() -> None:
    one = ascii_sheet("a---c", sheet_id="sheet-1", title="Rear lamps")
    two = ascii_sheet("c---b", sheet_id="sheet-2", title="Body module")
    marks = [make_body(1, one, LAMP, "a=1"), make_body(2, two, MODULE, "b=12")]
    link = make_link(3, (one, "c"), (two, "c"))
    netlist = make_netlist(
        make_project([one, two], [LAMP, MODULE], marks, links=(link,)), [one, two]
    )
    (way,) = follow(netlist, _key(LAMP, "1"))
    assert way.ends_at == "BCM:12 (module)"
    assert [step.what for step in way.steps] == ["pin", "lead", "pin"]
    assert [sheet for sheet, _ in way.steps[1].lines] == ["sheet-1", "sheet-2"]
    assert way.relations == {"joined"}


def test_a_fuse_passes_and_a_coil_loads_and_the_way_says_which() -> None:
    drawn = ascii_sheet("""
        a--b c--d

        e--f g--h
    """)
    marks = [
        make_body(1, drawn, SUPPLY, "a=1"),
        make_body(2, drawn, FUSE, "b=1 c=2"),
        make_body(3, drawn, MODULE, "d=3"),
        make_body(4, drawn, GROUND, "h=1"),
        make_body(5, drawn, RELAY, "f=86 g=85"),
        make_body(6, drawn, make_part(7, "S9", "switch"), "e=1"),
    ]
    parts = [SUPPLY, FUSE, MODULE, GROUND, RELAY, make_part(7, "S9", "switch")]
    netlist = make_netlist(make_project([drawn], parts, marks), [drawn])
    (fused,) = follow(netlist, _key(MODULE, "3"))
    assert fused.relations == {"joined", "passes"}
    assert fused.ends_at == "B+:1 (supply)"
    (coil,) = follow(netlist, _key(parts[-1], "1"))
    assert coil.relations == {"joined", "loads"}
    assert coil.ends_at == "G201:1 (ground point)"


def test_the_walk_stops_at_a_ground_point_and_does_not_come_out_elsewhere() -> None:
    drawn = ascii_sheet("""
        a--b

        c--d
    """)
    other = make_part(8, "H8", "lamp")
    marks = [
        make_body(1, drawn, LAMP, "a=1"),
        make_body(2, drawn, GROUND, "b=1"),
        make_body(3, drawn, other, "c=1"),
        make_body(4, drawn, GROUND, "d=2"),
    ]
    netlist = make_netlist(make_project([drawn], [LAMP, GROUND, other], marks), [drawn])
    assert [way.ends_at for way in follow(netlist, _key(LAMP, "1"))] == ["G201:1 (ground point)"]


def test_a_proposed_mate_is_walked_and_shows_its_doubt() -> None:
    drawn = ascii_sheet("a---c d---b")
    inline = make_part(9, "X14", "in-line connector")
    marks = [
        make_body(1, drawn, LAMP, "a=1"),
        make_body(2, drawn, MODULE, "b=12"),
        make_body(3, drawn, inline, "c=3", half="A"),
        make_body(4, drawn, inline, "d=3", half="B"),
    ]
    mate = Mate(
        id="mate-1", a=HalfKey(part=inline.id, half="A"), b=HalfKey(part=inline.id, half="B")
    )
    project = make_project([drawn], [LAMP, MODULE, inline], marks, mates=(mate,))
    netlist = make_netlist(project, [drawn])
    (way,) = follow(netlist, _key(LAMP, "1"), to=_key(MODULE, "12"))
    assert [piece.kind for piece in way.open_pieces] == ["mate"]
    assert "?" in _words(netlist, (way,))[0]
    assert netlist.net_of_pin(_key(LAMP, "1")) is not netlist.net_of_pin(_key(MODULE, "12"))


def test_halves_numbered_differently_are_followed_by_their_table() -> None:
    drawn = ascii_sheet("a---c d---b")
    inline = make_part(9, "X14", "in-line connector")
    marks = [
        make_body(1, drawn, LAMP, "a=1"),
        make_body(2, drawn, MODULE, "b=12"),
        make_body(3, drawn, inline, "c=3", half="A"),
        make_body(4, drawn, inline, "d=8", half="B"),
    ]
    halves = HalfKey(part=inline.id, half="A"), HalfKey(part=inline.id, half="B")
    mate = Mate(id="mate-1", a=halves[0], b=halves[1], pairs=(PinPair(a="3", b="8"),))
    project = make_project([drawn], [LAMP, MODULE, inline], marks, mates=(mate,))
    (way,) = follow(make_netlist(project, [drawn]), _key(LAMP, "1"))
    assert way.ends_at == "BCM:12 (module)"
    assert not way.open_pieces


def test_a_lead_that_goes_nowhere_is_a_dead_end_at_its_place() -> None:
    drawn = ascii_sheet("a-----b")
    netlist = make_netlist(
        make_project([drawn], [LAMP], [make_body(1, drawn, LAMP, "a=1")]), [drawn]
    )
    (way,) = follow(netlist, _key(LAMP, "1"))
    assert way.is_dead_end
    assert way.ends_at == "H7:1 goes nowhere"
    assert way.steps[-1].place is not None


def test_a_pin_without_a_lead_says_so() -> None:
    drawn = ascii_sheet("a-----b")
    lead_less = make_part(
        2, "H7", "lamp", connectors=({"halves": ({"cavities": ({"pin": "2"},)},)},)
    )
    netlist = make_netlist(make_project([drawn], [lead_less]), [drawn])
    (way,) = follow(netlist, _key(lead_less, "2"))
    assert way.is_dead_end
    assert "no lead" in way.ends_at


def test_bars_of_a_joint_connector_fan_out() -> None:
    drawn = ascii_sheet("""
        a--b

        c--d

        e--f
    """)
    joint = make_part(
        9,
        "J1",
        "joint connector",
        ways=(
            InnerWay(relation="joined", pins=(InnerPin(pin="1"), InnerPin(pin="2")), label="bar 1"),
            InnerWay(relation="joined", pins=(InnerPin(pin="3"), InnerPin(pin="4")), label="bar 2"),
        ),
    )
    marks = [
        make_body(1, drawn, LAMP, "a=1"),
        make_body(2, drawn, MODULE, "c=12"),
        make_body(3, drawn, make_part(8, "H8", "lamp"), "e=1"),
        make_body(4, drawn, joint, "b=1 d=2 f=3"),
    ]
    parts = [LAMP, MODULE, make_part(8, "H8", "lamp"), joint]
    netlist = make_netlist(make_project([drawn], parts, marks), [drawn])
    (way,) = follow(netlist, _key(LAMP, "1"))
    assert way.ends_at == "BCM:12 (module)"
    assert any(step.what == "joint bar" for step in way.steps)


@given(
    st.lists(
        st.tuples(st.integers(0, 7), st.integers(0, 7)).filter(lambda ends: ends[0] != ends[1]),
        max_size=10,
        unique_by=frozenset,
    )
)
def test_what_is_followed_is_what_a_graph_library_reaches(edges: list[tuple[int, int]]) -> None:
    """Reachability against networkx (general-purpose graph library), on leads known without a drawing."""
    kinds: tuple[PartKind, ...] = ("splice", "module")
    parts = [make_part(n + 1, f"P{n}", kinds[n % 2]) for n in range(8)]
    leads = tuple(
        Lead(
            id=f"lead-{n}",
            ends=(_key(parts[a], f"{n}"), _key(parts[b], f"{n}")),
            known=Known(how="list", source="list"),
        )
        for n, (a, b) in enumerate(edges, start=1)
    )
    netlist = derive(Project(serial=99, parts=tuple(parts), leads=leads), {})
    graph = nx.Graph()
    graph.add_edges_from(lead.ends for lead in leads)
    for part in parts:
        if part.kind == "splice":
            own = [pin for pin in netlist.net_by_pin if pin.part == part.id]
            graph.add_edges_from(itertools.pairwise(own))
    for start in netlist.net_by_pin:
        reached = {
            step.pin for way in follow(netlist, start) for step in way.steps if step.pin is not None
        }
        assert reached == nx.node_connected_component(graph, start)
        net = netlist.net_of_pin(start)
        assert net is not None
        assert set(net.pins) == reached


def test_the_json_contract_names_its_schema_and_every_step() -> None:
    drawn = ascii_sheet("a-----b")
    marks = [make_body(1, drawn, LAMP, "a=1"), make_body(2, drawn, MODULE, "b=12")]
    netlist = make_netlist(make_project([drawn], [LAMP, MODULE], marks), [drawn])
    pin = _key(LAMP, "1")
    record = follow_record(netlist, pin, follow(netlist, pin)).model_dump(by_alias=True)
    assert record["schema"] == "loomfolio.follow/1"
    assert [step["label"] for step in record["ways"][0]["steps"]] == ["H7:1", "lead", "BCM:12"]
