"""The small editors that stand on the table next to their place, and the question card.

They are children of the table, keep to their place while the view moves, and hand over one intent.
"""

from __future__ import annotations

from PySide6.QtCore import QObject, QPointF, Signal
from PySide6.QtWidgets import QWidget

from loomfolio.desk.table.body_editor import BodyEditor
from loomfolio.desk.table.canvas import Canvas
from loomfolio.desk.table.events import PointerEvent
from loomfolio.desk.table.intents import BodyText, ChangeBody, MakeBody, NameNet
from loomfolio.desk.table.layout import SheetPlace
from loomfolio.desk.table.name_editor import NameEditor
from loomfolio.desk.table.part_book import PartBook
from loomfolio.desk.table.pin_run import PinRun
from loomfolio.desk.table.preview import BodyDraft, NameDraft, Question
from loomfolio.desk.table.question_card import QuestionCard
from loomfolio.desk.table.run_field import take_focus
from loomfolio.desk.table.scene import Scene
from loomfolio.desk.table.things import REACH_PX
from loomfolio.desk.theme import Theme
from loomfolio.project import BodyMark, NameMark
from loomfolio.reading import printed_body

NAME_HINT = "Enter names the net, Esc leaves it as it was"


class Editors(QObject):
    """Opens, places and closes the editors. `intended(Intent)` is what one of them came to."""

    intended = Signal(object)
    changed = Signal()
    chosen = Signal(str)

    def __init__(self, table: QWidget, theme: Theme) -> None:
        super().__init__(table)
        self.name = NameEditor(theme, table)
        self.body = BodyEditor(theme, table)
        self.card = QuestionCard(theme, table)
        self._table = table
        self.name.named.connect(self._name)
        self.body.typed.connect(self._body)
        self.body.run_changed.connect(self.changed)
        self.card.chosen.connect(self.chosen)
        for editor in (self.name, self.body):
            editor.left.connect(self._back_to_table)

    def set_theme(self, theme: Theme) -> None:
        """Show all of them in another theme."""
        for editor in (self.name, self.body, self.card):
            editor.set_theme(theme)

    @property
    def run(self) -> tuple[str, PinRun] | None:
        """The sheet and the pins of the body that is being numbered."""
        draft, run = self.body.draft, self.body.run
        return (draft.sheet, run) if draft and run else None

    @property
    def is_open(self) -> bool:
        """Whether something is being typed."""
        return self.name.draft is not None or self.body.draft is not None

    @property
    def hint(self) -> str:
        """One line of help for the editor that is open."""
        return NAME_HINT if self.name.draft else ""

    def open(self, draft: NameDraft | BodyDraft, scene: Scene, canvas: Canvas) -> None:
        """Open the editor that a gesture ends in."""
        self.close_up()
        if isinstance(draft, NameDraft):
            names = {m.name for m in scene.project.marks if isinstance(m, NameMark)}
            self.name.open(draft, sorted(names))
        else:
            mark = scene.mark_by_id.get(draft.mark) if draft.mark else None
            body = mark if isinstance(mark, BodyMark) else None
            printed = printed_body(scene.words.get(draft.sheet, ()), draft.box, draft.crossings)
            self.body.open(draft, PartBook(scene.project), body, printed)
        self.place(scene, canvas)

    def close_up(self) -> None:
        """Close whatever is open; nothing of it remains."""
        if self.name.draft is not None:
            self.name.close_up()
        if self.body.draft is not None:
            self.body.close_up()

    def ask(self, question: Question | None, scene: Scene, canvas: Canvas) -> None:
        """Show a question at its place, or none."""
        at = _px(question.place, scene, canvas) if question else None
        self.card.ask(question if at is not None else None, at or QPointF())

    def place(self, scene: Scene, canvas: Canvas) -> None:
        """Keep each open editor at its place."""
        if self.name.draft is not None:
            at = _px(self.name.draft.place, scene, canvas)
            if at is not None:
                self.name.place_at(at)
        draft = self.body.draft
        laid = scene.layout.get(draft.sheet) if draft else None
        if draft is not None and laid is not None:
            self.body.place_beside(canvas.box(laid, draft.box))
        if self.card.question is not None:
            self.ask(self.card.question, scene, canvas)

    def press(self, event: PointerEvent) -> bool:
        """Take a press on the table while an editor is open; False where none is.

        On a pin of the body that is being numbered it goes on there. A name half typed is left without a
        trace; a body is not lost by a press beside it.
        """
        if self.name.draft is not None:
            self.name.close_up()
            self._back_to_table()
            return True
        run = self.run
        if run is None:
            return False
        sheet_id, pins = run
        if event.place is not None and event.place.sheet == sheet_id and pins.places:
            index = pins.nearest(event.place.at)
            if pins.places[index].distance_mm(event.place.at) <= event.reach_mm(2 * REACH_PX):
                self.body.go_to_pin(index)
        return True

    def _name(self, draft: NameDraft, text: str) -> None:
        self._back_to_table()
        self.intended.emit(NameNet(draft.place.sheet, draft.place.at, text, draft.mark))

    def _body(self, draft: BodyDraft, text: BodyText) -> None:
        self._back_to_table()
        if draft.mark is None:
            self.intended.emit(MakeBody(draft.sheet, draft.box, text))
        else:
            self.intended.emit(ChangeBody(draft.mark, text))

    def _back_to_table(self) -> None:
        take_focus(self._table)
        self.changed.emit()


def _px(place: SheetPlace, scene: Scene, canvas: Canvas) -> QPointF | None:
    laid = scene.layout.get(place.sheet)
    return canvas.px(laid, place.at) if laid else None
