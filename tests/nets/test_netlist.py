"""Nets: joined alone makes a net, and nothing is joined that is only guessed."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.basics import MmBox, MmPoint
from loomfolio.nets import Memory, derive
from loomfolio.project import (
    ApartMark,
    BodyMark,
    BodyPin,
    Fit,
    HalfKey,
    InnerPin,
    InnerWay,
    JoinMark,
    Known,
    Lead,
    LineMark,
    Mark,
    Mate,
    NameMark,
    NotConductorMark,
    PinKey,
    PinPair,
    Project,
    Reference,
)
from support.ascii_sheet import AsciiSheet, ascii_sheet
from support.make_netlist import (
    make_body,
    make_link,
    make_netlist,
    make_part,
    make_project,
    partition,
)

E, F, G, H = (make_part(n, name) for n, name in enumerate("EFGH", start=1))


def _four_pins(drawn: AsciiSheet, *extra: Mark) -> Project:
    """Four one-pin parts at the places a, b, c, d."""
    marks = [
        make_body(n, drawn, part, f"{letter}=1")
        for n, (part, letter) in enumerate(zip((E, F, G, H), "abcd", strict=True), start=1)
    ]
    return make_project([drawn], [E, F, G, H], [*marks, *extra])


CROSS = ascii_sheet("""
      c
      |
    a-#-b
      |
      d
""")
DOT = ascii_sheet("""
      c
      |
    a-o-b
      |
      d
""")
TEE = ascii_sheet("""
    a-+-b
      |
    d-c
