"""Arrows and names in photos, by real mouse and keys; kept as shares of the picture, taken back by undo."""

import pytest
from PIL import Image
from PySide6.QtCore import Qt

from loomfolio.desk.dialogs.photos import PhotosDialog, PhotoShelf, PhotoShelfRow
from loomfolio.desk.theme import make_theme
from loomfolio.project import Photo, PhotoMark, PicturePoint
from loomfolio.sheets import bring_in_photo

LEFT = Qt.MouseButton.LeftButton
FILE = "photos/plug.jpg"


@pytest.fixture
def shelf(tmp_path):
    (tmp_path / "photos").mkdir()
    Image.new("RGB", (400, 300), (90, 120, 90)).save(tmp_path / FILE)
    return PhotoShelf(tmp_path, lambda: [FILE], make_theme("light"))


@pytest.fixture
def dialog(qtbot, shelf):
    made = PhotosDialog("The van", [Photo(file=FILE, caption="plug")], shelf)
    qtbot.addWidget(made)
    made.show()
    qtbot.waitExposed(made)
    return made


def px(dialog, x, y):
    return dialog.view.px(PicturePoint(x, y)).toPoint()


def drag(qtbot, dialog, start, end):
    view = dialog.view
    qtbot.mousePress(view, LEFT, pos=px(dialog, *start))
    for share in (0.4, 1.0):
        at = [a + (b - a) * share for a, b in zip(start, end, strict=True)]
        qtbot.mouseMove(view, px(dialog, *at))
    qtbot.mouseRelease(view, LEFT, pos=px(dialog, *end))


def name(qtbot, dialog, text):
    qtbot.keyClicks(dialog.view.field, text)
    qtbot.keyClick(dialog.view.field, Qt.Key.Key_Return)


def marks(dialog):
    return dialog.photos[0].marks


def draw_rust(qtbot, dialog):
    drag(qtbot, dialog, (0.2, 0.2), (0.7, 0.6))
    name(qtbot, dialog, "rust")


def is_near(point, x, y):
    return abs(point.x - x) < 0.01 and abs(point.y - y) < 0.01


def test_an_arrow_is_dragged_and_its_name_typed(qtbot, dialog):
    draw_rust(qtbot, dialog)
    (mark,) = marks(dialog)
    assert mark.text == "rust"
    assert is_near(mark.at, 0.2, 0.2)
    assert is_near(mark.points_at, 0.7, 0.6)
    assert dialog.isVisible()  # Enter took the name and did not close the dialog


def test_a_click_sets_a_name_alone(qtbot, dialog):
    qtbot.mouseClick(dialog.view, LEFT, pos=px(dialog, 0.5, 0.5))
    name(qtbot, dialog, "X14")
    (mark,) = marks(dialog)
    assert (mark.text, mark.points_at) == ("X14", None)


def test_a_click_without_a_name_leaves_nothing(qtbot, dialog):
    qtbot.mouseClick(dialog.view, LEFT, pos=px(dialog, 0.5, 0.5))
    qtbot.keyClick(dialog.view.field, Qt.Key.Key_Return)
    assert marks(dialog) == ()


def test_escape_while_a_name_is_typed_leaves_no_trace(qtbot, dialog):
    drag(qtbot, dialog, (0.2, 0.2), (0.7, 0.6))
    qtbot.keyClick(dialog.view.field, Qt.Key.Key_Escape)
    assert marks(dialog) == ()
    assert dialog.isVisible()


def test_each_change_is_taken_back_and_made_again(qtbot, dialog):
    draw_rust(qtbot, dialog)
    qtbot.mouseClick(dialog.undo, LEFT)
    assert marks(dialog) == ()
    assert not dialog.undo.isEnabled()
    qtbot.mouseClick(dialog.redo, LEFT)
    assert marks(dialog)[0].text == "rust"


def test_the_head_of_an_arrow_is_dragged_elsewhere(qtbot, dialog):
    draw_rust(qtbot, dialog)
    drag(qtbot, dialog, (0.7, 0.6), (0.4, 0.9))
    assert is_near(marks(dialog)[0].points_at, 0.4, 0.9)
    assert is_near(marks(dialog)[0].at, 0.2, 0.2)


