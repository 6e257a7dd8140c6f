"""What lies under the pointer: smallest first, never what is out of reach."""

from loomfolio.basics import MmPoint
from loomfolio.desk.table.things import things_under
from loomfolio.project import JoinMark, LeadColour, LeadMark, LineMark
from support.make_netlist import make_link
from support.make_table import BODY, LEFT, RIGHT, Pointer, net_at, table_job, table_scene


def kinds(pointer, at, **event):
    return [
        thing.kind for thing in things_under(pointer.hand.scene, pointer.event("move", at, **event))
    ]


def test_on_blank_paper_there_is_only_the_sheet(pointer):
    assert kinds(pointer, LEFT.at("u")) == ["sheet"]


def test_off_the_sheets_there_is_nothing(pointer):
    assert kinds(pointer, MmPoint(130, 5)) == []


def test_a_pin_comes_before_its_conductor_and_its_body(pointer):
    pin = BODY.pins[0].at
    assert kinds(pointer, pin) == ["pin", "conductor", "body", "sheet"]


def test_a_crossing_comes_before_what_crosses_there(pointer):
    crossing = MmPoint(LEFT.at("j").x, LEFT.at("e").y)
    assert kinds(pointer, crossing)[:2] == ["spot", "conductor"]


def test_between_two_conductors_both_are_rivals(pointer):
    pointer.px_per_mm = 2.0
    between = MmPoint(30, (LEFT.at("a").y + LEFT.at("c").y) / 2)
    conductor = things_under(pointer.hand.scene, pointer.event("move", between))[0]
    assert conductor.kind == "conductor"
    assert conductor.conductor is None
    assert len(conductor.rivals) == 2


def test_zoomed_in_the_same_place_is_near_to_neither(pointer):
    pointer.px_per_mm = 20.0
    between = MmPoint(30, (LEFT.at("a").y + LEFT.at("c").y) / 2)
    assert kinds(pointer, between) == ["sheet"]


def test_a_conductor_knows_its_net(pointer):
    at = MmPoint(40, LEFT.at("a").y + 0.4)
    thing = things_under(pointer.hand.scene, pointer.event("move", at))[0]
    assert thing.net == net_at(pointer.hand.scene, "sheet-1", at)
    assert thing.at == MmPoint(40, LEFT.at("a").y)


def test_a_mark_carries_the_record_that_can_be_removed():
    pointer = Pointer(
        table_scene(table_job(JoinMark(id="mark-9", sheet="sheet-1", at=LEFT.at("u"))))
    )
    thing = things_under(pointer.hand.scene, pointer.event("move", LEFT.at("u")))[0]
    assert (thing.kind, thing.record) == ("join", "mark-9")


def test_a_drawn_line_is_a_mark_and_a_conductor():
    line = LineMark(id="mark-9", sheet="sheet-1", points=(MmPoint(60, 40), MmPoint(80, 40)))
    pointer = Pointer(table_scene(table_job(line)))
    assert kinds(pointer, MmPoint(70, 40.2)) == ["line", "conductor", "sheet"]


def test_a_note_of_a_lead_is_found_at_its_place():
    note = LeadMark(
        id="mark-9",
        sheet="sheet-1",
        at=MmPoint(40, LEFT.at("c").y),
        colour=LeadColour(text="RD"),
    )
    assert kinds(Pointer(table_scene(table_job(note))), note.at)[0] == "lead note"


def test_both_ends_of_a_link_are_found():
    link = make_link(9, (LEFT, "b"), (RIGHT, "m"))
    pointer = Pointer(table_scene(table_job(links=(link,))))
    assert kinds(pointer, LEFT.at("b"))[0] == "link"
    assert kinds(pointer, RIGHT.at("m"), sheet="sheet-2")[0] == "link"


def test_a_label_under_the_pointer_is_the_mark_it_belongs_to(pointer):
    event = pointer.event("move", LEFT.at("u"))
    labelled = type(event)(
        event.action, event.point, event.place, event.px_per_mm, labels=("mark-2",)
    )
    thing = things_under(pointer.hand.scene, labelled)[0]
    assert (thing.kind, thing.record) == ("name", "mark-2")
    assert thing.net == net_at(pointer.hand.scene, "sheet-1", MmPoint(30, LEFT.at("a").y))
