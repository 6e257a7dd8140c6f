"""The connector map: every lead from pin to pin, what it rests on, and when it is released."""

from __future__ import annotations

from loomfolio.basics import MmPoint
from loomfolio.nets import MapRow, Netlist, connector_map
from loomfolio.project import (
    ApartMark,
    BodyMark,
    BodyPin,
    Confirmation,
    HalfKey,
    Known,
    Lead,
    LeadColour,
    LeadMark,
    Mate,
    NameMark,
    PinKey,
    PinPair,
)
from support.ascii_sheet import ascii_sheet
from support.make_netlist import (
    confirm_at,
    make_body,
    make_link,
    make_netlist,
    make_part,
    make_project,
)

E, F, G, H = (make_part(n, name) for n, name in enumerate("EFGH", start=1))


def _ends(netlist: Netlist, rows: tuple[MapRow, ...]) -> list[str]:
    names = {part.id: part.name for part in netlist.project.parts}

    def word(pin: PinKey | None) -> str:
        return "nowhere" if pin is None else f"{names[pin.part]}.{pin.pin}"

    return [f"{word(row.a)}-{word(row.b)}" for row in rows]


def _kinds(row: MapRow) -> list[str]:
    return [piece.kind for piece in row.open_pieces]


def test_a_plain_line_between_two_pins_is_a_released_lead() -> None:
    drawn = ascii_sheet("a-----b")
    marks = [make_body(1, drawn, E, "a=1"), make_body(2, drawn, F, "b=1")]
    netlist = make_netlist(make_project([drawn], [E, F], marks), [drawn])
    (row,) = connector_map(netlist)
    assert row.is_released
    assert not row.pieces


def test_a_lead_that_crosses_another_waits_until_the_crossing_is_confirmed() -> None:
    drawn = ascii_sheet("""
          c
          |
        a-#-b
          |
          d
    """)
    marks = [
        make_body(n, drawn, part, f"{letter}=1")
        for n, (part, letter) in enumerate(zip((E, F, G, H), "abcd", strict=True), start=1)
    ]
    project = make_project([drawn], [E, F, G, H], marks)
    rows = connector_map(make_netlist(project, [drawn]))
    assert [_kinds(row) for row in rows] == [["crossing"], ["crossing"]]
    confirmed = confirm_at(9, "crossing", drawn, MmPoint(12.5, 12.5))
    project = project.model_copy(update={"confirmations": (confirmed,)})
    assert all(row.is_released for row in connector_map(make_netlist(project, [drawn])))


def test_an_answer_to_a_doubt_confirms_it() -> None:
    drawn = ascii_sheet("""
          c
          |
        a-?-b
          |
          d
    """)
    marks = [
        make_body(n, drawn, part, f"{letter}=1")
        for n, (part, letter) in enumerate(zip((E, F, G, H), "abcd", strict=True), start=1)
    ]
    apart = ApartMark(id="mark-9", sheet="sheet-1", at=MmPoint(12.7, 12.2))
    netlist = make_netlist(make_project([drawn], [E, F, G, H], [*marks, apart]), [drawn])
    rows = connector_map(netlist)
    assert _ends(netlist, rows) == ["E.1-F.1", "G.1-H.1"]
    assert all(row.is_released for row in rows)


def test_a_bridged_gap_holds_its_lead_back() -> None:
    drawn = ascii_sheet("a--~--b")
    marks = [make_body(1, drawn, E, "a=1"), make_body(2, drawn, F, "b=1")]
    (row,) = connector_map(make_netlist(make_project([drawn], [E, F], marks), [drawn]))
    assert _kinds(row) == ["gap"]
    assert not row.is_released


def test_one_printed_source_is_not_enough_but_two_that_differ_are() -> None:
    drawn = ascii_sheet("a--~--b")
    marks = [make_body(1, drawn, E, "a=1"), make_body(2, drawn, F, "b=1")]
    project = make_project([drawn], [E, F], marks)

    def sources(*facts: Known) -> bool:
        confirmations = tuple(
            confirm_at(n, "gap", drawn, MmPoint(17.5, 2.5)).model_copy(update={"known": known})
            for n, known in enumerate(facts, start=1)
        )
        project_now = project.model_copy(update={"confirmations": confirmations})
        (row,) = connector_map(make_netlist(project_now, [drawn]))
        return row.is_released

    sheet, listed = Known(how="printed", source="sheet 7"), Known(how="list", source="pins.csv")
    assert not sources(sheet)
    assert not sources(sheet, sheet)
    assert not sources(sheet, Known(how="inferred"))
    assert sources(sheet, listed)
    assert sources(Known(how="measured", source="meter"))


def test_three_pins_at_a_drawn_join_are_branches_that_rest_on_the_join() -> None:
    drawn = ascii_sheet("""
        a--o--b
           |
           c
    """)
    marks = [
        make_body(1, drawn, E, "a=1"),
        make_body(2, drawn, F, "b=1"),
        make_body(3, drawn, G, "c=1"),
    ]
    netlist = make_netlist(make_project([drawn], [E, F, G], marks), [drawn])
    rows = connector_map(netlist)
    assert _ends(netlist, rows) == ["E.1-F.1", "E.1-G.1"]
    assert all(row.is_branch for row in rows)
    assert [_kinds(row) for row in rows] == [["join"], ["join"]]


