"""Looking at a face: mirrored numbering, which side it is, and that nothing is stored before that is settled."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.basics import EditError
from loomfolio.nets import connector_map, derive
from loomfolio.project import (
    CavityEntry,
    Face,
    HalfEntry,
    HalfKey,
    LeadColour,
    PinKey,
    Project,
    edits,
)
from loomfolio.retrofit import (
    Expected,
    SeenPlace,
    equipment_of,
    expected_in,
    face_places,
    mirrored,
    side_verdict,
    store_face,
)


def numbered(rows: int, columns: int, *, order: str) -> tuple[tuple[str, ...], ...]:
    """A face numbered along the rows, or down the columns."""
    if order == "along the rows":
        return tuple(
            tuple(str(row * columns + column + 1) for column in range(columns))
            for row in range(rows)
        )
    return tuple(
        tuple(str(column * rows + row + 1) for column in range(columns)) for row in range(rows)
    )


@pytest.mark.parametrize("columns", [1, 4, 7])
def test_a_single_row_reads_n_as_n_plus_1_less_n_from_the_other_side(columns: int):
    face = Face(rows=numbered(1, columns, order="along the rows"), side="wire side")
    (row,) = face_places(face, "mating side")
    assert [int(pin) for pin in row] == [columns + 1 - n for n in range(1, columns + 1)]


def test_of_two_rows_numbered_along_each_is_turned_round_by_itself():
    face = Face(rows=numbered(2, 5, order="along the rows"), side="mating side")
    assert face_places(face, "wire side") == (tuple("54321"), ("10", "9", "8", "7", "6"))


def test_of_two_rows_numbered_down_the_columns_top_and_bottom_stay():
    # 1 3 5        5 3 1
    # 2 4 6   <->  6 4 2
    face = Face(rows=numbered(2, 3, order="down the columns"), side="wire side")
    assert face_places(face, "mating side") == (("5", "3", "1"), ("6", "4", "2"))


@given(
    st.integers(1, 3),
    st.integers(1, 9),
    st.sampled_from(["along the rows", "down the columns"]),
    st.sampled_from(["wire side", "mating side"]),
)
def test_looking_from_the_other_side_and_back_is_as_before(rows, columns, order, side):
    face = Face(rows=numbered(rows, columns, order=order), side=side)
    assert face_places(face, side) == face.rows
    other = "mating side" if side == "wire side" else "wire side"
    assert mirrored(face_places(face, other)) == face.rows


@pytest.mark.parametrize(
    ("drawn", "viewed", "sentence"),
    [
        pytest.param("wire side", "unknown", "Say first from which side", id="nobody said"),
        pytest.param("unknown", "wire side", "do not say which side", id="documents do not say"),
    ],
)
def test_nothing_is_made_of_a_face_with_an_unknown_side(drawn, viewed, sentence):
    with pytest.raises(EditError, match=sentence):
        face_places(Face(rows=(("1", "2"),), side=drawn), viewed)


# --------------------------------------------------------------------------------------- which side

FACE = Face(rows=(("1", "2", "3", "4", "5"), ("6", "7", "8", "9", "10")), side="wire side")
WIRED = {
    **{pin: Expected(is_wired=True) for pin in ("1", "2", "6", "7", "8")},
    **{pin: Expected(is_wired=False) for pin in ("3", "4", "5", "9", "10")},
}


def seen_as(rows: tuple[tuple[str, ...], ...], wired: set[str]) -> list[SeenPlace]:
    return [
        SeenPlace(r, c, "filled" if pin in wired else "empty")
        for r, row in enumerate(rows)
        for c, pin in enumerate(row)
    ]


def test_a_face_read_from_the_right_side_is_settled():
    wired = {pin for pin, drawn in WIRED.items() if drawn.is_wired}
    verdict = side_verdict(FACE, "wire side", seen_as(FACE.rows, wired), WIRED)
    assert verdict.is_settled
    assert (verdict.as_entered, verdict.compared) == (10, 10)
    assert verdict.mirrored < 10


def test_a_face_read_from_the_wrong_side_is_told_with_the_cavities_that_decide():
    wired = {pin for pin, drawn in WIRED.items() if drawn.is_wired}
    truly_there = seen_as(mirrored(FACE.rows), wired)
    verdict = side_verdict(FACE, "wire side", truly_there, WIRED)
    assert not verdict.is_settled
    assert verdict.mirrored == 10
    assert "the mating side, not the wire side" in verdict.sentence
    decide = {(place.row, place.column) for place in verdict.deciding}
    assert decide == {(0, 0), (0, 1), (0, 3), (0, 4), (1, 0), (1, 1), (1, 3), (1, 4)}
    assert "fits cavity 5, not 1" in verdict.deciding[0].sentence


def test_the_middle_cavity_decides_nothing():
    verdict = side_verdict(FACE, "wire side", [SeenPlace(0, 2, "filled")], WIRED)
    assert (verdict.as_entered, verdict.mirrored, verdict.deciding) == (0, 0, ())
    assert verdict.is_settled


def test_colours_decide_where_all_cavities_are_filled():
    drawn = {
        "1": Expected(is_wired=True, colour=LeadColour(text="RD")),
        "2": Expected(is_wired=True, colour=LeadColour(text="BN")),
    }
    face = Face(rows=(("1", "2"),), side="wire side")
    seen = [
        SeenPlace(0, 0, "filled", LeadColour(text="BN")),
        SeenPlace(0, 1, "filled", LeadColour(text="RD")),
    ]
    verdict = side_verdict(face, "wire side", seen, drawn)
    assert (verdict.as_entered, verdict.mirrored) == (0, 2)


def test_with_nothing_drawn_there_is_no_reason_to_doubt_the_side():
    verdict = side_verdict(FACE, "wire side", [SeenPlace(0, 0, "filled")], {})
    assert verdict.is_settled
    assert verdict.compared == 0
    assert "say nothing" in verdict.sentence


# ---------------------------------------------------------------------------------------- in a document


@pytest.fixture
def van() -> tuple[Project, str, HalfKey]:
    p, specimen = edits.add_specimen(Project(), name="Van 7", kind="this vehicle")
    p, module = edits.add_part(p, name="A1", kind="module")
    p, lamp = edits.add_part(p, name="E1", kind="lamp")
    half = HalfKey(part=module, connector="C1")
    end = PinKey(part=lamp, pin="1")
    p = edits.add_lead(p, ends=(half.pin("1"), end), colour=LeadColour(text="RD")).project
    return p, specimen, half


def test_what_the_documents_say_of_a_half_is_its_pins_with_their_leads(van):
    p, _, half = van
    netlist = derive(p, {})
    told = expected_in(netlist, connector_map(netlist), half)
    assert told == {"1": Expected(is_wired=True, colour=LeadColour(text="RD"))}
    assert equipment_of(netlist).halves[half] == "there"


def test_a_face_is_stored_with_its_side_and_under_the_right_cavities(van):
    p, specimen, half = van
    stored = store_face(
        p,
        specimen=specimen,
        half=half,
        face=FACE,
        viewed_from="mating side",
        seen=[SeenPlace(0, 0, "filled"), SeenPlace(1, 4, "empty")],
    )
    (side,) = (e for e in stored.survey if isinstance(e, HalfEntry))
    cavities = {e.pin.pin: e.state for e in stored.survey if isinstance(e, CavityEntry)}
    assert side.viewed_from == "mating side"
    assert cavities == {"5": "filled", "6": "empty"}


def test_a_place_without_a_cavity_stores_nothing_at_all(van):
    p, specimen, half = van
    face = Face(rows=(("1", ""),), side="wire side")
    seen = [SeenPlace(0, 0, "filled"), SeenPlace(0, 1, "filled")]
    with pytest.raises(EditError, match="no cavity in row 1, place 2"):
        store_face(p, specimen=specimen, half=half, face=face, viewed_from="wire side", seen=seen)
    assert p.survey == ()
