"""The gestures, driven without a window: what each comes to, and that Escape leaves no trace."""

import pytest

from loomfolio.basics import MmBox, MmPoint
from loomfolio.desk.table.events import Held
from loomfolio.desk.table.intents import Answer, DrawLine, MakeLink, MoveSheet, NumberPins, Remove
from loomfolio.desk.table.preview import AT_REST, BodyDraft, NameDraft
from loomfolio.project import Anchor, ApartMark, JoinMark, LineMark
from support.make_netlist import make_link
from support.make_table import BODY, LEFT, RIGHT, Pointer, net_at, table_job, table_scene

CROSSING = MmPoint(LEFT.at("j").x, LEFT.at("e").y)
DOT = MmPoint(LEFT.at("j").x, LEFT.at("k").y)
ON_UPPER = MmPoint(40, LEFT.at("a").y)
ON_LOWER = MmPoint(40, LEFT.at("c").y)
BETWEEN = MmPoint(40, (LEFT.at("a").y + LEFT.at("c").y) / 2)
BLANK = LEFT.at("u")
DRAWS = Held(draws=True)


# ------------------------------------------------------------------ pointing and selecting


def test_pointing_at_a_conductor_hovers_its_net(pointer):
    pointer.do("move", MmPoint(40, LEFT.at("a").y + 0.5))
    assert pointer.hand.hovered.net == net_at(pointer.hand.scene, "sheet-1", ON_UPPER)


def test_leaving_the_table_hovers_nothing(pointer):
    pointer.do("move", ON_UPPER)
    pointer.hand.leave()
    assert pointer.hand.hovered is None


def test_a_click_selects_the_net_and_emits_nothing(pointer):
    pointer.click(ON_UPPER)
    assert pointer.hand.selected.net == net_at(pointer.hand.scene, "sheet-1", ON_UPPER)
    assert pointer.outcomes == []


def test_a_click_on_blank_paper_selects_nothing(pointer):
    pointer.click(ON_UPPER)
    pointer.click(BLANK)
    assert pointer.hand.selected.net is None


def test_escape_at_rest_takes_the_selection_back(pointer):
    pointer.click(ON_UPPER)
    pointer.key("escape")
    assert pointer.hand.selected.net is None


def test_repeated_clicks_go_from_the_smallest_thing_to_the_largest_and_round(pointer):
    pin = BODY.pins[0].at
    found = []
    for _ in range(4):
        pointer.click(pin)
        found.append(pointer.hand.selected.thing.kind)
    assert found == ["pin", "conductor", "body", "pin"]


def test_a_click_elsewhere_begins_with_the_smallest_thing_again(pointer):
    pin = BODY.pins[0].at
    pointer.click(pin)
    pointer.click(ON_LOWER)
    pointer.click(pin)
    assert pointer.hand.selected.thing.kind == "pin"


# ------------------------------------------------------------------ which one?


def test_a_click_between_two_conductors_asks_which_one(pointer):
    pointer.px_per_mm = 2.0
    pointer.click(BETWEEN)
    question = pointer.hand.preview.question
    assert question.text == "Which one?"
    assert [choice.key for choice in question.choices] == ["1", "2", "Esc"]
    assert pointer.hand.selected.net is None


def test_the_number_says_which_one(pointer):
    pointer.px_per_mm = 2.0
    pointer.click(BETWEEN)
    rivals = pointer.hand.preview.lit_conductors
    pointer.type("2")
    assert pointer.hand.selected.thing.conductor == rivals[1]
    assert pointer.hand.selected.net == pointer.hand.scene.net_of("sheet-1", rivals[1])


def test_each_candidate_is_lit_at_a_place_of_its_own(pointer):
    pointer.px_per_mm = 2.0
    pointer.click(BETWEEN)
    lit = pointer.hand.preview.lit
    assert [place.at.y for place in lit] == [ON_UPPER.y, ON_LOWER.y]


def test_a_key_that_is_no_answer_changes_nothing(pointer):
    pointer.px_per_mm = 2.0
    pointer.click(BETWEEN)
    before = pointer.hand.preview
    pointer.type("9x")
    assert pointer.hand.preview == before


