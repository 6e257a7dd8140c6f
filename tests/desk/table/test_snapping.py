"""What the pointer takes hold of while something is drawn, and what it says about it."""

from loomfolio.basics import MmPoint
from loomfolio.desk.table.events import Held
from loomfolio.desk.table.layout import SheetPlace
from loomfolio.desk.table.snapping import grip, held_place
from loomfolio.project import LineMark
from support.make_table import LEFT, Pointer, table_job, table_scene


def gripped(pointer, at, before=None, **event):
    return grip(pointer.hand.scene, pointer.event("move", at, **event), before)


def test_an_end_is_taken_before_the_rest_of_its_conductor(pointer):
    near_end = MmPoint(LEFT.at("b").x - 0.6, LEFT.at("b").y + 0.3)
    held = gripped(pointer, near_end)
    assert held.place.at == LEFT.at("b")
    assert held.says == "end of a conductor"


def test_along_a_conductor_the_foot_is_taken(pointer):
    held = gripped(pointer, MmPoint(40, LEFT.at("a").y + 0.8))
    assert held.place.at == MmPoint(40, LEFT.at("a").y)
    assert held.says == "conductor"
    assert held.conductor is not None


def test_out_of_reach_the_pointer_is_free(pointer):
    held = gripped(pointer, LEFT.at("u"))
    assert (held.says, held.place.at) == ("free", LEFT.at("u"))


def test_ctrl_lets_go_of_everything(pointer):
    at = MmPoint(40, LEFT.at("a").y + 0.8)
    held = gripped(pointer, at, held=Held(ctrl=True))
    assert (held.says, held.place.at, held.conductor) == ("free", at, None)


def test_level_with_the_last_point_is_taken_and_said(pointer):
    held = gripped(pointer, MmPoint(100, 30.5), before=MmPoint(80, 30))
    assert held.place.at == MmPoint(100, 30)
    assert held.says == "level with the last point"


def test_straight_below_the_last_point_is_taken_and_said(pointer):
    held = gripped(pointer, MmPoint(80.4, 38), before=MmPoint(80, 30))
    assert held.place.at == MmPoint(80, 38)
    assert held.says == "straight from the last point"


def test_a_conductor_is_met_straight_from_the_last_point(pointer):
    held = gripped(pointer, MmPoint(40.7, LEFT.at("a").y + 0.2), before=MmPoint(40, 30))
    assert held.place.at == MmPoint(40, LEFT.at("a").y)
    assert held.says == "conductor, straight from the last point"


def test_between_two_conductors_nothing_is_taken(pointer):
    pointer.px_per_mm = 2.0
    held = gripped(pointer, MmPoint(30, (LEFT.at("a").y + LEFT.at("c").y) / 2))
    assert held.says == "between two conductors"
    assert held.conductor is None
    assert len(held.rivals) == 2


def test_between_two_ends_nothing_is_taken():
    lines = (
        LineMark(id="mark-8", sheet="sheet-1", points=(MmPoint(70, 30), MmPoint(90, 30))),
        LineMark(id="mark-9", sheet="sheet-1", points=(MmPoint(70, 32), MmPoint(90, 32))),
    )
    held = gripped(Pointer(table_scene(table_job(*lines))), MmPoint(90.2, 31))
    assert held.says == "between two ends"
    assert len(held.rivals) == 2


def test_off_the_sheets_there_is_nothing_to_hold_on_to(pointer):
    assert gripped(pointer, MmPoint(130, 5)) is None


def test_a_held_place_on_a_crossing_moves_to_where_no_other_conductor_disputes_it(scene):
    crossing = MmPoint(LEFT.at("j").x, LEFT.at("e").y)
    level = scene.netlist.snap("sheet-1", LEFT.at("e")).conductor
    upright = scene.netlist.snap("sheet-1", LEFT.at("j")).conductor
    for conductor in (level, upright):
        place = held_place(scene, SheetPlace("sheet-1", crossing), conductor)
        assert scene.netlist.snap("sheet-1", place.at).conductor == conductor
        assert 0 < place.at.distance_mm(crossing) < 3


def test_a_held_place_on_a_lone_conductor_is_its_foot(scene):
    conductor = scene.netlist.snap("sheet-1", LEFT.at("s")).conductor
    at = MmPoint(LEFT.at("s").x + 5, LEFT.at("s").y + 1)
    place = held_place(scene, SheetPlace("sheet-1", at), conductor)
    assert place.at == MmPoint(LEFT.at("s").x + 5, LEFT.at("s").y)
