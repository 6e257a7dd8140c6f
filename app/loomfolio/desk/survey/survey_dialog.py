"""The survey of one specimen: what is still to be looked at on the left, the connector or list on the right.

::

    state ─> what_is_asked ─> list ─ chosen ─> FacePage / ThingsPage / FaceEditor ─> Step ─> `do` ─> state
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from loomfolio.basics import EditError
from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.derived import Derived
from loomfolio.desk.dialogs.dates import day_of
from loomfolio.desk.dialogs.form import Run, run_dialog
from loomfolio.desk.dialogs.photos import PhotosDialog, PhotoShelf
from loomfolio.desk.gestures import Step
from loomfolio.desk.ledgers.columns import Wire
from loomfolio.desk.ledgers.records_model import Held
from loomfolio.desk.survey.asked import AskedHalf, AskedThing, SurveyWork, what_is_asked
from loomfolio.desk.survey.face_editor import FaceEditor
from loomfolio.desk.survey.face_page import FacePage
from loomfolio.desk.survey.face_run import FaceRun
from loomfolio.desk.survey.letters import THING_LETTERS
from loomfolio.desk.survey.steps import face_of, half_seen, set_face, store_seen, things_seen
from loomfolio.desk.survey.things_page import ThingsPage, short_head_of
from loomfolio.desk.theme import Theme
from loomfolio.project import (
    FaceSide,
    HalfKey,
    HalfState,
    Known,
    Project,
    cavity_entries,
    edits,
)
from loomfolio.retrofit import Expected, expected_in

Do = Callable[[Callable[[Project], Step]], bool]
LIST_PX = 312
_SUBJECT = Qt.ItemDataRole.UserRole


class SurveyDialog(QDialog):
    """Looks at one specimen after another; each stored connector or list is one step of undo."""

    def __init__(
        self,
        state: Callable[[], Derived],
        do: Do,
        theme: Theme,
        *,
        today: date,
        shelf: PhotoShelf,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Survey")
        self.setModal(True)
        self._state, self._do, self._shelf = state, do, shelf
        self.specimen = ChoiceBox(self)
        for specimen in state().project.specimens:
            self.specimen.addItem(f"{specimen.name} ({specimen.kind})", specimen.id)
        self.on = QLineEdit(today.isoformat(), self)
        self.on.setFixedWidth(theme.px(120))
        self.photos = QPushButton("Photos…", self)
        self.photos.setAutoDefault(False)
        self.photos.setToolTip("Take photos of this specimen in, and mark what they show")
        self.run_photos: Run = run_dialog
        self.total = QLabel(self)
        self.total.setObjectName("second")
        self.list = QListWidget(self)
        self.list.setFixedWidth(theme.px(LIST_PX))
        self.fault = QLabel(self)
        self.fault.setObjectName("fault")
        self.fault.setWordWrap(True)
        self.fault.hide()
        self.face, self.things = FacePage(theme, self), ThingsPage(theme, self)
        self.editor, self._nothing = FaceEditor(theme, self), QLabel(self)
        self.pages = QStackedWidget(self)
        for page in (self._nothing, self.face, self.things, self.editor):
            self.pages.addWidget(page)
        self._nothing.setText("Nothing is asked: no connector lies in the scope.")
        self._build()
        self._connect()
        self.refresh()
        self.resize(theme.px(1160), theme.px(720))

    def _build(self) -> None:
        head = QHBoxLayout()
        head.setSpacing(12)
        title = QLabel("Survey", self)
        title.setObjectName("head")
        head.addWidget(title)
        head.addWidget(self.specimen, 1)
        head.addWidget(QLabel("seen on", self))
        head.addWidget(self.on)
        head.addWidget(self.photos)
        head.addWidget(self.total)
        middle = QHBoxLayout()
        middle.setSpacing(16)
        middle.addWidget(self.list)
        middle.addWidget(self.pages, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 16, 20, 16)
        column.setSpacing(12)
        column.addLayout(head)
        column.addLayout(middle, 1)
        column.addWidget(self.fault)

    def _connect(self) -> None:
        self.specimen.currentIndexChanged.connect(self.refresh)
        self.photos.clicked.connect(self._look_at_photos)
        self.list.currentRowChanged.connect(lambda _: self._show_chosen())
        self.face.store_asked.connect(self._store_face)
        self.face.half_asked.connect(self._store_half)
        self.face.face_asked.connect(self._edit_face)
        self.things.store_asked.connect(self._store_things)
        self.editor.typed.connect(self._store_how_it_lies)
        self.editor.half_asked.connect(self._store_half)

    @property
    def specimen_id(self) -> str:
        """The specimen that is looked at."""
        return str(self.specimen.currentData() or "")

    @property
    def known(self) -> Known:
        """How what is stored is known: seen, on the day that is typed above."""
        return Known(how="seen", on=day_of(self.on.text()))

    # -------------------------------------------------------------------------------------- list

    def refresh(self) -> None:
        """Lay the list out anew over the document as it stands; the same entry stays chosen."""
        self._work = what_is_asked(self._state(), self.specimen_id)
        chosen = self._chosen_key()
        self.list.blockSignals(True)
        self.list.clear()
        for words, subject in _lines(self._work):
            item = QListWidgetItem(words)
            item.setData(_SUBJECT, Held(subject))
            self.list.addItem(item)
        rows = [row for row in range(self.list.count()) if self._key_at(row) == chosen]
        self.list.blockSignals(False)
        self.list.setCurrentRow(next(iter(rows), 0))
        left = self._work.left
        self.total.setText(f"{left} still to look at" if left else "All looked at")
        self._show_chosen()

    def _subject(self, row: int) -> AskedHalf | tuple[AskedThing, ...] | None:
        if not 0 <= row < self.list.count():
            return None
        found: AskedHalf | tuple[AskedThing, ...] = self.list.item(row).data(_SUBJECT).value
        return found

    def _key_at(self, row: int) -> object:
        subject = self._subject(row)
        if subject is None:
            return None
        return subject.half if isinstance(subject, AskedHalf) else subject[0].kind

    def _chosen_key(self) -> object:
        return self._key_at(self.list.currentRow())

    def _chosen(self) -> AskedHalf | tuple[AskedThing, ...] | None:
        return self._subject(self.list.currentRow())

    def choose(self, half: HalfKey) -> None:
        """Go to one connector."""
        for row in range(self.list.count()):
            if self._key_at(row) == half:
                self.list.setCurrentRow(row)

    def _go_on(self) -> None:
        """Go to the next line that has something left; stay where nothing has."""
        start = self.list.currentRow()
        count = self.list.count()
        for step in range(count):
            row = (start + step) % count
            if _left_of(self.list.item(row).data(_SUBJECT).value):
                self.list.setCurrentRow(row)
                return

    # ------------------------------------------------------------------------------------- pages

    def _show_chosen(self) -> None:
        chosen = self._chosen()
        self.fault.hide()
        if chosen is None:
            self.pages.setCurrentWidget(self._nothing)
        elif isinstance(chosen, AskedHalf):
            self._show_half(chosen)
        else:
            self.things.show_things(chosen)
            self.pages.setCurrentWidget(self.things)
            self.things.table.setFocus()

    def _show_half(self, asked: AskedHalf) -> None:
        state = self._state()
        face = face_of(state.project, asked.half)
        if face is None or face.side == "unknown":
            self.editor.show_face(asked.text, face, asked.asked)
            self.pages.setCurrentWidget(self.editor)
            return
        before = asked.entry
        run = FaceRun(face, asked.asked, before.viewed_from if before else "unknown")
        if run.is_ready:
            run.recall(cavity_entries(state.project, self.specimen_id, asked.half))
        head = f"{asked.text}   {before.state}" if before and asked.is_gone else asked.text
        expected = _expected(state, asked.half)
        self.face.show_run(head, run, expected, _drawn_colours(state, asked.half))
        self.pages.setCurrentWidget(self.face)
        self.face.view.setFocus()

    def _edit_face(self) -> None:
        chosen = self._chosen()
        if isinstance(chosen, AskedHalf):
            face = face_of(self._state().project, chosen.half)
            self.editor.show_face(chosen.text, face, chosen.asked)
            self.pages.setCurrentWidget(self.editor)

    def _look_at_photos(self) -> None:
        """Show the specimen's photos; what is changed in them is one step."""
        project = self._state().project
        one = next((s for s in project.specimens if s.id == self.specimen_id), None)
        if one is None:
            return
        dialog = PhotosDialog(one.name, one.photos, self._shelf, self)
        if self.run_photos(dialog) and dialog.photos != one.photos:
            changed = one.model_copy(update={"photos": dialog.photos})
            title = f"Photos of {one.name}"
            self._do(lambda project: Step(title, edits.change_specimen(project, changed)))
        dialog.deleteLater()

    # ------------------------------------------------------------------------------------ storing

    def _store(self, make: Callable[[Project], Step], *, goes_on: bool = True) -> None:
        self.fault.hide()
        faults: list[str] = []

        def tried(project: Project) -> Step:
            try:
                return make(project)
            except EditError as error:
                faults.append(str(error))
                raise

        if self._do(tried):
            self.refresh()
            if goes_on:
                self._go_on()
        else:  # what the folder refuses is told on the window behind
            unsaid = "This was not stored; the window behind says why."
            self.fault.setText(next(iter(faults), unsaid))
            self.fault.show()

    def _store_face(self) -> None:
        chosen, run = self._chosen(), self.face.run
        if isinstance(chosen, AskedHalf) and run is not None:
            specimen, half = self.specimen_id, chosen.half
            self._store(lambda project: store_seen(project, specimen, half, run, self.known))

    def _store_half(self, state: str) -> None:
        chosen = self._chosen()
        if isinstance(chosen, AskedHalf):
            specimen, half = self.specimen_id, chosen.half
            seen: HalfState = state  # type: ignore[assignment]  # one of the keys of the page
            self._store(lambda project: half_seen(project, specimen, half, seen, self.known))

    def _store_things(self) -> None:
        things, entered = self.things.things, dict(self.things.table.typed)
        specimen = self.specimen_id
        self._store(lambda project: things_seen(project, specimen, entered, things, self.known))

    def _store_how_it_lies(self, text: str, side: str) -> None:
        chosen = self._chosen()
        if isinstance(chosen, AskedHalf):
            half = chosen.half
            known: FaceSide = side  # type: ignore[assignment]  # one of the two buttons
            self._store(lambda project: set_face(project, half, text, known), goes_on=False)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter is no answer here: it would close the dialog in the middle of a row."""
        if event.key() not in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            super().keyPressEvent(event)


def _lines(work: SurveyWork) -> list[tuple[str, object]]:
    lines: list[tuple[str, object]] = []
    for kind in THING_LETTERS:
        things = work.things_of(kind)
        if things:
            lines.append(
                (f"{short_head_of(kind)}   {_counted(_left_of(things), len(things))}", things)
            )
    halves = ((f"{h.text}   {_counted(h.left, len(h.asked))}", h) for h in work.halves)
    return [*lines, *halves]


def _left_of(subject: object) -> int:
    if isinstance(subject, AskedHalf):
        return subject.left
    things: tuple[AskedThing, ...] = subject  # type: ignore[assignment]  # the other kind of line
    return sum(1 for thing in things if thing.state is None)


def _counted(left: int, count: int) -> str:
    return f"{left} left of {count}" if left else "✓"


def _expected(state: Derived, half: HalfKey) -> Mapping[str, Expected]:
    """What this vehicle's own documents say of a half, by its name there; nothing where it is not matched."""
    found = state.job_gaps
    if found is None:
        return expected_in(state.netlist, state.rows, half)
    own = dict(found.matching.pairs).get(half) if state.own is not None else half
    if own is None:
        return {}
    return expected_in(found.vehicle.netlist, found.vehicle.rows, own)


def _drawn_colours(state: Derived, half: HalfKey) -> dict[str, Wire | None]:
    """The colour that the sheets give each cavity; one with several leads of different colours has none."""
    found: dict[str, set[Wire]] = {}
    for row in state.rows:
        wire = Wire.of(row.colour)
        for pin in (row.a, row.b):
            if pin is not None and pin.half_key == half and wire is not None:
                found.setdefault(pin.pin, set()).add(wire)
    return {pin: next(iter(wires)) for pin, wires in found.items() if len(wires) == 1}
