"""Each gesture becomes one step with a title, and the document says what the person meant."""

import pytest

from loomfolio.basics import EditError, MmBox, MmPoint
from loomfolio.desk.gestures import confirm_piece, name_net, place_on_net, settle_spot, step_of
from loomfolio.desk.table.intents import (
    Answer,
    BodyText,
    ChangeBody,
    DrawLine,
    MakeBody,
    MakeLink,
    MoveSheet,
    NameNet,
    NumberPins,
    Remove,
)
from loomfolio.project import (
    Anchor,
    ApartMark,
    BodyMark,
    BodyPin,
    JoinMark,
    Known,
    NameMark,
    edits,
)
from support.make_desk import FRONT, REAR, derived, linked_job, pin, small_job


def marks_of(project, kind):
    return [mark for mark in project.marks if isinstance(mark, kind)]


def test_a_name_is_put_where_the_net_was_pointed_at():
    step = step_of(small_job(), NameNet("sheet-1", FRONT.at("a"), "+30"))
    assert step.title == "Name net +30"
    assert derived(step.project).net_of(pin("TCU", "1", "C1")).name == "+30"


def test_naming_a_named_net_changes_its_mark():
    step = step_of(small_job(), NameNet("sheet-1", FRONT.at("b"), "STOP", mark="mark-7"))
    assert step.title == "Rename BRAKE to STOP"
    assert [mark.name for mark in marks_of(step.project, NameMark)] == ["STOP"]


def test_a_renamed_net_is_known_by_the_person():
    project = small_job()
    printed = next(m for m in project.marks if m.id == "mark-7").model_copy(
        update={"known": Known(how="printed")}
    )
    others = tuple(m for m in project.marks if m.id != "mark-7")
    project = project.model_copy(update={"marks": (*others, printed)})
    step = step_of(project, NameNet("sheet-1", FRONT.at("b"), "STOP", mark="mark-7"))
    assert next(m for m in step.project.marks if m.id == "mark-7").known.how == "stated"


def test_a_name_that_was_removed_meanwhile_is_said_so():
    with pytest.raises(EditError, match="removed meanwhile"):
        step_of(small_job(), NameNet("sheet-1", FRONT.at("b"), "STOP", mark="mark-99"))


def test_a_box_makes_the_part_that_was_typed():
    text = BodyText("B7", "sensor", "", "", (BodyPin(at=REAR.at("m"), pin="1"),))
    step = step_of(small_job(), MakeBody("sheet-2", REAR.box("m"), text))
    assert step.title == "Box round B7"
    part = next(part for part in step.project.parts if part.name == "B7")
    assert part.kind == "sensor"
    assert derived(step.project).net_of(pin("TCU", "7", "C2")) is not None
    assert marks_of(step.project, BodyMark)[-1].part == part.id


def test_a_box_round_a_known_part_is_one_more_appearance():
    text = BodyText("TCU", None, "C1", "", (BodyPin(at=REAR.at("m"), pin="3"),))
    step = step_of(small_job(), MakeBody("sheet-2", REAR.box("m"), text))
    assert len(step.project.parts) == len(small_job().parts)
    assert step.title == "Box round TCU C1"
    places = derived(step.project).places_of_pin(pin("TCU", "3", "C1"))
    assert {place.anchor.sheet for place in places} == {"sheet-1", "sheet-2"}


def test_a_fuse_numbered_as_usual_passes_as_usual():
    pins = (BodyPin(at=REAR.at("m"), pin="1"), BodyPin(at=REAR.at("k"), pin="2"))
    step = step_of(
        small_job(), MakeBody("sheet-2", REAR.box("m"), BodyText("F9", "fuse", "", "", pins))
    )
    part = next(part for part in step.project.parts if part.name == "F9")
    assert [way.relation for way in part.ways] == ["passes"]
    assert {p.pin for p in part.ways[0].pins} == {"1", "2"}


def test_a_relay_numbered_otherwise_has_no_ways_that_nobody_stated():
    pins = (BodyPin(at=REAR.at("m"), pin="A"), BodyPin(at=REAR.at("k"), pin="B"))
    step = step_of(
        small_job(), MakeBody("sheet-2", REAR.box("m"), BodyText("K9", "relay", "", "", pins))
    )
    assert next(part for part in step.project.parts if part.name == "K9").ways == ()


