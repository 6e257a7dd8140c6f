"""The search field: one types, a list comes down, Enter goes there or does it."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from PySide6.QtCore import QEvent, QObject, QPoint, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetrics, QKeyEvent, QPainter
from PySide6.QtWidgets import (
    QFrame,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from loomfolio.desk.finder_entries import Entry, best_matches
from loomfolio.desk.icons import paint_icon
from loomfolio.desk.ledgers.records_model import Held, Index
from loomfolio.desk.search_field import SearchField
from loomfolio.desk.theme import ROW_PX, Theme

ENTRY_ROLE = Qt.ItemDataRole.UserRole
WHAT = "Find a pin, part, net or action"
FIELD_PX = 340
LIST_PX = 460
ROWS_SHOWN = 9


class Finder(SearchField):
    """The field in the head of the window; its list hangs below it, over the table."""

    chosen = Signal(object)

    def __init__(self, source: Callable[[], Iterable[Entry]], theme: Theme, host: QWidget) -> None:
        self._list = _EntryList(theme, host)
        self._source = source
        self._entries: tuple[Entry, ...] = ()
        super().__init__(f"{WHAT}   (Ctrl+K)", WHAT, theme, host)
        self._list.picked.connect(self._take)
        self.textChanged.connect(self._show_matches)
        self.installEventFilter(self)

    def set_theme(self, theme: Theme) -> None:
        """Take other colours or another text scale."""
        super().set_theme(theme)
        self.setFixedWidth(theme.px(FIELD_PX))
        self._list.set_theme(theme)

    @property
    def shown(self) -> tuple[Entry, ...]:
        """What the list shows now; nothing while it is shut."""
        return self._list.entries if self._list.isVisible() else ()

    def begin(self) -> None:
        """Take the keyboard and look afresh at what there is."""
        self._entries = tuple(self._source())
        self.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.selectAll()

    def shut(self) -> None:
        """Put the list away and forget what was typed."""
        self.clear()
        self._list.hide()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let the arrows and Enter work the list while the field has the keyboard."""
        if event.type() == QEvent.Type.FocusIn:
            self._entries = tuple(self._source())
        elif event.type() == QEvent.Type.FocusOut:
            self._list.hide()
        elif event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            return self._key(event)
        return super().eventFilter(watched, event)

    def _key(self, event: QKeyEvent) -> bool:
        match event.key():
            case Qt.Key.Key_Down:
                self._list.move_by(1)
            case Qt.Key.Key_Up:
                self._list.move_by(-1)
            case Qt.Key.Key_Return | Qt.Key.Key_Enter:
                self._take(self._list.current)
            case Qt.Key.Key_Escape:
                self.shut()
                self.chosen.emit(None)
            case _:
                return False
        return True

    def _take(self, entry: Entry | None) -> None:
        if entry is not None:
            self.shut()
            self.chosen.emit(entry)

    def _show_matches(self, words: str) -> None:
        matches = best_matches(self._entries, words)
        self._list.show_entries(matches, self, is_searched=bool(words.strip()))


class _EntryList(QFrame):
    """The list below the field: a child of the window, so that it never takes the keyboard."""

    picked = Signal(object)

    def __init__(self, theme: Theme, host: QWidget) -> None:
        super().__init__(host)
        self.setObjectName("finder")
        self._theme = theme
        self.entries: tuple[Entry, ...] = ()
        self._list = QListWidget(self)
        self._list.setFrameShape(QFrame.Shape.NoFrame)
        self._list.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._list.setMouseTracking(True)
        self._painter = _EntryPainter(theme, self._list)
        self._list.setItemDelegate(self._painter)
        self._list.itemClicked.connect(lambda item: self.picked.emit(_entry(item)))
        column = QVBoxLayout(self)
        column.setContentsMargins(4, 4, 4, 4)
        column.addWidget(self._list)
        self.hide()

    def set_theme(self, theme: Theme) -> None:
        self._theme = theme
        self._painter.theme = theme

    @property
    def current(self) -> Entry | None:
        item = self._list.currentItem() if self.isVisible() else None
        return _entry(item) if item is not None else None

    def move_by(self, rows: int) -> None:
        count = self._list.count()
        if count:
            self._list.setCurrentRow((self._list.currentRow() + rows) % count)

    def show_entries(self, entries: Iterable[Entry], field: QWidget, *, is_searched: bool) -> None:
        self.entries = tuple(entries)
        self._list.clear()
        for entry in self.entries:
            item = QListWidgetItem(entry.title)
            item.setData(ENTRY_ROLE, Held(entry))
            self._list.addItem(item)
        if is_searched and not self.entries:
            nothing = QListWidgetItem("Nothing here is called that.")
            nothing.setFlags(Qt.ItemFlag.NoItemFlags)
            self._list.addItem(nothing)
        self._list.setCurrentRow(0 if self.entries else -1)
        self.setVisible(is_searched)
        if is_searched:
            self._place(field)

    def _place(self, field: QWidget) -> None:
        row = self._theme.px(ROW_PX)
        rows = min(max(self._list.count(), 1), ROWS_SHOWN)
        size = QSize(max(self._theme.px(LIST_PX), field.width()), rows * row + 10)
        corner = field.mapTo(self.window(), QPoint(field.width(), field.height() + 4))
        self.setGeometry(corner.x() - size.width(), corner.y(), size.width(), size.height())
        self.raise_()


def _entry(item: QListWidgetItem) -> Entry | None:
    held = item.data(ENTRY_ROLE)
    entry: Entry | None = held.value if held is not None else None
    return entry


class _EntryPainter(QStyledItemDelegate):
    """One found thing: icon, title, and to the right what it is."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self.theme = theme

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return the height of a row."""
        del option, index
        return QSize(100, self.theme.px(ROW_PX))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw one found thing."""
        theme = self.theme
        held = index.data(ENTRY_ROLE)
        box = QRectF(option.rect).adjusted(8, 0, -8, 0)
        side = Qt.AlignmentFlag.AlignVCenter
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if option.state & QStyle.StateFlag.State_Selected and held is not None:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(theme.tint("panel", "followed", 0.18))
            painter.drawRoundedRect(QRectF(option.rect), 4, 4)
        painter.setFont(theme.font())
        if held is None:
            painter.setPen(theme.colour("second text"))
            painter.drawText(box, side | Qt.AlignmentFlag.AlignLeft, str(index.data()))
            painter.restore()
            return
        entry: Entry = held.value
        size = float(theme.px(18))
        place = QRectF(box.left(), box.center().y() - size / 2, size, size)
        paint_icon(painter, entry.icon, place, theme.colour("second text"))
        hint_wide = QFontMetrics(theme.font("small")).horizontalAdvance(entry.hint)
        left = place.right() + theme.px(10)
        room = box.right() - left - hint_wide - theme.px(12)
        painter.setFont(theme.font(is_mono=entry.kind == "pin"))
        painter.setPen(theme.colour("text"))
        title = QFontMetrics(painter.font()).elidedText(
            entry.title, Qt.TextElideMode.ElideRight, int(room)
        )
        painter.drawText(
            QRectF(left, box.top(), room, box.height()), side | Qt.AlignmentFlag.AlignLeft, title
        )
        painter.setFont(theme.font("small"))
        painter.setPen(theme.colour("second text"))
        painter.drawText(box, side | Qt.AlignmentFlag.AlignRight, entry.hint)
        painter.restore()
