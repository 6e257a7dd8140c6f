"""What is selected is found again by what stays: a pin, a mark, a place on the paper."""

from loomfolio.basics import MmPoint
from loomfolio.desk.table.layout import TableBox
from loomfolio.desk.table.selection import NOTHING, Selection, body_draft, carried, name_draft
from loomfolio.desk.table.things import Thing
from loomfolio.project import LineMark, NameMark
from support.make_table import BODY, LEFT, RIGHT, net_at, table_job, table_scene

ALL = TableBox(0, 0, 400, 400)
BESIDE = LineMark(id="mark-9", sheet="sheet-1", points=(MmPoint(1, 1), MmPoint(9, 1)))
ON_UPPER = MmPoint(40, LEFT.at("a").y)


def test_a_net_selected_by_number_is_found_by_its_pins(scene):
    number = scene.netlist.net_of_pin(BODY.key(BODY.pins[0])).number
    changed = table_scene(table_job(BESIDE))
    found = carried(Selection(number), scene, changed)
    assert found.net == net_at(changed, "sheet-1", ON_UPPER)


def test_a_net_without_pins_is_found_by_its_place(scene):
    changed = table_scene(table_job(BESIDE))
    found = carried(Selection(net_at(scene, "sheet-1", LEFT.at("s"))), scene, changed)
    assert found.net == net_at(changed, "sheet-1", LEFT.at("s"))


def test_a_thing_on_a_sheet_that_is_gone_is_nothing(scene):
    thing = Thing("conductor", "sheet-2", RIGHT.at("m"), net=1, conductor=1)
    without = table_job()
    without = without.model_copy(update={"sheets": without.sheets[:1]})
    assert carried(Selection(1, thing), scene, table_scene(without)) == NOTHING


def test_nothing_stays_nothing(scene):
    assert carried(NOTHING, scene, scene) == NOTHING


def test_a_name_goes_where_it_can_be_seen(scene):
    net = net_at(scene, "sheet-1", ON_UPPER)
    window = TableBox(0, 0, 60, 10)
    assert name_draft(scene, Selection(net), window).place.sheet == "sheet-1"


def test_with_two_names_on_a_net_neither_is_replaced():
    second = NameMark(id="mark-9", sheet="sheet-1", at=MmPoint(45, LEFT.at("a").y), name="OTHER")
    scene = table_scene(table_job(second))
    draft = name_draft(scene, Selection(net_at(scene, "sheet-1", ON_UPPER)), ALL)
    assert draft.mark is None


def test_of_two_names_the_one_that_was_clicked_is_replaced():
    second = NameMark(id="mark-9", sheet="sheet-1", at=MmPoint(45, LEFT.at("a").y), name="OTHER")
    scene = table_scene(table_job(second))
    net = net_at(scene, "sheet-1", ON_UPPER)
    thing = Thing("name", "sheet-1", second.at, net=net, record="mark-9")
    draft = name_draft(scene, Selection(net, thing), ALL)
    assert (draft.mark, draft.text) == ("mark-9", "OTHER")


def test_a_net_that_is_drawn_nowhere_has_no_place_for_a_name(scene):
    assert name_draft(scene, Selection(99999), ALL) is None


def test_only_a_body_can_be_typed_as_one(scene):
    assert body_draft(scene, "mark-1").box == BODY.box
    assert body_draft(scene, "mark-2") is None
    assert body_draft(scene, "mark-77") is None