def test_usual_ways_are_those_of_the_connector_that_was_typed():
    pins = (BodyPin(at=REAR.at("m"), pin="1"),)
    text = BodyText("F9", "fuse", "C3", "", pins)
    step = step_of(small_job(), MakeBody("sheet-2", REAR.box("m"), text))
    part = next(part for part in step.project.parts if part.name == "F9")
    assert {p.connector for way in part.ways for p in way.pins} == {"C3"}


def test_a_box_can_become_another_part():
    text = BodyText("ECU", "module", "C1", "", ())
    step = step_of(small_job(), ChangeBody("mark-1", text))
    body = next(mark for mark in step.project.marks if mark.id == "mark-1")
    assert step.project.part(body.part).name == "ECU"
    assert body.pins == ()
    assert step.title == "Change ECU C1"


def test_numbering_says_how_many_pins_of_which_part():
    step = step_of(small_job(), NumberPins("mark-6", (BodyPin(at=REAR.at("l"), pin="31"),)))
    assert step.title == "Number 1 pin of E3"
    assert derived(step.project).net_of(pin("E3", "31")) is not None


@pytest.mark.parametrize("mark", ["mark-7", "mark-404"], ids=["a name", "nothing"])
def test_only_a_box_has_pins(mark):
    with pytest.raises(EditError, match="removed meanwhile"):
        step_of(small_job(), NumberPins(mark, ()))


@pytest.mark.parametrize(
    ("word", "kind", "title"),
    [("joined", JoinMark, "Join lines"), ("apart", ApartMark, "Keep lines apart")],
)
def test_an_answer_is_a_mark(word, kind, title):
    spot = next(s for s in derived().netlist.spots_on("sheet-1") if s.is_doubt)
    step = step_of(small_job(), Answer("sheet-1", spot.at, word))
    assert step.title == title
    assert [mark.at for mark in marks_of(step.project, kind)] == [spot.at]


def test_joining_a_doubtful_crossing_makes_one_net():
    spot = next(s for s in derived().netlist.spots_on("sheet-1") if s.is_doubt)
    step = step_of(small_job(), Answer("sheet-1", spot.at, "joined"))
    state = derived(step.project)
    assert state.net_of(pin("TCU", "1", "C1")) is state.net_of(pin("TCU", "2", "C1"))


def test_a_drawn_line_joins_what_it_touches():
    step = step_of(small_job(), DrawLine("sheet-1", (FRONT.at("f"), FRONT.at("g"))))
    assert step.title == "Draw line"
    state = derived(step.project)
    assert state.net_of(pin("TCU", "3", "C1")) is state.net_of(pin("X90", "4"))


def test_a_link_names_both_sheets():
    a, b = (
        Anchor(sheet="sheet-1", at=FRONT.at("f")),
        Anchor(sheet="sheet-2", at=REAR.at("m")),
    )
    step = step_of(small_job(), MakeLink(a, b))
    assert step.title == "Link Front to Rear"
    assert [(link.a, link.b) for link in step.project.links] == [(a, b)]


def test_a_link_whose_other_end_was_open_is_ended_not_doubled():
    start, end = (
        Anchor(sheet="sheet-1", at=FRONT.at("f")),
        Anchor(sheet="sheet-2", at=REAR.at("m")),
    )
    begun = edits.add_link(small_job(), a=start, label="H").project
    near = Anchor(sheet="sheet-1", at=MmPoint(start.at.x + 1.0, start.at.y))
    (link,) = step_of(begun, MakeLink(end, near)).project.links
    assert (link.a, link.b, link.label, link.known) == (start, end, "H", Known())


def test_marks_and_links_go_in_one_step():
    step = step_of(linked_job(), Remove(("mark-7", "link-9")))
    assert step.title == "Remove 2 marks"
    assert step.project.links == ()
    assert all(mark.id != "mark-7" for mark in step.project.marks)


def test_one_mark_removed_is_called_one():
    assert step_of(small_job(), Remove(("mark-7",))).title == "Remove mark"


def test_a_moved_sheet_lies_where_it_was_put():
    step = step_of(small_job(), MoveSheet("sheet-2", MmPoint(10, 400)))
    assert step.project.sheet("sheet-2").table_at == MmPoint(10, 400)
    assert step.title == "Move sheet Rear"


# ------------------------------------------------------------------------------------- the ledger


def named(net_of, name, project=None):
    project = project or small_job()
    state = derived(project)
    return name_net(project, state.netlist, state.net_of(net_of), name)


def test_a_net_without_a_name_gets_a_mark_on_its_run():
    step = named(pin("TCU", "1", "C1"), "+30")
    assert derived(step.project).net_of(pin("X90", "1")).name == "+30"