def test_a_named_splice_divides_its_leads() -> None:
    drawn = ascii_sheet("""
        a--o--b
           |
           c
    """)
    splice = make_part(9, "S4", "splice")
    box = drawn.box("a").__class__(14.0, 0.0, 21.0, 5.0)
    pins = tuple(
        BodyPin(at=at, pin=pin)
        for pin, at in (
            ("1", MmPoint(14.0, 2.5)),
            ("2", MmPoint(21.0, 2.5)),
            ("3", MmPoint(17.5, 5.0)),
        )
    )
    marks = [
        make_body(1, drawn, E, "a=1"),
        make_body(2, drawn, F, "b=1"),
        make_body(3, drawn, G, "c=1"),
        BodyMark(id="mark-4", sheet="sheet-1", box=box, part=splice.id, pins=pins),
    ]
    netlist = make_netlist(make_project([drawn], [E, F, G, splice], marks), [drawn])
    rows = connector_map(netlist)
    assert _ends(netlist, rows) == ["E.1-S4.1", "F.1-S4.2", "G.1-S4.3"]
    assert len({row.net for row in rows}) == 1
    assert all(row.is_released for row in rows)


def test_a_proposed_link_shows_the_lead_hollow_with_both_ends() -> None:
    one = ascii_sheet("a---c", sheet_id="sheet-1")
    two = ascii_sheet("c---b", sheet_id="sheet-2")
    marks = [make_body(1, one, E, "a=1"), make_body(2, two, F, "b=1")]
    link = make_link(3, (one, "c"), (two, "c"), "printed")
    project = make_project([one, two], [E, F], marks, links=(link,))
    netlist = make_netlist(project, [one, two])
    (row,) = connector_map(netlist)
    assert _ends(netlist, (row,)) == ["E.1-F.1"]
    assert _kinds(row) == ["link"]
    word = Confirmation(id="confirmation-1", piece="link", record=link.id)
    settled = project.model_copy(update={"confirmations": (word,)})
    assert connector_map(make_netlist(settled, [one, two]))[0].is_released


def test_a_lead_into_an_in_line_connector_rests_on_its_mate() -> None:
    drawn = ascii_sheet("a---c d---b")
    inline = make_part(5, "X14", "in-line connector")
    marks = [
        make_body(1, drawn, E, "a=1"),
        make_body(2, drawn, F, "b=1"),
        make_body(3, drawn, inline, "c=3", half="A"),
        make_body(4, drawn, inline, "d=7", half="B"),
    ]
    mate = Mate(
        id="mate-1",
        a=HalfKey(part=inline.id, half="A"),
        b=HalfKey(part=inline.id, half="B"),
        pairs=(PinPair(a="3", b="7"),),
        known=Known(how="printed"),
    )
    project = make_project([drawn], [E, F, inline], marks, mates=(mate,))
    rows = connector_map(make_netlist(project, [drawn]))
    assert [_kinds(row) for row in rows] == [["mate"], ["mate"]]
    word = Confirmation(id="confirmation-1", piece="mate", record="mate-1", detail="3=7")
    settled = project.model_copy(update={"confirmations": (word,)})
    assert all(row.is_released for row in connector_map(make_netlist(settled, [drawn])))


def test_a_lead_that_goes_nowhere_is_never_released() -> None:
    drawn = ascii_sheet("a-----b")
    netlist = make_netlist(make_project([drawn], [E], [make_body(1, drawn, E, "a=1")]), [drawn])
    (row,) = connector_map(netlist)
    assert row.b is None
    assert not row.is_released


def test_the_same_lead_on_two_sheets_is_one_row() -> None:
    one = ascii_sheet("a---b", sheet_id="sheet-1")
    two = ascii_sheet("a-~-b", sheet_id="sheet-2")
    marks = [
        make_body(1, one, E, "a=1"),
        make_body(2, one, F, "b=1"),
        make_body(3, two, E, "a=1"),
        make_body(4, two, F, "b=1"),
    ]
    (row,) = connector_map(make_netlist(make_project([one, two], [E, F], marks), [one, two]))
    assert row.sheets == ("sheet-1", "sheet-2")
    assert row.is_released


def test_a_list_bears_out_what_is_drawn() -> None:
    drawn = ascii_sheet("a--~--b")
    marks = [make_body(1, drawn, E, "a=1"), make_body(2, drawn, F, "b=1")]
    ends = (PinKey(part=F.id, pin="1"), PinKey(part=E.id, pin="1"))
    lead = Lead(
        id="lead-1",
        ends=ends,
        colour=LeadColour(text="GN/YE"),
        known=Known(how="list", source="pins.csv"),
    )
    (row,) = connector_map(
        make_netlist(make_project([drawn], [E, F], marks, leads=(lead,)), [drawn])
    )
    assert row.is_released
    assert row.colour == LeadColour(text="GN/YE")


def test_colour_and_area_noted_on_a_line_are_those_of_its_lead() -> None:
    drawn = ascii_sheet("a-----b")
    note = LeadMark(
        id="mark-3",
        sheet="sheet-1",
        at=MmPoint(15.0, 1.5),
        colour=LeadColour(text="BN/WH"),
        area_mm2=1.5,
    )
    marks = [make_body(1, drawn, E, "a=1"), make_body(2, drawn, F, "b=1"), note]
    (row,) = connector_map(make_netlist(make_project([drawn], [E, F], marks), [drawn]))
    assert row.colour is not None
    assert (row.colour.text, row.area_mm2) == ("BN/WH", 1.5)


def test_a_name_that_is_only_inferred_holds_its_lead_back() -> None:
    drawn = ascii_sheet("a-----b")
    name = NameMark(
        id="mark-3",
        sheet="sheet-1",
        at=MmPoint(15.0, 2.5),
        name="TAIL LH",
        known=Known(how="inferred"),
    )
    marks = [make_body(1, drawn, E, "a=1"), make_body(2, drawn, F, "b=1"), name]
    (row,) = connector_map(make_netlist(make_project([drawn], [E, F], marks), [drawn]))
    assert row.net_name == "TAIL LH"
    assert _kinds(row) == ["name"]