def test_escape_leaves_the_question(pointer):
    pointer.px_per_mm = 2.0
    pointer.click(BETWEEN)
    pointer.key("escape")
    assert pointer.hand.preview is AT_REST
    assert pointer.hand.selected.net is None


# ------------------------------------------------------------------ joined or apart


@pytest.mark.parametrize(("key", "answer"), [("j", "joined"), ("A", "apart")])
def test_a_crossing_is_answered_by_one_key(pointer, key, answer):
    pointer.click(CROSSING)
    pointer.type(key)
    assert pointer.outcomes == [Answer("sheet-1", CROSSING, answer)]
    assert not pointer.hand.is_busy


def test_the_question_says_what_is_drawn_and_what_holds(pointer):
    pointer.click(DOT)
    assert pointer.hand.preview.question.text == "Conductors meet here; taken as joined."
    pointer.key("escape")
    pointer.click(MmPoint(RIGHT.at("r").x, RIGHT.at("p").y), sheet="sheet-2")
    text = pointer.hand.preview.question.text
    assert text == "Two conductors cross here; read with doubt as apart."


def test_escape_leaves_the_place_as_it_was(pointer):
    pointer.click(CROSSING)
    pointer.key("escape")
    assert pointer.outcomes == []
    assert not pointer.hand.is_busy


def test_a_press_elsewhere_leaves_the_question_and_begins_anew(pointer):
    pointer.click(CROSSING)
    pointer.click(ON_UPPER)
    assert pointer.outcomes == []
    assert pointer.hand.selected.net == net_at(pointer.hand.scene, "sheet-1", ON_UPPER)


def test_a_second_click_on_a_crossing_goes_on_to_the_conductors(pointer):
    pointer.click(CROSSING)
    pointer.click(CROSSING)
    assert pointer.hand.preview.question.text == "Which one?"


def test_an_answer_of_the_person_can_be_changed_or_taken_back():
    join = JoinMark(id="mark-9", sheet="sheet-1", at=CROSSING)
    pointer = Pointer(table_scene(table_job(join)))
    pointer.click(CROSSING)
    assert pointer.hand.preview.question.text == "Two conductors cross here; you said joined."
    pointer.key("delete")
    assert pointer.outcomes == [Remove(("mark-9",))]


def test_keeping_apart_where_it_was_joined_is_one_answer():
    join = JoinMark(id="mark-9", sheet="sheet-1", at=CROSSING)
    pointer = Pointer(table_scene(table_job(join)))
    pointer.click(CROSSING)
    pointer.type("a")
    assert pointer.outcomes == [Answer("sheet-1", CROSSING, "apart")]


# ------------------------------------------------------------------ naming


def test_typing_over_a_selected_net_begins_its_name_at_the_place_clicked(pointer):
    pointer.click(ON_LOWER)
    pointer.type("K")
    draft = pointer.outcomes[0]
    assert draft == NameDraft(pointer.hand.selected.thing.place, "K", None, is_typed=True)
    assert pointer.hand.scene.netlist.snap("sheet-1", draft.place.at).conductor is not None


def test_a_net_with_one_name_changes_that_name(pointer):
    pointer.click(ON_UPPER)
    pointer.type("B")
    assert pointer.outcomes[0].mark == "mark-2"


def test_enter_takes_the_name_that_stands_there(pointer):
    pointer.click(ON_UPPER)
    pointer.key("enter")
    draft = pointer.outcomes[0]
    assert (draft.text, draft.mark, draft.is_typed) == ("SUPPLY", "mark-2", False)


def test_a_double_click_types_the_name_too(pointer):
    pointer.do("double", ON_UPPER)
    assert pointer.outcomes[0].text == "SUPPLY"


def test_a_net_selected_in_a_ledger_is_named_on_its_longest_piece(pointer):
    pointer.hand.select(net_at(pointer.hand.scene, "sheet-1", ON_LOWER))
    pointer.type("X")
    place = pointer.outcomes[0].place
    assert place.sheet == "sheet-1"
    assert place.at.y == ON_LOWER.y


