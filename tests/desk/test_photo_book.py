"""Photos and their marks while they are looked at: every change can be taken back."""

from hypothesis import given
from hypothesis import strategies as st

from loomfolio.desk.photo_book import PhotoBook
from loomfolio.project import Photo, PhotoMark, PicturePoint

RUST = PhotoMark(at=PicturePoint(0.2, 0.3), text="rust", points_at=PicturePoint(0.6, 0.7))


def book():
    return PhotoBook([Photo(file="photos/a.jpg"), Photo(file="photos/b.jpg", caption="plug")])


def test_a_mark_belongs_to_its_photo():
    made = book()
    made.mark(1, RUST)
    assert [photo.marks for photo in made.photos] == [(), (RUST,)]


def test_a_mark_is_renamed_and_taken_off():
    made = book()
    made.mark(0, RUST)
    made.change_mark(0, 0, RUST.model_copy(update={"text": "cut"}))
    assert made.photos[0].marks[0].text == "cut"
    made.remove_mark(0, 0)
    assert made.photos[0].marks == ()


def test_what_changes_nothing_is_no_step_of_undo():
    made = book()
    made.caption(1, " plug ")
    assert not made.can_undo


def test_a_change_after_undo_forgets_what_was_undone():
    made = book()
    made.mark(0, RUST)
    made.undo()
    made.caption(0, "plug of the module")
    assert not made.can_redo
    assert made.photos[0].marks == ()


CHANGES = st.lists(
    st.sampled_from(
        [
            lambda b: b.mark(0, RUST),
            lambda b: b.caption(0, f"{len(b.photos)}{len(b.photos[0].marks)}"),
            lambda b: b.add(["photos/c.jpg"]),
            lambda b: b.take_away(len(b.photos) - 1) if len(b.photos) > 1 else None,
            lambda b: b.remove_mark(0, 0) if b.photos[0].marks else None,
        ]
    ),
    max_size=12,
)


@given(CHANGES)
def test_undo_goes_all_the_way_back_and_redo_all_the_way_forward(changes):
    made = book()
    for change in changes:
        change(made)
    end = made.photos
    while made.can_undo:
        made.undo()
    assert made.photos == book().photos
    while made.can_redo:
        made.redo()
    assert made.photos == end