def test_a_named_net_keeps_one_mark():
    step = named(pin("TCU", "2", "C1"), "STOP")
    assert [mark.name for mark in marks_of(step.project, NameMark)] == ["STOP"]


def test_an_empty_name_takes_the_mark_away():
    step = named(pin("TCU", "2", "C1"), "")
    assert step.title == "Remove name BRAKE"
    assert marks_of(step.project, NameMark) == []


def test_a_net_with_two_names_is_not_overwritten():
    twice = step_of(small_job(), NameNet("sheet-1", FRONT.at("e"), "OTHER")).project
    with pytest.raises(EditError, match="2 names"):
        named(pin("TCU", "2", "C1"), "STOP", twice)


def test_there_is_no_name_to_take_from_a_nameless_net():
    with pytest.raises(EditError, match="no name"):
        named(pin("TCU", "1", "C1"), "")


def test_a_net_drawn_nowhere_cannot_be_named_on_paper():
    project = small_job()
    bare = project.model_copy(update={"marks": (*project.marks, *_undrawn(project))})
    with pytest.raises(EditError, match="where a name could stand"):
        named(pin("X90", "9"), "N", bare)


def _undrawn(project):
    """A pin on the sheet's margin, on no conductor."""
    body = next(mark for mark in project.marks if mark.id == "mark-2")
    corner = MmPoint(0.5, 0.5)
    return [
        body.model_copy(
            update={
                "id": "mark-50",
                "box": MmBox(0.2, 0.2, 0.8, 0.8),
                "pins": (BodyPin(at=corner, pin="9"),),
            }
        )
    ]


def test_the_place_of_a_net_lies_on_its_run():
    state = derived()
    net = state.net_of(pin("TCU", "2", "C1"))
    place = place_on_net(state.netlist, net)
    found = state.netlist.snap(place.sheet, place.at)
    assert state.netlist.conductors[found.conductor].net == net.number


# ------------------------------------------------------------------------------------ confirming


def lead(state, a, b):
    return next(row for row in state.rows if {row.a, row.b} == {a, b})


def test_confirming_every_piece_releases_the_lead():
    project = small_job()
    ends = (pin("TCU", "2", "C1"), pin("X90", "2"))
    for piece in lead(derived(project), *ends).open_pieces:
        project = confirm_piece(project, piece, Known()).project
    assert lead(derived(project), *ends).is_released


def test_what_is_printed_elsewhere_needs_a_second_source():
    project = small_job()
    ends = (pin("TCU", "2", "C1"), pin("X90", "2"))
    piece = lead(derived(project), *ends).open_pieces[0]
    once = confirm_piece(project, piece, Known(how="printed", source="sheet 9")).project
    assert piece.place in [p.place for p in lead(derived(once), *ends).open_pieces]


def test_a_confirmed_link_joins():
    project = linked_job()
    state = derived(project)
    row = next(r for r in state.rows if any(p.kind == "link" for p in r.pieces))
    piece = next(p for p in row.pieces if p.kind == "link")
    step = confirm_piece(project, piece, Known())
    assert step.title == "Confirm link"
    state = derived(step.project)
    assert state.net_of(pin("TCU", "3", "C1")) is state.net_of(pin("E3", "2"))


def test_an_inferred_pin_number_is_confirmed_on_its_box():
    project = small_job()
    body = next(mark for mark in project.marks if mark.id == "mark-2")
    guessed = tuple(
        p.model_copy(update={"known": Known(how="inferred")}) if p.pin == "2" else p
        for p in body.pins
    )
    project = step_of(project, NumberPins("mark-2", guessed)).project
    ends = (pin("TCU", "2", "C1"), pin("X90", "2"))
    piece = next(p for p in lead(derived(project), *ends).open_pieces if "pin number" in p.sentence)
    step = confirm_piece(project, piece, Known())
    assert step.title == "Confirm pin number"
    body = next(mark for mark in step.project.marks if mark.id == "mark-2")
    assert all(p.known.is_sure for p in body.pins)


def test_a_doubt_left_as_it_is_is_answered_as_it_was_read():
    spot = next(s for s in derived().netlist.spots_on("sheet-1") if s.is_doubt)
    step = settle_spot(small_job(), "sheet-1", spot)
    assert step.title == "Leave as read"
    answered = next(s for s in derived(step.project).netlist.spots_on("sheet-1") if s.at == spot.at)
    assert answered.answer == spot.taken
