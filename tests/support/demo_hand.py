"""A person at the desk with a demo's sheets on the table: boxes, links and the survey by mouse and keys.

What the person reads off the paper comes from the plans of the sheets, what they see at the vehicle from the
stations of the demo's survey; both were declared before any code that finds gaps was run.
"""

from __future__ import annotations

from collections.abc import Iterable
from types import ModuleType
from typing import Any

from drawing.marks import Marker, off_pin
from drawing.plan import BodyPlan, SheetPlan
from drawing.survey import SeenHalf, Station
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtWidgets import QWidget

from loomfolio.basics import MmBox, MmPoint
from loomfolio.desk.survey.asked import AskedHalf, AskedThing
from loomfolio.desk.survey.letters import CAVITY_LETTERS, THING_LETTERS, key_of
from loomfolio.desk.survey.survey_dialog import SurveyDialog
from loomfolio.desk.table.body_editor import BodyEditor
from loomfolio.desk.window import DeskWindow
from loomfolio.project import Anchor, BodyMark, half_text, pin_text

LEFT = Qt.MouseButton.LeftButton
ZOOM_PX_PER_MM = 6.0
NUMBER_MM = 2.0
"""So near to a pin its number is printed."""


class DemoHand:
    """One person, one window, one demo."""

    def __init__(self, qtbot: Any, window: DeskWindow, demo: ModuleType) -> None:
        self.qtbot, self.window, self.table = qtbot, window, window.table
        self.plans: dict[int, SheetPlan] = {plan.number: plan for plan in demo.SHEETS}
        sheets = {s.title: s.id for s in window.workbench.project.sheets}
        ids = {n: sheets[f"{n} {plan.title}"] for n, plan in self.plans.items()}
        self.ids = ids
        self.paper = Marker(window.workbench.project, demo.SHEETS, ids)

    def settle(self) -> None:
        """Wait until everything has been read."""
        self.qtbot.waitUntil(lambda: not self.window.work.standing, timeout=600_000)

    # -------------------------------------------------------------------------------------- table

    def place(self, number: int, at: MmPoint) -> Anchor:
        """Where a place of a plan lies on its scan."""
        return self.paper.anchor(number, at)

    def px(self, place: Anchor) -> QPoint:
        """Where a place is seen in the window."""
        laid = self.table.scene.layout.get(place.sheet)
        return self.table.canvas().px(laid, place.at).toPoint()

    def look_at(self, place: Anchor, zoom: float = ZOOM_PX_PER_MM) -> None:
        """Bring a place into the middle of the table."""
        self.table.centre_on(place, zoom=zoom)

    def drag(self, start: QPoint, end: QPoint) -> None:
        """Press, move in steps, let go."""
        self.qtbot.mouseMove(self.table, start)
        self.qtbot.mousePress(self.table, LEFT, pos=start)
        for share in (0.3, 0.7, 1.0):
            self.qtbot.mouseMove(self.table, start + (end - start) * share)
        self.qtbot.mouseRelease(self.table, LEFT, pos=end)

    def type(self, field: QWidget, text: str) -> None:
        """Type over a field and press Enter."""
        field.selectAll()
        self.qtbot.keyClick(field, Qt.Key.Key_Delete)
        self.qtbot.keyClicks(field, text)
        self.qtbot.keyClick(field, Qt.Key.Key_Return)

    # -------------------------------------------------------------------------------------- boxes

    def box_what_is_left(self) -> None:
        """Box each body that has no box yet, and number the pins that have no number yet."""
        for number, plan in self.plans.items():
            for body in plan.bodies:
                mark = self._mark_of(number, body)
                if mark is None:
                    self._box(number, body)
                elif {pin.pin for pin in mark.pins} < {spot.pin for spot in body.pins}:
                    self._number(number, body, mark)

    def _mark_of(self, number: int, body: BodyPlan) -> BodyMark | None:
        middle = self.place(number, body.box.centre)
        for mark in self.window.workbench.project.marks:
            if isinstance(mark, BodyMark) and mark.sheet == middle.sheet:
                box = mark.box
                if box.x0 <= middle.at.x <= box.x1 and box.y0 <= middle.at.y <= box.y1:
                    return mark
        return None

    def _box(self, number: int, body: BodyPlan) -> None:
        middle = self.place(number, body.box.centre)
        wide, high = body.box.x1 - body.box.x0 + 1.0, body.box.y1 - body.box.y0 + 1.0
        box = MmBox(
            middle.at.x - wide / 2,
            middle.at.y - high / 2,
            middle.at.x + wide / 2,
            middle.at.y + high / 2,
        )
        self.look_at(middle, self._zoom_for(box))
        corners = [Anchor(sheet=middle.sheet, at=MmPoint(*at)) for at in (box[:2], box[2:])]
        self.drag(self.px(corners[0]), self.px(corners[1]))
        editor = self._editor(body)
        self.type(editor.part, body.part)
        self.type(editor.connector, body.connector)
        self.type(editor.half, body.half)
        self._type_pins(editor, number, body)
        self.settle()

    def _zoom_for(self, box: MmBox) -> float:
        room = self.table.size()
        fits = min(room.width() / (box.x1 - box.x0), room.height() / (box.y1 - box.y0))
        return min(ZOOM_PX_PER_MM, 0.7 * fits)

    def _editor(self, body: BodyPlan) -> BodyEditor:
        editor = self.table.findChild(BodyEditor)
        assert editor.isVisible(), f"no box was begun round {body.half_text}"
        return editor

    def _number(self, number: int, body: BodyPlan, mark: BodyMark) -> None:
        """Open a box by a double click in it, clear of all else, and number what is left."""
        self.look_at(self.place(number, body.box.centre), self._zoom_for(mark.box))
        at = self.px(self.place(number, body.box.centre))
        self.qtbot.mouseMove(self.table, at)
        self.qtbot.mouseClick(self.table, LEFT, pos=at)
        self.qtbot.mouseDClick(self.table, LEFT, pos=at)
        editor = self._editor(body)
        for field in (editor.part, editor.connector, editor.half):
            self.qtbot.keyClick(field, Qt.Key.Key_Return)
        self._type_pins(editor, number, body)
        self.settle()

    def _type_pins(self, editor: BodyEditor, number: int, body: BodyPlan) -> None:
        while editor.isVisible():
            run = editor.run
            known = run.texts[run.current]
            self.type(editor.pin, known or self._printed_at(number, body, run.places[run.current]))

    def _printed_at(self, number: int, body: BodyPlan, at: MmPoint) -> str:
        """The number printed at a place of the edge; none where only lettering crosses it."""
        near = {
            self.place(number, body.place_of(spot)).at.distance_mm(at): spot.pin
            for spot in body.pins
        }
        return near[min(near)] if min(near) < NUMBER_MM else ""

    # -------------------------------------------------------------------------------------- links

    def link_what_is_left(self, pairs: Iterable[tuple[str, int, int]]) -> None:
        """Link each pair of page arrows that no link leads to yet."""
        for letter, source, target in pairs:
            ends = [self.place(n, self.plans[n].places[f">{letter}"]) for n in (source, target)]
            links = self.window.workbench.project.links
            if not any(
                link.b and _is_at(link.a, ends[0]) and _is_at(link.b, ends[1]) for link in links
            ):
                self._link(*(self._beside(n, f">{letter}") for n in (source, target)))
        self.settle()

    def _beside(self, number: int, arrow: str) -> Anchor:
        """A place on the line of an arrow, clear of its tip: there one clicks."""
        plan = self.plans[number]
        wire = next(wire for wire in plan.wires if arrow in (wire.a, wire.b))
        return self.place(number, off_pin(plan, wire, arrow))

    def _link(self, *ends: Anchor) -> None:
        """Choose the link in the menu, then press at either end."""
        self.window.book.by_id["draw_link"].trigger()
        for end in ends:
            self.look_at(end)
            at = self.px(end)
            self.qtbot.mouseMove(self.table, at + QPoint(1, 0))
            self.qtbot.mouseMove(self.table, at)
            self.qtbot.mouseClick(self.table, LEFT, pos=at)


