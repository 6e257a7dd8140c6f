"""What the right button offers at a place of the table: the actions that make sense just there."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QWidget

from loomfolio.desk.action_book import ActionBook
from loomfolio.desk.job_desk import JobDesk
from loomfolio.desk.table.intents import Remove
from loomfolio.desk.table.light_table import LightTable
from loomfolio.desk.table.pointing import MenuAsked
from loomfolio.desk.table.things import Thing
from loomfolio.desk.ways import Ways
from loomfolio.desk.workbench import Workbench
from loomfolio.project import Anchor, BodyMark, LeadMark, PinKey

MOST_PINS = 8
"""More pins than this of one net are better chosen in the ledger."""


class PlaceMenu:
    """Makes the menu for a place, anew each time."""

    def __init__(
        self,
        workbench: Workbench,
        table: LightTable,
        ways: Ways,
        job: JobDesk,
        book: ActionBook,
        window: QWidget,
    ) -> None:
        self._workbench, self._table = workbench, table
        self._ways, self._job, self._book, self._window = ways, job, book, window
        self._offered: list[QAction] = []

    def actions_at(self, asked: MenuAsked) -> Sequence[QAction | None]:
        """Return what can be done at a place; None is a line between groups."""
        for action in self._offered:
            action.deleteLater()
        self._offered = []
        thing = asked.things[0] if asked.things else None
        groups: list[list[QAction]] = [
            self._of_net(thing) if thing is not None else [],
            self._of_conductor(asked, thing) if thing is not None else [],
            self._of_record(thing) if thing is not None else [],
            self._of_place(asked),
            [self._book.by_id["fit"], self._book.by_id["find"]],
        ]
        actions: list[QAction | None] = []
        for group in (group for group in groups if group):
            if actions:
                actions.append(None)
            actions.extend(group)
        return actions

    def _of_net(self, thing: Thing) -> list[QAction]:
        pins = [thing.pin] if thing.pin is not None else self._pins_of(thing.net)
        offered: list[QAction] = [
            self._made(f"Follow {self._workbench.state.pin_word(pin)}", self._follower(pin))
            for pin in pins[:MOST_PINS]
        ]
        if thing.net is not None:
            offered.append(self._made("Name this net", self._table.edit_name))
        return offered

    def _pins_of(self, net: int | None) -> list[PinKey]:
        return list(self._workbench.state.netlist.net(net).pins) if net is not None else []

    def _follower(self, pin: PinKey) -> Callable[[], None]:
        return lambda: self._ways.follow(pin)

    def _of_conductor(self, asked: MenuAsked, thing: Thing) -> list[QAction]:
        """What is printed beside a conductor: colour, size, and the options it belongs to."""
        if asked.place is None or thing.net is None:
            return []
        place = Anchor(sheet=asked.place.sheet, at=asked.place.at)
        if self._workbench.state.netlist.snap(place.sheet, place.at).conductor is None:
            return []
        return [
            self._made("Colour and size of this lead…", lambda: self._job.lead_note(place)),
            self._made(
                "This conductor only with an option…",
                lambda: self._job.conductor_only_with(place),
            ),
        ]

    def _of_record(self, thing: Thing) -> list[QAction]:
        """What can be done with a mark: change a body and its part, take any mark off."""
        mark_id = thing.record or thing.body
        mark = next((m for m in self._workbench.project.marks if m.id == mark_id), None)
        offered: list[QAction] = []
        if isinstance(mark, BodyMark):
            part = mark.part
            offered += [
                self._made("Change this box", lambda: self._table.edit_body(mark.id)),
                self._made("Change its part…", lambda: self._job.part(part)),
                self._made("Its cavities…", lambda: self._job.cavities(part)),
            ]
        if isinstance(mark, LeadMark):
            place = Anchor(sheet=mark.sheet, at=mark.at)
            offered.append(
                self._made("Change this note…", lambda: self._job.lead_note(place, mark))
            )
        elif mark is not None:
            about = "this box" if isinstance(mark, BodyMark) else "this mark"
            offered.append(
                self._made("Only with an option…", lambda: self._job.mark_only_with(mark, about))
            )
        if thing.record is not None:
            remove = Remove((thing.record,))
            offered.append(self._made("Remove", lambda: self._table.intended.emit(remove)))
        return offered

    def _of_place(self, asked: MenuAsked) -> list[QAction]:
        place = asked.place
        if place is None:
            return []
        start = Anchor(sheet=place.sheet, at=place.at)
        return [
            self._made("Link from here to another sheet", lambda: self._table.begin_link(start)),
            self._made("Draw a missing line", self._table.begin_line),
            self._made("About this sheet…", lambda: self._job.sheet(place.sheet)),
            self._made("Remove this sheet", lambda: self._job.remove_sheet(place.sheet)),
        ]

    def _made(self, title: str, function: Callable[[], object]) -> QAction:
        action = QAction(title, self._window)
        action.triggered.connect(lambda *_: function())
        self._offered.append(action)
        return action