""")


def test_lines_that_cross_without_a_dot_are_two_nets() -> None:
    netlist = make_netlist(_four_pins(CROSS), [CROSS])
    assert partition(netlist) == {frozenset({"E.1", "F.1"}), frozenset({"G.1", "H.1"})}


def test_lines_that_meet_at_a_dot_are_one_net() -> None:
    netlist = make_netlist(_four_pins(DOT), [DOT])
    assert partition(netlist) == {frozenset({"E.1", "F.1", "G.1", "H.1"})}


def test_a_crossing_that_the_person_joins_is_one_net() -> None:
    middle = MmPoint(12.5, 12.5)
    project = _four_pins(CROSS, JoinMark(id="mark-9", sheet="sheet-1", at=middle))
    assert partition(make_netlist(project, [CROSS])) == {frozenset({"E.1", "F.1", "G.1", "H.1"})}


def test_a_dot_that_the_person_keeps_apart_lets_the_lines_run_straight_on() -> None:
    middle = MmPoint(12.5, 12.5)
    project = _four_pins(DOT, ApartMark(id="mark-9", sheet="sheet-1", at=middle))
    assert partition(make_netlist(project, [DOT])) == {
        frozenset({"E.1", "F.1"}),
        frozenset({"G.1", "H.1"}),
    }


def test_keeping_a_plain_crossing_apart_changes_nothing() -> None:
    project = _four_pins(CROSS, ApartMark(id="mark-9", sheet="sheet-1", at=MmPoint(12.5, 12.5)))
    assert partition(make_netlist(project, [CROSS])) == {
        frozenset({"E.1", "F.1"}),
        frozenset({"G.1", "H.1"}),
    }


def test_a_tee_kept_apart_cuts_off_the_branch_only() -> None:
    marks = [make_body(1, TEE, E, "a=1"), make_body(2, TEE, F, "b=1"), make_body(3, TEE, G, "c=1")]
    apart = ApartMark(id="mark-9", sheet="sheet-1", at=MmPoint(12.5, 2.5))
    netlist = make_netlist(make_project([TEE], [E, F, G], [*marks, apart]), [TEE])
    assert frozenset({"E.1", "F.1"}) in partition(netlist)
    assert frozenset({"G.1"}) in partition(netlist)


def test_a_bridged_gap_conducts_until_the_person_opens_it() -> None:
    drawn = ascii_sheet("a--~--b")
    marks = [make_body(1, drawn, E, "a=1"), make_body(2, drawn, F, "b=1")]
    project = make_project([drawn], [E, F], marks)
    assert partition(make_netlist(project, [drawn])) == {frozenset({"E.1", "F.1"})}
    opened = make_project(
        [drawn], [E, F], [*marks, ApartMark(id="mark-9", sheet="sheet-1", at=MmPoint(17.5, 2.5))]
    )
    assert partition(make_netlist(opened, [drawn])) == {frozenset({"E.1"}), frozenset({"F.1"})}


def test_an_open_gap_is_closed_by_joining_the_ends_that_face_each_other() -> None:
    drawn = ascii_sheet("a--!--b")
    marks = [make_body(1, drawn, E, "a=1"), make_body(2, drawn, F, "b=1")]
    project = make_project([drawn], [E, F], marks)
    assert partition(make_netlist(project, [drawn])) == {frozenset({"E.1"}), frozenset({"F.1"})}
    join = JoinMark(id="mark-9", sheet="sheet-1", at=MmPoint(17.5, 2.5))
    closed = make_project([drawn], [E, F], [*marks, join])
    # the ends lie 5 mm from the middle here, farther than a gap may be: nothing is joined in silence
    assert partition(make_netlist(closed, [drawn])) == {frozenset({"E.1"}), frozenset({"F.1"})}
    near = MmPoint(17.5, 2.5)
    line = LineMark(
        id="mark-9", sheet="sheet-1", points=(MmPoint(12.5, 2.5), near, MmPoint(22.5, 2.5))
    )
    drawn_over = make_project([drawn], [E, F], [*marks, line])
    assert partition(make_netlist(drawn_over, [drawn])) == {frozenset({"E.1", "F.1"})}


def test_what_the_person_says_is_no_conductor_joins_nothing() -> None:
    drawn = ascii_sheet("a-----b")
    marks = [make_body(1, drawn, E, "a=1"), make_body(2, drawn, F, "b=1")]
    refusal = NotConductorMark(id="mark-9", sheet="sheet-1", at=MmPoint(15.0, 2.5))
    netlist = make_netlist(make_project([drawn], [E, F], [*marks, refusal]), [drawn])
    assert partition(netlist) == {frozenset({"E.1"}), frozenset({"F.1"})}


def test_a_line_through_a_body_is_cut_at_its_edge() -> None:
    drawn = ascii_sheet("a---c---b")
    marks = [
        make_body(1, drawn, E, "a=1"),
        make_body(2, drawn, F, "b=1"),
        BodyMark(
            id="mark-3",
            sheet="sheet-1",
            box=MmBox(20.0, 0.0, 25.0, 5.0),
            part=G.id,
            pins=(BodyPin(at=MmPoint(20.0, 2.5), pin="1"), BodyPin(at=MmPoint(25.0, 2.5), pin="2")),
        ),
    ]
    netlist = make_netlist(make_project([drawn], [E, F, G], marks), [drawn])
    assert partition(netlist) == {frozenset({"E.1", "G.1"}), frozenset({"F.1", "G.2"})}


def test_the_edge_of_a_body_that_lies_there_shows_the_lines_that_were_cut_at_it() -> None:
    drawn = ascii_sheet("a-------b\n\nc-------d")
    left, right = drawn.at("a"), drawn.at("d")
    box = MmBox((left.x + right.x) / 2 + 1.0, left.y - 3.0, right.x + 3.0, right.y + 3.0)
    fresh = make_netlist(make_project([drawn], [], []), [drawn])
    body = BodyMark(id="mark-1", sheet=drawn.sheet.id, box=box, part=E.id)
    boxed = make_netlist(make_project([drawn], [E], [body]), [drawn])
    places = boxed.edge_crossings(drawn.sheet.id, box)
    assert places == fresh.edge_crossings(drawn.sheet.id, box)
    assert len(places) == 2


def test_a_pin_does_not_take_a_line_that_only_passes_by() -> None:
    drawn = ascii_sheet("a-----b")
    marks = [
        make_body(1, drawn, E, "a=1"),
        make_body(2, drawn, F, "b=1"),
        BodyMark(
            id="mark-3",
            sheet="sheet-1",
            box=MmBox(14.0, 4.0, 18.0, 8.0),
            part=G.id,
            pins=(BodyPin(at=MmPoint(16.0, 4.0), pin="1"),),
        ),
    ]
    netlist = make_netlist(make_project([drawn], [E, F, G], marks), [drawn])
    assert frozenset({"G.1"}) in partition(netlist)


def test_a_pin_without_a_line_does_not_take_its_neighbours() -> None:
    drawn = ascii_sheet("a-----b")
    body = BodyMark(
        id="mark-1",
        sheet="sheet-1",
        box=MmBox(0.0, 0.0, 3.0, 8.0),
        part=E.id,
        pins=(BodyPin(at=MmPoint(3.0, 2.5), pin="1"), BodyPin(at=MmPoint(3.0, 5.0), pin="2")),
    )
    netlist = make_netlist(make_project([drawn], [E], [body]), [drawn])
    placed = {p.pin.pin: p.conductor for p in netlist.placed_pins}
    assert placed["1"] is not None
    assert placed["2"] is None


def test_the_same_pin_on_two_sheets_is_one_net() -> None:
    one = ascii_sheet("a---b", sheet_id="sheet-1")
    two = ascii_sheet("a---b", sheet_id="sheet-2")
    marks = [
        make_body(1, one, E, "a=1"),
        make_body(2, one, F, "b=1"),
        make_body(3, two, E, "a=1"),
        make_body(4, two, G, "b=1"),
    ]
    netlist = make_netlist(make_project([one, two], [E, F, G], marks), [one, two])
    assert partition(netlist) == {frozenset({"E.1", "F.1", "G.1"})}


def test_two_modules_may_both_have_a_connector_c1() -> None:
    drawn = ascii_sheet("""
        a---b

        c---d
    """)
    marks = [
        make_body(1, drawn, E, "a=1", connector="C1"),
        make_body(2, drawn, F, "b=1", connector="C1"),
        make_body(3, drawn, G, "c=1", connector="C1"),
        make_body(4, drawn, H, "d=1", connector="C1"),
    ]
    netlist = make_netlist(make_project([drawn], [E, F, G, H], marks), [drawn])
    assert partition(netlist) == {frozenset({"E.1", "F.1"}), frozenset({"G.1", "H.1"})}


@pytest.mark.parametrize(("how", "nets"), [("stated", 1), ("printed", 2), ("inferred", 2)])
def test_only_a_confirmed_link_joins(how: str, nets: int) -> None:
    one = ascii_sheet("a---c", sheet_id="sheet-1")
    two = ascii_sheet("c---b", sheet_id="sheet-2")
    marks = [make_body(1, one, E, "a=1"), make_body(2, two, F, "b=1")]
    link = make_link(3, (one, "c"), (two, "c"), how)
    project = make_project([one, two], [E, F], marks, links=(link,))
    assert len(partition(make_netlist(project, [one, two]))) == nets


def _in_line(known: Known, pairs: tuple[PinPair, ...]) -> Project:
    drawn = ascii_sheet("""
        a--c d--b

        e--f g--h
    """)
    inline = make_part(5, "X14", "in-line connector")
    marks = [
        make_body(1, drawn, E, "a=1 e=2"),
        make_body(2, drawn, F, "b=1 h=2"),
        make_body(3, drawn, inline, "c=3 f=4", half="A"),
        make_body(4, drawn, inline, "d=7 g=8", half="B"),
    ]
    mate = Mate(
        id="mate-1",
        a=HalfKey(part=inline.id, half="A"),
        b=HalfKey(part=inline.id, half="B"),
        pairs=pairs,
        known=known,
    )
    return make_project([drawn], [E, F, inline], marks, mates=(mate,))


def test_halves_numbered_differently_join_by_their_table() -> None:
    drawn = ascii_sheet("""
        a--c d--b

        e--f g--h
    """)
    project = _in_line(Known(), (PinPair(a="3", b="8"), PinPair(a="4", b="7")))
    netlist = make_netlist(project, [drawn])
    assert partition(netlist) == {
        frozenset({"E.1", "X14.3", "X14.8", "F.2"}),
        frozenset({"E.2", "X14.4", "X14.7", "F.1"}),
    }


def test_a_mate_without_a_table_joins_nothing_by_itself() -> None:
    drawn = ascii_sheet("""
        a--c d--b

        e--f g--h
    """)
    netlist = make_netlist(_in_line(Known(), ()), [drawn])
    assert all(len(group) == 2 for group in partition(netlist))


def test_bars_of_a_joint_connector_join_pins_of_different_sheets() -> None:
    one = ascii_sheet("a---b", sheet_id="sheet-1")
    two = ascii_sheet("a---b", sheet_id="sheet-2")
    bar = InnerWay(relation="joined", pins=(InnerPin(pin="1"), InnerPin(pin="4")))
    joint = make_part(7, "J1", "joint connector", ways=(bar,))
    marks = [
        make_body(1, one, E, "a=1"),
        make_body(2, one, joint, "b=1"),
        make_body(3, two, F, "a=1"),
        make_body(4, two, joint, "b=4"),
    ]
    netlist = make_netlist(make_project([one, two], [E, F, joint], marks), [one, two])
    assert partition(netlist) == {frozenset({"E.1", "J1.1", "J1.4", "F.1"})}


def test_a_fuse_is_no_net_but_passes() -> None:
    drawn = ascii_sheet("a--c d--b")
    way = InnerWay(relation="passes", pins=(InnerPin(pin="1"), InnerPin(pin="2")))
    fuse = make_part(7, "F5", "fuse", ways=(way,))
    marks = [
        make_body(1, drawn, E, "a=1"),
        make_body(2, drawn, F, "b=1"),
        make_body(3, drawn, fuse, "c=1 d=2"),
    ]
    netlist = make_netlist(make_project([drawn], [E, F, fuse], marks), [drawn])
    assert partition(netlist) == {frozenset({"E.1", "F5.1"}), frozenset({"F.1", "F5.2"})}


def test_two_ground_points_of_one_reference_stay_two_nets() -> None:
    drawn = ascii_sheet("""
        a---b

        c---d
    """)
    chassis = Reference(id="reference-1", name="chassis", kind="chassis")
    left = make_part(7, "G101", "ground point", reference=chassis.id)
    right = make_part(8, "G102", "ground point", reference=chassis.id)
    marks = [
        make_body(1, drawn, E, "a=1"),
        make_body(2, drawn, left, "b=1"),
        make_body(3, drawn, F, "c=1"),
        make_body(4, drawn, right, "d=1"),
    ]
    project = make_project([drawn], [E, F, left, right], marks, references=(chassis,))
    assert len(partition(make_netlist(project, [drawn]))) == 2


def test_with_reading_off_drawn_lines_give_the_same_nets() -> None:
    read = _four_pins(DOT)
    across = LineMark(id="mark-20", sheet="sheet-1", points=(DOT.at("a"), DOT.at("b")))
    up = LineMark(id="mark-21", sheet="sheet-1", points=(DOT.at("c"), MmPoint(12.5, 12.5)))
    down = LineMark(id="mark-22", sheet="sheet-1", points=(DOT.at("d"), MmPoint(12.5, 12.5)))
    by_hand = read.model_copy(update={"marks": (*read.marks, across, up, down)})
    assert partition(derive(by_hand, {})) == partition(make_netlist(read, [DOT]))


def test_a_drawn_line_that_ends_on_a_crossing_of_two_lines_joins_neither() -> None:
    line = LineMark(
        id="mark-20", sheet="sheet-1", points=(MmPoint(20.0, 20.0), MmPoint(12.5, 12.5))
    )
    netlist = make_netlist(_four_pins(CROSS, line), [CROSS])
    assert partition(netlist) == {frozenset({"E.1", "F.1"}), frozenset({"G.1", "H.1"})}
    assert len(netlist.graphs["sheet-1"].torn_ends) == 1


def test_a_lead_known_from_a_list_joins_without_a_drawing() -> None:
    drawn = ascii_sheet("a---b")
    ends = (PinKey(part=E.id, pin="9"), PinKey(part=F.id, pin="9"))
    lead = Lead(id="lead-1", ends=ends, known=Known(how="list", source="pins.csv"))
    netlist = make_netlist(make_project([drawn], [E, F], leads=(lead,)), [drawn])
    assert frozenset({"E.9", "F.9"}) in partition(netlist)


def test_a_lead_that_is_only_inferred_joins_nothing() -> None:
    drawn = ascii_sheet("a---b")
    ends = (PinKey(part=E.id, pin="9"), PinKey(part=F.id, pin="9"))
    lead = Lead(id="lead-1", ends=ends, known=Known(how="inferred"))
    netlist = make_netlist(make_project([drawn], [E, F], leads=(lead,)), [drawn])
    assert partition(netlist) == {frozenset({"E.9"}), frozenset({"F.9"})}


def test_a_lead_that_a_fit_does_not_have_is_left_out() -> None:
    drawn = ascii_sheet("a---b")
    marks = [make_body(1, drawn, E, "a=1"), make_body(2, drawn, F, "b=1")]
    line = LineMark(
        id="mark-9", sheet="sheet-1", when="towing", points=(drawn.at("a"), drawn.at("b"))
    )
    project = make_project([drawn], [E, F], [*marks, line])
    base = Fit(id="fit-1", name="base", options_without=("towing",))
    equipped = Fit(id="fit-2", name="with towing", options_with=("towing",))
    unsaid = Fit(id="fit-3", name="unsaid")
    assert len(partition(derive(project, {}, fit=base))) == 2
    assert len(partition(derive(project, {}, fit=equipped))) == 1
    assert len(partition(derive(project, {}, fit=unsaid))) == 1


@given(st.randoms(use_true_random=False))
def test_nets_do_not_depend_on_the_order_of_marks_and_sheets(rng: random.Random) -> None:
    one = ascii_sheet("a---c", sheet_id="sheet-1")
    two = ascii_sheet("c---b", sheet_id="sheet-2")
    middle = MmPoint(12.5, 12.5)
    marks: list[Mark] = [
        *_four_pins(
            CROSS.__class__(
                CROSS.sheet.model_copy(update={"id": "sheet-3"}), CROSS.reading, CROSS.rows
            )
        ).marks,
        JoinMark(id="mark-31", sheet="sheet-3", at=middle),
        make_body(32, one, E, "a=1"),
        make_body(33, two, F, "b=7"),
        NameMark(id="mark-34", sheet="sheet-1", at=one.at("c"), name="TAIL LH"),
    ]
    sheets = [one.sheet, two.sheet, CROSS.sheet.model_copy(update={"id": "sheet-3"})]
    link = make_link(40, (one, "c"), (two, "c"))
    readings = {"sheet-1": one.reading, "sheet-2": two.reading, "sheet-3": CROSS.reading}
    fixed = Project(
        serial=99, sheets=tuple(sheets), parts=(E, F, G, H), marks=tuple(marks), links=(link,)
    )
    rng.shuffle(marks)
    rng.shuffle(sheets)
    shuffled = fixed.model_copy(update={"marks": tuple(marks), "sheets": tuple(sheets)})
    assert derive(shuffled, readings).nets == derive(fixed, readings).nets


def test_an_edit_on_one_sheet_works_out_that_sheet_alone() -> None:
    one = ascii_sheet("a---b", sheet_id="sheet-1")
    two = ascii_sheet("a---b", sheet_id="sheet-2")
    project = make_project([one, two], [E, F])
    readings = {"sheet-1": one.reading, "sheet-2": two.reading}
    memory = Memory()
    before = derive(project, readings, memory=memory)
    named = project.model_copy(
        update={"marks": (NameMark(id="mark-1", sheet="sheet-2", at=two.at("a"), name="TAIL LH"),)}
    )
    after = derive(named, readings, memory=memory)
    assert after.graphs["sheet-1"] is before.graphs["sheet-1"]
    assert after.graphs["sheet-2"] is not before.graphs["sheet-2"]
    assert [net.name for net in after.nets if net.name] == ["TAIL LH"]
