"""Choosing both ways: a line of the ledger leads the table, the table leads the ledger."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtGui import QGuiApplication

from loomfolio.basics import MmPoint
from loomfolio.desk.doubts import Doubts
from loomfolio.desk.finder_entries import Entry
from loomfolio.desk.frame import Frame
from loomfolio.desk.gestures import place_on_net
from loomfolio.desk.job_desk import JobDesk
from loomfolio.desk.ledgers.lines import (
    DoubtLine,
    GapLine,
    LeadLine,
    NetLine,
    PinLine,
    SheetLine,
)
from loomfolio.desk.ledgers.plan_lines import RuleLine, WorkLine
from loomfolio.desk.showing import Showing
from loomfolio.desk.stages import StageId
from loomfolio.desk.table.light_table import LightTable
from loomfolio.desk.theme import Theme
from loomfolio.desk.ways import Ways
from loomfolio.desk.workbench import Workbench
from loomfolio.project import Anchor, BodyMark, PinKey


class Choosing:
    """What is chosen, in the ledger or on the table."""

    def __init__(
        self,
        workbench: Workbench,
        frame: Frame,
        table: LightTable,
        showing: Showing,
        ways: Ways,
        doubts: Doubts,
        job: JobDesk,
    ) -> None:
        self._workbench, self._frame, self._table = workbench, frame, table
        self._showing, self._ways, self._doubts, self._job = showing, ways, doubts, job
        self._net: int | None = None
        self._pin: PinKey | None = None
        self._changed: Callable[[], None] = _nobody
        self._open_stage: Callable[[StageId], None] = _nowhere

    def connect(self, changed: Callable[[], None], open_stage: Callable[[StageId], None]) -> None:
        """Listen to ledger and table, and tell each time that something else is chosen."""
        self._changed, self._open_stage = changed, open_stage
        self._frame.ledger.line_chosen.connect(self._on_line)
        self._frame.ledger.line_opened.connect(self._on_opened)
        self._table.net_selected.connect(self._on_net)
        self._table.thing_selected.connect(self._on_thing)
        self._workbench.subscribe(lambda *_: self._forget())

    @property
    def theme(self) -> Theme:
        """How the table is shown."""
        return self._table.theme

    @property
    def pin(self) -> PinKey | None:
        """The pin that would be followed."""
        if self._pin is not None:
            return self._pin
        if self._net is None:
            return None
        pins = self._workbench.state.netlist.net(self._net).pins
        return pins[0] if pins else None

    def _forget(self) -> None:
        """Numbers of nets hold in one state only; a pin is a pin in all of them."""
        self._net = None
        if self._pin is not None and self._workbench.state.net_of(self._pin) is None:
            self._pin = None

    # ------------------------------------------------------------------------------ ledger -> table

    def _on_line(self, line: Any) -> None:
        match line:
            case SheetLine():
                self._lead(None, None, _middle_of(line))
            case NetLine():
                self._lead(line.number, None, self._place_of_net(line.number))
            case PinLine():
                self._lead(line.net, line.pin, line.place)
            case LeadLine():
                self._lead(line.row.net, line.row.a, next(iter(line.row.places), None))
            case GapLine() | WorkLine():
                self._on_gap(line)
            case DoubtLine():
                self._doubts.look_at(line.finding)
            case RuleLine():
                self._on_rule(line)
            case _:  # a line of the bench or the proof: it has no place on the paper
                self._changed()

    def _on_gap(self, line: GapLine | WorkLine) -> None:
        """A gap is shown at its place; no net is selected, so that the next letter is no name."""
        state = self._workbench.state
        drawn = (pin for pin in line.gap.pins if state.net_of(pin) is not None)
        self._lead(None, next(drawn, None), line.gap.place)

    def _on_rule(self, line: RuleLine) -> None:
        """What a rule found has no answer on the sheet; the walk ends, so that Enter cannot answer another doubt."""
        self._doubts.leave()
        state = self._workbench.state
        drawn = next((pin for pin in line.finding.pins if state.net_of(pin) is not None), None)
        placed = state.places_of_pin(drawn) if drawn is not None else ()
        self._lead(None, drawn, line.finding.place or (placed[0].anchor if placed else None))

    def _lead(self, net: int | None, pin: PinKey | None, place: Anchor | None) -> None:
        self._net, self._pin = net, pin
        self._changed()
        self._table.select_net(net)
        if place is not None:
            self._showing.lead_to(place)

    def _on_opened(self, line: Any) -> None:
        match line:
            case SheetLine():
                self._job.sheet(line.sheet.id)
            case PinLine():
                self._ways.follow(line.pin)
            case LeadLine():
                self._ways.follow(line.row.a)
            case DoubtLine():
                self._doubts.look_at(line.finding)

    # ------------------------------------------------------------------------------ table -> ledger

    def _on_net(self, net: int | None) -> None:
        self._net, self._pin = net, None
        self._changed()
        if net is None:
            return
        view, stage = self._frame.ledger.view, self._frame.ledger.stage
        numbers = {
            "names": lambda line: line.number,
            "pins": lambda line: line.net,
            "leads": lambda line: line.row.net,
        }
        number = numbers.get(stage)
        if number is not None:
            view.lead_to(lambda line: bool(number(line) == net))

    def _on_thing(self, thing: Any) -> None:
        pin = getattr(thing, "pin", None)
        self._pin = pin if isinstance(pin, PinKey) else None
        self._changed()
        stage, view = self._frame.ledger.stage, self._frame.ledger.view
        gap = getattr(thing, "gap", None)
        if gap is not None:
            self._show_gap(gap)
        elif self._pin is not None and stage == "pins":
            view.lead_to_key(self._pin)
        elif self._pin is not None and stage == "gaps":
            view.lead_to(lambda line: self._pin in line.gap.pins)

    @property
    def gap(self) -> GapLine | None:
        """The gap that is chosen in the ledger; None while another ledger is open."""
        if self._frame.ledger.stage != "gaps":
            return None
        lines = self._frame.ledger.view.chosen_lines()
        return lines[0] if lines else None

    def choose_gap(self, line: GapLine) -> None:
        """Choose a gap, in the ledger and on the table."""
        self._show_gap(line.gap.key)
        self._on_gap(line)

    def _show_gap(self, key: str) -> None:
        if self._frame.ledger.stage != "gaps" or not self._frame.ledger.isVisibleTo(self._frame):
            self._open_stage("gaps")
        if not self._frame.ledger.view.lead_to_key(key):
            self._frame.ledger.scope.setChecked(False)
            self._frame.ledger.view.lead_to_key(key)

    # --------------------------------------------------------------------------------- the actions

    def follow_chosen(self) -> None:
        """Follow the chosen pin."""
        if self.pin is not None:
            self._ways.follow(self.pin)

    def edit_chosen(self) -> None:
        """Open what is chosen: a sheet, or the part of a pin."""
        lines = self._frame.ledger.view.chosen_lines()
        if lines and isinstance(lines[0], SheetLine):
            self._job.sheet(lines[0].sheet.id)
        else:
            self._job.part(self.pin.part if self.pin is not None else None)

    def copy_rows(self) -> int:
        """Copy the chosen rows of the ledger, or all of them, and return how many."""
        view = self._frame.ledger.view
        rows = view.chosen_rows() if len(view.chosen_rows()) > 1 else view.all_rows()
        QGuiApplication.clipboard().setText(view.lines.as_tsv(rows))
        return len(rows)

    def go_to(self, entry: Entry) -> None:
        """Go to what was found by its name."""
        state, target = self._workbench.state, entry.target
        if isinstance(target, PinKey):
            net, placed = state.net_of(target), state.places_of_pin(target)
            place = placed[0].anchor if placed else None
            self._lead(net.number if net else None, target, place)
        elif isinstance(target, int):
            self._lead(target, None, self._place_of_net(target))
        elif isinstance(target, Anchor):
            self._lead(None, None, target)
        elif entry.kind == "part":
            self._lead(None, None, self._place_of_part(target))
        else:
            sheet = state.project.sheet(target)
            line = SheetLine(sheet, "read", (), 0)
            self._lead(None, None, _middle_of(line))

    def _place_of_net(self, net: int) -> Anchor | None:
        netlist = self._workbench.state.netlist
        return place_on_net(netlist, netlist.net(net))

    def _place_of_part(self, part: str) -> Anchor | None:
        for mark in self._workbench.project.marks:
            if isinstance(mark, BodyMark) and mark.part == part:
                return Anchor(sheet=mark.sheet, at=mark.box.centre)
        return None


def _nobody() -> None:
    """Who is told before the window is connected."""


def _nowhere(stage: StageId) -> None:
    """Which stage is opened before the window is connected."""


def _middle_of(line: SheetLine) -> Anchor:
    sheet = line.sheet
    middle = MmPoint(
        sheet.width_px * 25.4 / sheet.x_dpi / 2, sheet.height_px * 25.4 / sheet.y_dpi / 2
    )
    return Anchor(sheet=sheet.id, at=middle)
