"""The window: builds the desk, connects it, and does the few things that only a window can."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from PySide6.QtGui import (
    QCloseEvent,
    QDragEnterEvent,
    QDropEvent,
    QGuiApplication,
)
from PySide6.QtWidgets import QApplication, QMainWindow, QWidget

from loomfolio.desk.action_book import ActionBook
from loomfolio.desk.actions import Desk
from loomfolio.desk.asking import Asker, QtAsker
from loomfolio.desk.choosing import Choosing
from loomfolio.desk.comparing import Comparing, TwoFits
from loomfolio.desk.doubt_card import DoubtCard
from loomfolio.desk.doubts import Doubts
from loomfolio.desk.electric_desk import ElectricDesk
from loomfolio.desk.empty_state import EmptyState
from loomfolio.desk.files import Files
from loomfolio.desk.finder_entries import Entry, entries_of
from loomfolio.desk.frame import Frame
from loomfolio.desk.gap_desk import GapDesk
from loomfolio.desk.icons import theme_icon
from loomfolio.desk.job_desk import JobDesk
from loomfolio.desk.looking import Looking
from loomfolio.desk.own_documents import OwnSheets
from loomfolio.desk.place_menu import PlaceMenu
from loomfolio.desk.plan_desk import PlanDesk
from loomfolio.desk.planning import Planner
from loomfolio.desk.readers import Readers
from loomfolio.desk.settings import Settings
from loomfolio.desk.showing import Showing
from loomfolio.desk.stages import StageId
from loomfolio.desk.steps import Steps
from loomfolio.desk.style import apply_theme
from loomfolio.desk.table.intents import DrawRegion
from loomfolio.desk.table.light_table import LightTable
from loomfolio.desk.table.overlay import FitsLegend
from loomfolio.desk.theme import Theme, make_theme
from loomfolio.desk.vehicle_desk import VehicleDesk
from loomfolio.desk.ways import Ways
from loomfolio.desk.window_acts import WindowActs
from loomfolio.desk.work import Work
from loomfolio.desk.workbench import Workbench
from loomfolio.project import Session

TOOLS = ("undo", "redo", "next_doubt", "fit", "ledger", "theme")


class DeskWindow(QMainWindow):
    """One project on a light table."""

    def __init__(self, session: Session, settings: Settings, *, asker: Asker | None = None) -> None:
        super().__init__()
        self.settings = settings
        theme = make_theme(settings.theme, scale=settings.scale)
        self._dress(theme)
        self.setWindowTitle("loomfolio")
        self.setWindowIcon(theme_icon("follow", theme))
        self.setAcceptDrops(True)
        self.resize(1440, 900)
        self.work = Work(self)
        self.workbench = Workbench(session, {})
        self.steps = Steps(self.workbench, self._refuse, self._show_done)
        self.table = LightTable(theme)
        self.frame = Frame(self.table, self.steps, self._found, theme)
        self.setCentralWidget(self.frame)
        self._build_desk(theme, asker or QtAsker(self))
        self._connect()
        self.looking.open_stage("leads")
        self.planner.look(self.workbench.state)
        self.showing.show_state(None, self.workbench.state)
        self.table.set_moves_animated(settings.moves)
        self.table.setFocus()
        self.readers.look()
        self.own.look()

    def _build_desk(self, theme: Theme, asker: Asker) -> None:
        workbench, steps = self.workbench, self.steps
        self.empty = EmptyState(theme, self.table)
        self.looking = Looking(self.settings, self.table, self._show_theme, self._show_stage)
        self.readers = Readers(workbench, self.work, lambda: self.settings.words)
        self.card = DoubtCard(self.table, theme)
        self.planner = Planner(self.work, self._on_plan)
        self.showing = Showing(
            workbench, self.frame, self.table, self.empty, self.card, self.planner
        )
        self.showing.take_progress_from(self.readers.progress)
        self.ways = Ways(workbench, steps, self._show_following, self.showing.lead_to, self.tell)
        self.doubts = Doubts(
            workbench,
            steps,
            self._show_asked,
            self.tell,
            lambda sentence: asker.text("Accept", f"{sentence}. Why does this stand?"),
        )
        self.files = Files(workbench, steps, self.work, asker, self.settings, self.tell)
        self.job = JobDesk(workbench, steps, self.ways, asker, self.tell, self)
        self.choosing = Choosing(
            workbench, self.frame, self.table, self.showing, self.ways, self.doubts, self.job
        )
        self._build_vehicle(theme, asker)
        self.own = OwnSheets(workbench, steps, self.work, asker, self.settings, self.tell)
        self.desk = Desk(
            workbench=workbench,
            steps=steps,
            files=self.files,
            ways=self.ways,
            doubts=self.doubts,
            looking=self.looking,
            readers=self.readers,
            job=self.job,
            gaps=self.gaps,
            vehicle=self.vehicle,
            own=self.own,
            plan=self.plan,
            electric=self.electric,
            window=WindowActs(self, self.frame, self.table, self.choosing, self._show_done),
        )
        self.book = ActionBook(self.desk, self, steps.attempt)
        self.book.fill_menus(self.frame.menus, lambda: self.settings.recent)
        self.book.set_theme(theme)
        self.menu = PlaceMenu(workbench, self.table, self.ways, self.job, self.book, self)
        self.table.set_menu_source(self.menu.actions_at)
        self.frame.add_tools([self.book.by_id[name] for name in TOOLS])

    def _build_vehicle(self, theme: Theme, asker: Asker) -> None:
        """What is about the real vehicle: gaps, fits over each other, specimens, survey."""
        workbench, steps = self.workbench, self.steps
        self.gaps = GapDesk(workbench, steps, self.work, self.choosing, asker, self.tell, self)
        self.plan = PlanDesk(
            workbench, steps, self.work, self.planner, self.frame.ledger, self.tell, self
        )
        self.frame.ledger.line_opened.connect(self.plan.open)
        self.electric = ElectricDesk(
            workbench, steps, self.choosing, self.ways.follow, self.tell, self
        )
        self.legend = FitsLegend(theme, self.table)
        self.comparing = Comparing(workbench, self._show_two_fits)
        self.vehicle = VehicleDesk(
            workbench,
            steps,
            asker,
            self.tell,
            self.comparing,
            lambda: self.table.theme,
            self,
        )

    def _connect(self) -> None:
        self.workbench.subscribe(self._on_change)
        self.work.changed.connect(self._on_work)
        self.work.refused.connect(self._refuse)
        self.table.intended.connect(self._intend)
        self.table.hint_changed.connect(self.frame.status.hint)
        self.table.sheet_failed.connect(lambda _, why: self._refuse(why))
        self.frame.rail.picked.connect(self.looking.choose_stage)
        self.frame.ledger.closed.connect(self.looking.switch_ledger)
        self.frame.status.cancelled.connect(self._cancel_work)
        self.frame.strip.step_chosen.connect(self.ways.choose_step)
        self.frame.strip.way_chosen.connect(self.ways.choose_way)
        self.frame.strip.confirm_asked.connect(self.ways.confirm)
        self.frame.strip.closed.connect(self.ways.stop)
        self.legend.closed.connect(self.comparing.stop)
        self.card.chosen.connect(self.doubts.press)
        self.frame.finder.chosen.connect(self._take_found)
        self.choosing.connect(self.book.refresh, self.looking.open_stage)
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._on_system_theme)
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.focusChanged.connect(self._on_focus)

    # ------------------------------------------------------------------------------- what is told

    def tell(self, sentence: str) -> None:
        """Say one sentence on the bar below the head."""
        self.frame.notices.tell(sentence)

    def _intend(self, intent: object) -> None:
        if isinstance(intent, DrawRegion):
            self.job.region_only_with(intent.sheet, intent.box)
        else:
            self.steps.intend(intent)

    def _refuse(self, sentence: str) -> None:
        self.frame.notices.tell(sentence, "stop")

    def _show_done(self, title: str) -> None:
        self.frame.notices.stop.say("")
        self.frame.status.show_done(title)

    # ----------------------------------------------------------------------------- what is shown

    def _on_change(self, before: Any, after: Any) -> None:
        self.planner.look(after)
        self.showing.show_state(before, after)
        self.doubts.refresh()
        self.book.refresh()

    def _on_plan(self) -> None:
        self.showing.show_plan()
        self.book.refresh()

    def _on_work(self) -> None:
        self.frame.status.show_work(self.work.standing)
        self.showing.show_sheet_progress()
        self.book.refresh()

    def _cancel_work(self) -> None:
        self.readers.call_off()
        self.work.cancel_all()

    def _show_following(self, following: Any) -> None:
        self.showing.show_following(following)
        self.book.refresh()

    def _show_two_fits(self, shown: TwoFits | None) -> None:
        self.table.set_overlay(shown.runs if shown is not None else ())
        self.legend.show_lines(shown.legend if shown is not None else ())
        self.book.refresh()

    def _show_asked(self, asked: Any) -> None:
        self.showing.show_asked(asked)
        self.book.refresh()

    def _show_stage(self, stage: StageId | None) -> None:
        if stage is not None:
            self.frame.ledger.show_stage(stage)
        self.frame.rail.show_stage(stage)
        self.frame.open_ledger(is_open=stage is not None, theme=self.table.theme)
        if stage is None:
            self.table.setFocus()

    def _dress(self, theme: Theme) -> None:
        application = QApplication.instance()
        if isinstance(application, QApplication):
            apply_theme(application, theme)

    def _show_theme(self, theme: Theme) -> None:
        self._dress(theme)
        self.frame.set_theme(theme)
        self.table.set_theme(theme)
        self.empty.set_theme(theme)
        self.card.set_theme(theme)
        self.legend.set_theme(theme)
        self.book.set_theme(theme)

    def _on_focus(self, before: QWidget | None, now: QWidget | None) -> None:
        del before
        self.book.heed_focus(now)

    def _on_system_theme(self) -> None:
        if self.settings.theme == "system":
            self.looking.refresh()

    # ------------------------------------------------------------------------- the search field

    def _found(self) -> tuple[Entry, ...]:
        return (*entries_of(self.workbench.state), *self.book.entries())

    def _take_found(self, entry: Entry | None) -> None:
        self.table.setFocus()
        if entry is None:
            return
        if entry.kind == "action":
            self.book.by_id[str(entry.target)].trigger()
        else:
            self.choosing.go_to(entry)

    # ----------------------------------------------------------------------------------- Qt's own

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take files."""
        if any(url.isLocalFile() for url in event.mimeData().urls()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Take dropped files: sheets, projects, packed projects."""
        urls = event.mimeData().urls()
        paths = [Path(url.toLocalFile()) for url in urls if url.isLocalFile()]
        event.acceptProposedAction()
        self.files.take(paths)

    def closeEvent(self, event: QCloseEvent) -> None:
        """End slow work, and write the project anew; its edits are on disk in any case."""
        self.settings.geometry = self.saveGeometry()
        self.work.close()
        self.table.shut_down()
        self.steps.attempt(self.workbench.session.close)
        super().closeEvent(event)