def test_a_name_is_never_typed_exactly_on_a_crossing(pointer):
    pointer.click(CROSSING)
    pointer.key("escape")
    pointer.click(MmPoint(CROSSING.x - 1.2, CROSSING.y))
    pointer.type("X")
    place = pointer.outcomes[0].place
    conductor = pointer.hand.selected.thing.conductor
    assert pointer.hand.scene.netlist.snap(place.sheet, place.at).conductor == conductor


def test_a_space_begins_no_name(pointer):
    pointer.click(ON_UPPER)
    pointer.type(" ")
    assert pointer.outcomes == []


# ------------------------------------------------------------------ bodies

AROUND = (MmPoint(65, 2), MmPoint(85, 8))


def test_a_box_drawn_on_paper_asks_for_a_body_with_the_pins_on_its_edge(pointer):
    start, end = MmPoint(60, 30), MmPoint(CROSSING.x - 5, CROSSING.y + 2)
    pointer.drag(start, end)
    draft = pointer.outcomes[0]
    assert isinstance(draft, BodyDraft)
    assert draft.box == MmBox.around(start, end)
    assert draft.crossings == pointer.hand.scene.netlist.edge_crossings("sheet-1", draft.box)
    assert draft.crossings


def test_while_the_box_is_drawn_its_pins_are_shown(pointer):
    pointer.do("press", MmPoint(60, 26))
    pointer.do("move", MmPoint(40, 36))
    box = pointer.hand.preview.box
    assert box.box == MmBox(40, 26, 60, 36)
    assert len(box.crossings) == 1
    assert pointer.hand.preview.hint.startswith("A body with 1 pin:")


def test_escape_while_drawing_a_box_leaves_no_trace(pointer):
    pointer.do("press", MmPoint(60, 20))
    pointer.do("move", MmPoint(40, 36))
    pointer.key("escape")
    pointer.do("release", MmPoint(40, 36))
    assert pointer.outcomes == []
    assert pointer.hand.preview is AT_REST


def test_a_box_as_small_as_a_slip_of_the_hand_is_none(pointer):
    pointer.drag(BLANK, MmPoint(BLANK.x + 1.0, BLANK.y + 9.0))
    assert pointer.outcomes == []


def test_a_box_is_kept_on_its_paper(pointer):
    pointer.do("press", MmPoint(60, 20))
    pointer.do("move", MmPoint(-30, 300))
    box = pointer.hand.preview.box.box
    assert (box.x0, box.y1) == (0.0, LEFT.sheet.height_px / 10)


def test_a_double_click_on_a_body_types_it_anew(pointer):
    pointer.do("double", MmPoint(BODY.box.centre.x + 0.4, BODY.box.centre.y))
    assert pointer.outcomes[0].mark == "mark-1"


def test_delete_on_a_pin_takes_only_that_pin_off_its_body(pointer):
    pointer.click(BODY.pins[0].at)
    pointer.key("delete")
    assert pointer.outcomes == [NumberPins("mark-1", (BODY.pins[1],))]


def test_delete_on_a_body_takes_the_body_away(pointer):
    pointer.click(BODY.box.centre)
    pointer.key("delete")
    assert pointer.outcomes == [Remove(("mark-1",))]
    assert pointer.hand.selected.thing is None


def test_delete_on_a_conductor_means_nothing(pointer):
    pointer.click(ON_UPPER)
    pointer.key("delete")
    assert pointer.outcomes == []


# ------------------------------------------------------------------ missing lines


def test_a_line_is_dragged_with_shift_from_end_to_end(pointer):
    pointer.drag(LEFT.at("b"), LEFT.at("s"), held=DRAWS)
    assert pointer.outcomes == [DrawLine("sheet-1", (LEFT.at("b"), LEFT.at("s")))]


def test_its_ends_snap_while_it_is_drawn(pointer):
    pointer.do("press", MmPoint(LEFT.at("b").x + 0.5, LEFT.at("b").y), held=DRAWS)
    pointer.do("move", MmPoint(LEFT.at("s").x - 0.5, LEFT.at("s").y + 0.3), held=DRAWS)
    assert pointer.hand.preview.line.points == (LEFT.at("b"), LEFT.at("s"))
    assert pointer.hand.preview.grip.says == "end of a conductor"