def test_a_double_click_names_a_mark_anew(qtbot, dialog):
    draw_rust(qtbot, dialog)
    qtbot.mouseDClick(dialog.view, LEFT, pos=px(dialog, 0.2, 0.2))
    dialog.view.field.selectAll()
    name(qtbot, dialog, "cut")
    assert [mark.text for mark in marks(dialog)] == ["cut"]


def test_by_keys_alone_an_arrow_is_made_moved_and_taken_off(qtbot, dialog):
    view = dialog.view
    view.setFocus()
    qtbot.keyClick(view, Qt.Key.Key_N)
    name(qtbot, dialog, "seal")
    qtbot.keyClick(view, Qt.Key.Key_Tab)
    before = marks(dialog)[0]
    qtbot.keyClick(view, Qt.Key.Key_Right)
    after = marks(dialog)[0]
    assert after.points_at.x == pytest.approx(before.points_at.x + 0.01)
    qtbot.keyClick(view, Qt.Key.Key_Delete)
    assert marks(dialog) == ()


def test_captions_photos_in_and_photos_away(qtbot, dialog):
    dialog.caption.setFocus()
    dialog.caption.selectAll()
    qtbot.keyClicks(dialog.caption, "plug of the module")
    qtbot.mouseClick(dialog.add, LEFT)
    assert [photo.caption for photo in dialog.photos] == ["plug of the module", ""]
    qtbot.mouseClick(dialog.drop, LEFT)
    assert [photo.caption for photo in dialog.photos] == ["plug of the module"]


def test_a_photo_whose_file_is_gone_says_so(qtbot, shelf):
    made = PhotosDialog("The van", [Photo(file="photos/gone.jpg")], shelf)
    qtbot.addWidget(made)
    assert "photos/gone.jpg cannot be shown" in made.view._why_nothing()
    qtbot.mouseClick(made.view, LEFT)
    assert made.photos[0].marks == ()


def test_an_arrow_lies_where_it_was_drawn_on_a_photo_that_the_camera_turned(qtbot, shelf, tmp_path):
    """A red corner top right of the upright picture; the camera stored it turned, with a note (EXIF 6)."""
    turned = Image.new("RGB", (300, 400), (90, 120, 90))
    turned.paste((220, 20, 20), (200, 0, 300, 100))
    exif = Image.Exif()
    exif[0x0112] = 6
    turned.transpose(Image.Transpose.ROTATE_90).save(tmp_path / "t.jpg", exif=exif)

    class Store:
        def copy_in_photo(self, source):
            target = tmp_path / "photos" / source.name
            target.write_bytes(source.read_bytes())
            return f"photos/{source.name}"

    made = PhotosDialog("The van", [Photo(file=bring_in_photo(Store(), tmp_path / "t.jpg"))], shelf)
    qtbot.addWidget(made)
    made.show()
    qtbot.waitExposed(made)
    seen = made.view.grab().toImage()
    at = px(made, 0.85, 0.1)
    assert seen.pixelColor(at).red() > 180
    drag(qtbot, made, (0.3, 0.5), (0.85, 0.1))
    name(qtbot, made, "red")
    assert is_near(made.photos[0].marks[0].points_at, 0.85, 0.1)


def test_the_strip_of_another_dialog_takes_over_what_was_marked(qtbot, shelf):
    row = PhotoShelfRow(shelf, lambda: "The van", None)
    qtbot.addWidget(row)
    row.strip.show_photos([Photo(file=FILE)])
    mark = PhotoMark(at=PicturePoint(0.5, 0.5), text="here")

    def run(dialog):
        dialog.view.drawn.emit(mark)
        return True

    row.run = run
    qtbot.mouseClick(row.mark, LEFT)
    assert row.strip.photos[0].marks == (mark,)


def test_delete_takes_a_photo_out_of_the_strip(qtbot, shelf):
    row = PhotoShelfRow(shelf, lambda: "The van", None)
    qtbot.addWidget(row)
    row.strip.show_photos([Photo(file=FILE), Photo(file=FILE, caption="two")])
    row.strip.setCurrentRow(0)
    qtbot.keyClick(row.strip, Qt.Key.Key_Delete)
    assert [photo.caption for photo in row.strip.photos] == ["two"]
