"""Types a body in place: part, connector, half, then the numbers of its pins in a run.

Enter or Tab goes on to the next field and from pin to pin, Shift+Tab back; Ctrl+Enter takes it as it
stands, Escape leaves no trace. `1..8` numbers eight pins at once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import get_args

from PySide6.QtCore import QEvent, QObject, QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QWidget,
)

from loomfolio.basics import MmPoint
from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.table.intents import BodyText
from loomfolio.desk.table.part_book import PartBook
from loomfolio.desk.table.pin_run import PinRun
from loomfolio.desk.table.preview import BodyDraft
from loomfolio.desk.table.run_field import RunField, take_focus
from loomfolio.desk.theme import Theme
from loomfolio.project import BodyMark, BodyPin, Known, PartKind
from loomfolio.reading import PrintedBody

KINDS: tuple[PartKind, ...] = get_args(PartKind)
USUAL_KIND: PartKind = "device"
LONGEST_PART_NAME = 200
NOTHING_PRINTED = PrintedBody()


class BodyEditor(QFrame):
    """The card beside a body. `typed(BodyDraft, BodyText)` at its end, `left()` on Escape.

    `run_changed(PinRun | None)` tells which pins are numbered so far, for the table to show.
    """

    typed = Signal(object, object)
    left = Signal()
    run_changed = Signal(object)

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._table = parent
        self._theme = theme
        self._draft: BodyDraft | None = None
        self._book: PartBook | None = None
        self._known: tuple[BodyPin, ...] = ()
        self._run: PinRun | None = None
        self._printed: dict[MmPoint, str] = {}
        self._build()
        self.set_theme(theme)
        self.hide()

    def _build(self) -> None:
        take = self._take_key
        self.part, self.connector, self.half, self.pin = (RunField(take, self) for _ in range(4))
        self.kind = ChoiceBox(self)
        self.kind.addItems(KINDS)
        self.note, self.order = QLabel(self), QPushButton(self)
        self.note.setWordWrap(True)
        self.order.setFlat(True)
        self.order.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.order.clicked.connect(self._turn_order)
        self.pin.setPlaceholderText("1  or  1..8")
        grid = QGridLayout(self)
        grid.setContentsMargins(12, 10, 12, 10)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(6)
        self._labels: dict[QWidget, QLabel] = {}
        fields: tuple[tuple[str, QWidget], ...] = (
            ("Part", self.part),
            ("Kind", self.kind),
            ("Connector", self.connector),
            ("Half", self.half),
            ("Pin", self.pin),
        )
        for row, (word, field) in enumerate(fields):
            label = self._labels[field] = QLabel(word, self)
            label.setBuddy(field)
            field.setAccessibleName(word)
            grid.addWidget(label, row, 0)
            grid.addWidget(field, row, 1)
        grid.addWidget(self.order, len(fields), 0, 1, 2, Qt.AlignmentFlag.AlignLeft)
        grid.addWidget(self.note, len(fields) + 1, 0, 1, 2)
        self.kind.installEventFilter(self)
        self.part.textChanged.connect(self._on_part)
        self.connector.textChanged.connect(self._on_connector)
        self.pin.textEdited.connect(self._on_pin_edited)

    # ------------------------------------------------------------------ opening and closing
    @property
    def draft(self) -> BodyDraft | None:
        """What is being typed; None while the editor is away."""
        return self._draft

    @property
    def run(self) -> PinRun | None:
        """The pins and their numbers so far."""
        return self._run

    def set_theme(self, theme: Theme) -> None:
        """Write in another theme."""
        self._theme = theme
        self.setFont(theme.font("body"))
        self.pin.setFont(theme.font("body", is_mono=True))
        self.note.setFont(theme.font("small"))
        self.order.setFont(theme.font("small"))
        self.setFixedWidth(theme.px(300))

    def open(
        self,
        draft: BodyDraft,
        book: PartBook,
        body: BodyMark | None,
        printed: PrintedBody = NOTHING_PRINTED,
    ) -> None:
        """Begin to type a new body, or what stands of an existing one.

        What is printed there is proposed in the fields: Ctrl+Enter takes all of it, typing replaces it.
        """
        self._draft, self._book = draft, book
        self._known = body.pins if body else ()
        self._printed = _by_place(draft, printed)
        self.part.offer(book.names)
        self.kind.setCurrentText(USUAL_KIND)
        self.part.setText(book.name_of(body.part) if body else printed.part)
        self.connector.setText(body.connector if body else printed.connector)
        self.half.setText(body.half if body else "")
        self._on_part()
        run = PinRun.over(draft.box, draft.crossings, self._known)
        self._show_run(run.proposed(self._printed))
        self.adjustSize()
        self.show()
        self.raise_()
        _focus(self.part)

    def close_up(self) -> None:
        """Go away without a trace."""
        self._draft = self._run = None
        self.hide()
        self.run_changed.emit(None)

    def place_beside(self, box: QRectF) -> None:
        """Stand right of a body, or left of it, inside the table."""
        room = self._table.size()
        x = box.right() + 28
        if x + self.width() > room.width() - 4:
            x = box.left() - 28 - self.width()
        top = min(max(box.top(), 4.0), room.height() - self.height() - 4.0)
        left = min(max(x, 4.0), room.width() - self.width() - 4.0)
        self.move(round(left), round(max(top, 4.0)))

    # ------------------------------------------------------------------ fields
    def _on_part(self) -> None:
        """A known part brings its connectors; a new one asks for its kind."""
        if self._book is None:
            return
        name = self.part.text().strip()
        is_new = bool(name) and self._book.kind_of(name) is None
        for field in (self.kind, self._labels[self.kind]):
            field.setVisible(is_new)
        self.connector.offer(self._book.connectors_of(name))
        self._on_connector()
        self.adjustSize()

    def _on_connector(self) -> None:
        if self._book is not None:
            halves = self._book.halves_of(self.part.text().strip(), self.connector.text().strip())
            self.half.offer(halves)

    def _fields(self) -> list[QWidget]:
        fields: list[QWidget] = [self.part, self.connector, self.half]
        if not self.kind.isHidden():
            fields.insert(1, self.kind)
        return [*fields, self.pin] if self._run and self._run.places else fields

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            return self._take_key(watched, event)
        return super().eventFilter(watched, event)

    def _take_key(self, field: QObject, event: QKeyEvent) -> bool:
        """Run through the fields and pins; return whether the key was one of those."""
        key = event.key()
        if key == Qt.Key.Key_Escape:
            self.close_up()
            self.left.emit()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
                self._finish()
            else:
                self._forward(field)
        elif key == Qt.Key.Key_Tab:
            self._forward(field)
        elif key == Qt.Key.Key_Backtab:
            self._back(field)
        elif field is self.pin and key in (Qt.Key.Key_Down, Qt.Key.Key_Up):
            self._step(1 if key == Qt.Key.Key_Down else -1)
        else:
            return False
        return True

    def _forward(self, field: QObject) -> None:
        if field is self.pin and self._run is not None:
            if not self._take_pin():
                return
            if self._run.is_at_last:
                self._finish()
            else:
                self._show_run(self._run.moved(1))
            return
        fields = self._fields()
        following = fields[fields.index(field) + 1 :] if isinstance(field, QWidget) else []
        if following:
            _focus(following[0])
        else:
            self._finish()

    def _back(self, field: QObject) -> None:
        if field is self.pin and self._run is not None and self._run.current > 0:
            self._step(-1)
            return
        fields = self._fields()
        if isinstance(field, QWidget) and fields.index(field) > 0:
            _focus(fields[fields.index(field) - 1])

    # ------------------------------------------------------------------ pins
    def go_to_pin(self, index: int) -> None:
        """Number another pin next, as when it is clicked on the table."""
        if self._run is not None and self._take_pin():
            self._show_run(self._run.at(index))
            _focus(self.pin)

    def _step(self, by: int) -> None:
        if self._run is not None and self._take_pin():
            self._show_run(self._run.moved(by))

    def _take_pin(self) -> bool:
        """Take what stands in the pin field; False with a sentence where it cannot be."""
        if self._run is None or not self._run.places:
            return True
        text = self.pin.text().strip()
        run = self._run.typed(text) if text != self._run.texts[self._run.current] else self._run
        if run.fault:
            self._run = replace(run, fault="")
            self._say(run.fault, is_fault=True)
            return False
        self._run = run
        return True

    def _on_pin_edited(self) -> None:
        if self._run is not None:
            self._say(_hint(self._run))

    def _turn_order(self) -> None:
        if self._run is not None and self._take_pin():
            self._show_run(self._run.turned())

    def _show_run(self, run: PinRun) -> None:
        self._run = run
        has_pins = bool(run.places)
        for field in (self.pin, self._labels[self.pin]):
            field.setVisible(has_pins)
        self.order.setVisible(len(run.places) > 1)
        self.order.setText(f"Order: {run.order}")
        if has_pins:
            self._labels[self.pin].setText(f"Pin {run.current + 1}/{len(run.places)}")
            self.pin.setText(run.texts[run.current])
            self.pin.selectAll()
        self._say(_hint(run))
        self.run_changed.emit(run)

    def _say(self, text: str, *, is_fault: bool = False) -> None:
        palette = self.note.palette()
        colour = self._theme.colour("stop" if is_fault else "second text")
        palette.setColor(self.note.foregroundRole(), colour)
        self.note.setPalette(palette)
        self.note.setText(text)
        self.adjustSize()

    # ------------------------------------------------------------------ done
    def _finish(self) -> None:
        """Hand the body over; without a part's name it stays open and says so."""
        name = self.part.text().strip()
        if not name:
            self._say("Type the name of the part first.", is_fault=True)
            _focus(self.part)
            return
        if not self._take_pin() or self._draft is None or self._book is None or self._run is None:
            return
        is_new = self._book.kind_of(name) is None
        text = BodyText(
            part=name,
            kind=KINDS[self.kind.currentIndex()] if is_new else None,
            connector=self.connector.text().strip(),
            half=self.half.text().strip(),
            pins=_kept(self._run.pins, self._known, self._printed),
        )
        draft = self._draft
        self.close_up()
        self.typed.emit(draft, text)

    def paintEvent(self, event: QPaintEvent) -> None:
        del event
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(QPen(self._theme.colour("hairline"), 1.0))
            painter.setBrush(self._theme.colour("panel"))
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), 4, 4)


def _by_place(draft: BodyDraft, printed: PrintedBody) -> dict[MmPoint, str]:
    """The printed number of each place that has one."""
    pairs = zip(draft.crossings, printed.pins, strict=False)
    return {at: text for at, text in pairs if text}


def _kept(
    pins: Sequence[BodyPin], known: Sequence[BodyPin], printed: Mapping[MmPoint, str]
) -> tuple[BodyPin, ...]:
    """The pins as typed; one whose number did not change keeps how it is known, one as printed is printed."""
    before = {(pin.at, pin.pin): pin for pin in known}
    kept = []
    for pin in pins:
        fresh = pin
        if printed.get(pin.at) == pin.pin:
            fresh = pin.model_copy(update={"known": Known(how="printed")})
        kept.append(before.get((pin.at, pin.pin), fresh))
    return tuple(kept)


def _focus(field: QWidget) -> None:
    take_focus(field)
    if isinstance(field, QLineEdit):
        field.selectAll()


def _hint(run: PinRun) -> str:
    if not run.places:
        return "No conductor crosses this edge. Enter goes on, Esc leaves."
    return "Enter goes on, empty is no pin, 1..8 numbers a run, Ctrl+Enter is done, Esc leaves."