def test_key_l_then_clicks_draw_corners_and_enter_ends(pointer):
    pointer.type("l")
    pointer.click(LEFT.at("b"))
    pointer.click(MmPoint(65, LEFT.at("b").y))
    pointer.click(MmPoint(65, 20))
    pointer.key("enter")
    points = (LEFT.at("b"), MmPoint(65, LEFT.at("b").y), MmPoint(65, 20))
    assert pointer.outcomes == [DrawLine("sheet-1", points)]


def test_backspace_takes_the_last_corner_back(pointer):
    pointer.type("L")
    pointer.click(LEFT.at("b"))
    pointer.click(MmPoint(65, LEFT.at("b").y))
    pointer.click(MmPoint(65, 20))
    pointer.key("backspace")
    pointer.key("enter")
    assert pointer.outcomes == [DrawLine("sheet-1", (LEFT.at("b"), MmPoint(65, LEFT.at("b").y)))]


def test_backspace_on_the_first_corner_ends_with_nothing(pointer):
    pointer.type("l")
    pointer.click(LEFT.at("b"))
    pointer.key("backspace")
    assert not pointer.hand.is_busy
    assert pointer.outcomes == []


def test_a_double_click_ends_a_line_where_it_is(pointer):
    pointer.type("l")
    pointer.click(LEFT.at("b"))
    pointer.click(LEFT.at("s"))
    pointer.do("double", LEFT.at("s"))
    assert pointer.outcomes == [DrawLine("sheet-1", (LEFT.at("b"), LEFT.at("s")))]


@pytest.mark.parametrize("clicks", [0, 1, 3])
def test_escape_at_any_corner_leaves_no_trace(pointer, clicks):
    pointer.type("l")
    for corner in range(clicks):
        pointer.click(MmPoint(65 + 5 * corner, 30))
    pointer.key("escape")
    assert pointer.outcomes == []
    assert pointer.hand.preview is AT_REST


def test_a_line_of_one_corner_is_none(pointer):
    pointer.type("l")
    pointer.click(BLANK)
    pointer.key("enter")
    assert pointer.outcomes == []


def test_a_line_stays_on_its_sheet(pointer):
    pointer.type("l")
    pointer.click(LEFT.at("b"))
    pointer.click(RIGHT.at("m"), sheet="sheet-2")
    assert pointer.hand.preview.hint.startswith("A line stays on its sheet")
    pointer.key("enter")
    assert pointer.outcomes == []


def test_a_line_that_ends_between_two_conductors_asks_which_one(pointer):
    pointer.px_per_mm = 2.0
    pointer.drag(MmPoint(40, 22), BETWEEN, held=DRAWS)
    assert pointer.hand.preview.question.text == "Which one?"
    pointer.type("1")
    assert pointer.outcomes[0].points[-1] == ON_UPPER


def test_left_between_two_conductors_a_dragged_line_is_none(pointer):
    pointer.px_per_mm = 2.0
    pointer.drag(MmPoint(40, 22), BETWEEN, held=DRAWS)
    pointer.key("escape")
    assert pointer.outcomes == []
    assert not pointer.hand.is_busy


def test_with_a_net_selected_l_is_the_first_letter_of_its_name(pointer):
    pointer.click(ON_LOWER)
    pointer.type("L")
    assert isinstance(pointer.outcomes[0], NameDraft)
    assert not pointer.hand.is_busy


# ------------------------------------------------------------------ links


def test_a_link_is_dragged_from_one_sheet_to_another(pointer):
    pointer.type("k")
    pointer.drag(LEFT.at("b"), RIGHT.at("m"), end_sheet="sheet-2")
    assert pointer.outcomes == [
        MakeLink(
            Anchor(sheet="sheet-1", at=LEFT.at("b")), Anchor(sheet="sheet-2", at=RIGHT.at("m"))
        )
    ]