def _is_at(one: Anchor, other: Anchor) -> bool:
    return one.sheet == other.sheet and one.at.distance_mm(other.at) < 1.0


class SurveyHand:
    """A person who kneels at the vehicle: looks at what is asked, presses a letter for what is there."""

    def __init__(self, qtbot: Any, dialog: SurveyDialog, stations: Iterable[Station]) -> None:
        self.qtbot, self.dialog = qtbot, dialog
        self.halves: dict[str, list[SeenHalf]] = {}
        self.things: dict[str, str] = {}
        for station in stations:
            for name, half in station.halves.items():
                self.halves.setdefault(name, []).append(half)
            self.things |= {f"position {part}": grade for part, grade in station.positions.items()}
            self.things |= {f"header {pin}": state for pin, state in station.headers.items()}
            self.things |= {f"bar {p} {label}": s for (p, label), s in station.bars.items()}

    def look_at_all(self) -> None:
        """Go down the list of what is asked."""
        for row in range(self.dialog.list.count()):
            self.dialog.list.setCurrentRow(row)
            subject = self.dialog._chosen()
            if isinstance(subject, AskedHalf):
                self._look_into(subject)
            elif subject:
                self._look_at(subject)

    def _look_at(self, things: tuple[AskedThing, ...]) -> None:
        table, project = self.dialog.things.table, self.dialog._state().project
        typed = 0
        for row, thing in enumerate(things):
            about = {
                "position": project.part(thing.part).name,
                "header": pin_text(project, thing.pin) if thing.pin else "",
                "bar": f"{project.part(thing.part).name} {thing.label}",
            }[thing.kind]
            seen = self.things.get(f"{thing.kind} {about}")
            if seen is not None and thing.state is None:
                table.setCurrentCell(row, 0)
                self.qtbot.keyClicks(table, key_of(THING_LETTERS[thing.kind], seen).lower())
                typed += 1
        if typed:
            self.qtbot.mouseClick(self.dialog.things.store, LEFT)

    def _look_into(self, asked: AskedHalf) -> None:
        looks = self.halves.get(half_text(self.dialog._state().project, asked.half), [])
        if not looks or asked.left == 0:
            return
        gone = next((look for look in looks if look.state != "there"), None)
        if gone is not None:
            self._say_gone(gone)
            return
        page, editor = self.dialog.face, self.dialog.editor
        if (
            self.dialog.pages.currentWidget() is editor
        ):  # no sheet draws it: as the housing shows it
            self.qtbot.mouseClick(editor.sides[looks[0].viewed_from], LEFT)
        if not page.run.is_ready:
            self.qtbot.keyClicks(page.view, looks[0].viewed_from[0])
        for place in page.run.places():
            pin = page.run.pin_at(place)
            if pin in asked.asked:
                self._press(place, pin, looks)
        self.qtbot.mouseClick(page.store, LEFT)

    def _say_gone(self, look: SeenHalf) -> None:
        page, editor = self.dialog.face, self.dialog.editor
        if self.dialog.pages.currentWidget() is editor:
            self.qtbot.mouseClick(editor.gone[look.state], LEFT)
        else:
            self.qtbot.mouseClick(page.plugs[look.state], LEFT)

    def _press(self, place: tuple[int, int], pin: str, looks: list[SeenHalf]) -> None:
        view = self.dialog.face.view
        for look in looks:
            at = QPointF(view.cell(place).center()).toPoint()
            if pin in look.colours:
                self.qtbot.mouseClick(view, LEFT, pos=at)
                self.qtbot.keyClicks(view, "o")
                self.qtbot.keyClicks(self.dialog.face.colour, look.colours[pin])
                self.qtbot.keyClick(self.dialog.face.colour, Qt.Key.Key_Return)
            elif pin in look.filled or pin in look.others:
                state = look.others.get(pin, "filled")
                self.qtbot.mouseClick(view, LEFT, pos=at)
                self.qtbot.keyClicks(view, key_of(CAVITY_LETTERS, state).lower())
