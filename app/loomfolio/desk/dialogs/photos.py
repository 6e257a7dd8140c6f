"""The photos of a specimen or baseline: looked at large, marked with arrows and names, taken in and away."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QIcon, QKeyEvent, QKeySequence, QPixmap
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from loomfolio.desk.dialogs.form import FormDialog, Run, run_dialog
from loomfolio.desk.ledgers.records_model import Held
from loomfolio.desk.photo_book import PhotoBook
from loomfolio.desk.photo_view import PhotoView
from loomfolio.desk.theme import Theme
from loomfolio.project import Photo

PHOTO_PX = 96
NO_CAPTION = "no caption"
_PHOTO = Qt.ItemDataRole.UserRole
TakePhotos = Callable[[], Sequence[str]]
"""Asks for photos, copies them into the project's folder upright, and returns their paths there."""


@dataclass(frozen=True, slots=True)
class PhotoShelf:
    """Where the photos of a project lie, how others come in, and how they are shown."""

    folder: Path
    take: TakePhotos
    theme: Theme


class PhotoStrip(QListWidget):
    """Photos side by side, each with its caption, which can be typed over; `opened(row)` asks to see one large."""

    opened = Signal(int)

    def __init__(self, folder: Path, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._folder = folder
        self.setViewMode(QListWidget.ViewMode.IconMode)
        self.setFlow(QListWidget.Flow.LeftToRight)
        self.setMovement(QListWidget.Movement.Static)
        self.setWrapping(False)
        self.setIconSize(QSize(PHOTO_PX, PHOTO_PX))
        self.setFixedHeight(PHOTO_PX + 56)
        self.setEditTriggers(QListWidget.EditTrigger.EditKeyPressed)
        self.setToolTip("A double click shows one large, to be marked; F2 types its caption")
        self.itemDoubleClicked.connect(lambda item: self.opened.emit(self.row(item)))

    def show_photos(self, photos: Sequence[Photo]) -> None:
        """Show other photos; with none the strip takes no room."""
        self.clear()
        self.setVisible(bool(photos))
        for photo in photos:
            self.add(photo)

    def add(self, photo: Photo) -> None:
        """Show one more photo."""
        picture = QPixmap(str(self._folder / photo.file))
        if not picture.isNull():  # a picture that is gone keeps its place and its caption
            picture = picture.scaled(
                PHOTO_PX,
                PHOTO_PX,
                Qt.AspectRatioMode.KeepAspectRatio,
                Qt.TransformationMode.SmoothTransformation,
            )
        item = QListWidgetItem(QIcon(picture), photo.caption or NO_CAPTION)
        item.setFlags(item.flags() | Qt.ItemFlag.ItemIsEditable)
        item.setData(_PHOTO, Held(photo))
        self.addItem(item)
        self.show()

    @property
    def photos(self) -> tuple[Photo, ...]:
        """The photos with their captions as they stand."""
        found: list[Photo] = []
        for row in range(self.count()):
            item = self.item(row)
            photo: Photo = item.data(_PHOTO).value
            caption = "" if item.text() == NO_CAPTION else item.text().strip()
            found.append(photo.model_copy(update={"caption": caption}))
        return tuple(found)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Delete takes the chosen photos out; their files stay in the folder, so that undo finds them."""
        if event.key() == Qt.Key.Key_Delete:
            self.take_chosen_away()
        else:
            super().keyPressEvent(event)

    def take_chosen_away(self) -> None:
        """Take the chosen photos out."""
        for item in self.selectedItems():
            self.takeItem(self.row(item))


class PhotoShelfRow(QWidget):
    """The strip in another dialog, with buttons to take photos in and away, and to mark them large."""

    def __init__(
        self, shelf: PhotoShelf, about: Callable[[], str], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._shelf, self._about = shelf, about
        self.run: Run = run_dialog
        self.strip = PhotoStrip(shelf.folder, self)
        self.strip.opened.connect(self.look_at)
        self.mark, self.drop, self.add = (
            QPushButton(words, self)
            for words in ("Mark photos…", "Take the chosen away", "Add photos…")
        )
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(QLabel("Photos", self), 1)
        for button, act in (
            (self.mark, lambda: self.look_at(max(self.strip.currentRow(), 0))),
            (self.drop, self.strip.take_chosen_away),
            (self.add, self._add),
        ):
            button.setAutoDefault(False)
            button.clicked.connect(act)
            row.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addLayout(row)
        column.addWidget(self.strip)

    def _add(self) -> None:
        for file in self._shelf.take():
            self.strip.add(Photo(file=file))

    def look_at(self, number: int) -> None:
        """Show the photos large, one of them first, and take over what was changed."""
        dialog = PhotosDialog(self._about(), self.strip.photos, self._shelf, self)
        dialog.choose(number)
        if self.run(dialog):
            self.strip.show_photos(dialog.photos)
        dialog.deleteLater()


class PhotosDialog(FormDialog):
    """One photo large, all of them small below it; `photos` holds them as they were left."""

    def __init__(
        self, about: str, photos: Iterable[Photo], shelf: PhotoShelf, parent: QWidget | None = None
    ) -> None:
        super().__init__(
            f"Photos of {about}",
            "Drag an arrow from where its name is to stand to what it shows, then type the name; a click sets "
            "a name alone. Drag a name or a head to move it, a double click types it anew, Delete takes it off.",
            "Keep",
            parent,
        )
        self._book, self._shelf = PhotoBook(photos), shelf
        self.view = PhotoView(shelf.theme, shelf.folder, self)
        self.caption = QLineEdit(self)
        self.caption.setPlaceholderText("what this photo shows")
        self.strip = PhotoStrip(shelf.folder, self)
        self.strip.setEditTriggers(QListWidget.EditTrigger.NoEditTriggers)
        self.strip.setToolTip("The photos; choose the one to look at")
        self.undo = self._button("Undo", lambda: self._turn(self._book.undo))
        self.redo = self._button("Redo", lambda: self._turn(self._book.redo))
        self.add = self._button("Add photos…", self._add)
        self.drop = self._button("Take this photo away", self._drop)
        self.undo.setShortcut(QKeySequence.StandardKey.Undo)
        self.redo.setShortcut(QKeySequence("Ctrl+Shift+Z"))
        self._build()
        self.strip.currentRowChanged.connect(lambda _: self._show())
        self.caption.editingFinished.connect(self._caption)
        self.view.drawn.connect(lambda mark: self._edit(lambda n: self._book.mark(n, mark)))
        self.view.changed.connect(
            lambda which, mark: self._edit(lambda n: self._book.change_mark(n, which, mark))
        )
        self.view.removed.connect(
            lambda which: self._edit(lambda n: self._book.remove_mark(n, which))
        )
        self._lay_out(0)
        self.resize(shelf.theme.px(920), shelf.theme.px(820))

    def _button(self, words: str, act: Callable[[], None]) -> QPushButton:
        button = QPushButton(words, self)
        button.setAutoDefault(False)
        button.clicked.connect(lambda *_: act())
        return button

    def _build(self) -> None:
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(QLabel("Caption", self))
        row.addWidget(self.caption, 1)
        for button in (self.undo, self.redo, self.drop, self.add):
            row.addWidget(button)
        self.body.addWidget(self.view, 1)
        self.body.addLayout(row)
        self.body.addWidget(self.strip)
        self.go.setAutoDefault(False)
        self.go.setDefault(False)

    @property
    def photos(self) -> tuple[Photo, ...]:
        """The photos as they stand."""
        return self._book.photos

    def choose(self, number: int) -> None:
        """Look at one of them."""
        self.strip.setCurrentRow(number)

    # ---------------------------------------------------------------------------------------- shown

    @property
    def _number(self) -> int:
        return self.strip.currentRow()

    def _lay_out(self, number: int) -> None:
        """Lay the strip out anew, and look at one of its photos."""
        self.strip.blockSignals(True)
        self.strip.show_photos(self.photos)
        self.strip.setCurrentRow(min(max(number, 0), len(self.photos) - 1))
        self.strip.blockSignals(False)
        self._show()

    def _show(self) -> None:
        photo = self.photos[self._number] if 0 <= self._number < len(self.photos) else None
        self.view.show_photo(photo)
        self.caption.setText(photo.caption if photo else "")
        for part in (self.caption, self.drop):
            part.setEnabled(photo is not None)
        self.undo.setEnabled(self._book.can_undo)
        self.redo.setEnabled(self._book.can_redo)

    # ---------------------------------------------------------------------------------------- edits

    def _edit(self, change: Callable[[int], None]) -> None:
        change(self._number)
        self._lay_out(self._number)

    def _turn(self, turn: Callable[[], None]) -> None:
        turn()
        self._lay_out(self._number)

    def _caption(self) -> None:
        if 0 <= self._number < len(self.photos):
            self._edit(lambda number: self._book.caption(number, self.caption.text()))

    def _add(self) -> None:
        self._book.add(self._shelf.take())
        self._lay_out(len(self.photos) - 1)

    def _drop(self) -> None:
        self._edit(self._book.take_away)
        self.view.setFocus()