def test_a_link_is_clicked_at_both_ends(pointer):
    pointer.type("k")
    pointer.click(LEFT.at("b"))
    pointer.click(RIGHT.at("m"), sheet="sheet-2")
    assert [(i.a.sheet, i.b.sheet) for i in pointer.outcomes] == [("sheet-1", "sheet-2")]


def test_a_link_begun_from_a_menu_waits_for_its_other_end(pointer):
    start = Anchor(sheet="sheet-1", at=LEFT.at("b"))
    pointer.hand.begin_link(start)
    pointer.click(RIGHT.at("m"), sheet="sheet-2")
    assert pointer.outcomes[0].a == start


def test_a_link_needs_a_conductor_at_both_ends(pointer):
    pointer.type("k")
    pointer.click(BLANK)
    pointer.click(LEFT.at("b"))
    pointer.click(BLANK)
    assert pointer.outcomes == []
    assert pointer.hand.preview.hint.startswith("No other conductor there.")


def test_a_conductor_is_not_linked_to_itself(pointer):
    pointer.type("k")
    pointer.click(LEFT.at("b"))
    pointer.click(MmPoint(20, LEFT.at("a").y))
    assert pointer.outcomes == []


def test_escape_leaves_a_link_without_a_trace(pointer):
    pointer.type("k")
    pointer.click(LEFT.at("b"))
    pointer.key("escape")
    pointer.click(RIGHT.at("m"), sheet="sheet-2")
    assert pointer.outcomes == []


def test_a_selected_link_is_removed():
    link = make_link(9, (LEFT, "b"), (RIGHT, "m"))
    pointer = Pointer(table_scene(table_job(links=(link,))))
    pointer.click(LEFT.at("b"))
    pointer.key("delete")
    assert pointer.outcomes == [Remove((link.id,))]


# ------------------------------------------------------------------ sheets


def test_a_sheet_is_moved_by_its_title(pointer):
    pointer.on_table("press", 10, -1)
    pointer.on_table("move", 40, 29)
    assert pointer.hand.preview.sheet_at == ("sheet-1", MmPoint(30, 30))
    pointer.on_table("release", 40, 29)
    assert pointer.outcomes == [MoveSheet("sheet-1", MmPoint(30, 30))]


def test_a_click_on_a_title_moves_nothing(pointer):
    pointer.on_table("press", 10, -1)
    pointer.on_table("release", 10.1, -1)
    assert pointer.outcomes == []


def test_escape_puts_the_sheet_back(pointer):
    pointer.on_table("press", 10, -1)
    pointer.on_table("move", 40, 29)
    pointer.key("escape")
    pointer.on_table("release", 40, 29)
    assert pointer.outcomes == []


# ------------------------------------------------------------------ a changed document


def test_the_selection_is_carried_into_a_changed_document(pointer):
    pointer.click(ON_LOWER)
    line = LineMark(id="mark-9", sheet="sheet-1", points=(MmPoint(1, 1), MmPoint(9, 1)))
    changed = table_scene(table_job(line))
    pointer.hand.show(changed)
    assert pointer.hand.selected.net == net_at(changed, "sheet-1", ON_LOWER)


def test_a_removed_mark_is_no_longer_selected():
    apart = ApartMark(id="mark-9", sheet="sheet-1", at=DOT)
    pointer = Pointer(table_scene(table_job(apart)))
    pointer.click(DOT)
    pointer.key("escape")
    pointer.hand.show(table_scene())
    assert pointer.hand.selected.thing is None


def test_a_line_half_drawn_goes_on_when_a_reading_arrives(pointer):
    pointer.type("l")
    pointer.click(LEFT.at("b"))
    pointer.hand.show(table_scene())
    pointer.click(LEFT.at("s"))
    pointer.key("enter")
    assert pointer.outcomes == [DrawLine("sheet-1", (LEFT.at("b"), LEFT.at("s")))]


def test_a_choice_among_numbers_of_the_old_document_is_dropped(pointer):
    pointer.px_per_mm = 2.0
    pointer.click(BETWEEN)
    pointer.hand.show(table_scene())
    assert not pointer.hand.is_busy
    assert pointer.hand.preview is AT_REST
