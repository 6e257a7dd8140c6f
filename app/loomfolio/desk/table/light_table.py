"""The light table: all sheets side by side, pointed at and drawn on directly.

::

    Qt event -> PointerEvent / KeyEvent -> Hand -> intent -> `intended` -> the frame makes the edit
                                             └─> draft -> small editor at the place -> intent
    show_document(...) -> Scene -> TablePicture -> screen

The widget builds, connects and translates; it decides nothing and changes no document.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from loomfolio.desk.table.layout import TablePoint
from loomfolio.desk.table.paper_ink import PaperInk
from loomfolio.desk.table.pointing import MenuSource, PointingTable
from loomfolio.desk.table.scene import Scene
from loomfolio.desk.table.seams import PixelsSource, TableNetlist
from loomfolio.desk.table.selection import body_draft
from loomfolio.desk.table.signs import SignedRun
from loomfolio.desk.table.view import View
from loomfolio.desk.table.where import box_of_selection, box_of_ways
from loomfolio.desk.theme import Theme
from loomfolio.nets import MapRow, PlacedPin, Way
from loomfolio.project import Anchor, Project
from loomfolio.reading import PrintedWord
from loomfolio.retrofit import Gap

READABLE_PX_PER_MM = 4.0
"""From this scale on, print of 2 mm is 8 px tall and can be read."""
CALM_SHARE = 0.12
"""A place further inside the window than this share of it is well in view and needs no move."""


class LightTable(PointingTable):
    """All sheets of a project on one surface.

    `intended` carries one `Intent` for each finished gesture. `net_hovered`, `net_selected` (a net's
    number or None) and `thing_selected` (a `Thing` or None) tell what the *person* did; what the frame
    selects is not told back. `place_hovered` carries sheet id and `MmPoint`, or "" and None off the
    sheets. `hint_changed` is one line of help for the running gesture. `sheet_failed` carries a sheet
    and why its page cannot be shown.
    """

    sheet_failed = Signal(object, str)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._wants_fit = True
        self._tiles.failed.connect(self.sheet_failed)
        self.setAccessibleName("Light table")
        self.set_theme(theme)

    # ------------------------------------------------------------------ what is shown
    def show_document(
        self,
        project: Project,
        netlist: TableNetlist,
        rows: Sequence[MapRow],
        pixels_source: PixelsSource,
        gaps: Sequence[Gap] = (),
        words: Mapping[str, Sequence[PrintedWord]] | None = None,
    ) -> None:
        """Show a document. The view stays as it is; onto an empty table all sheets are fitted."""
        was_empty = not self.scene.layout.sheets
        self._hand.show(Scene(project, netlist, rows, gaps, words))
        self._tiles.show(project.sheets, pixels_source)
        self._picture.store.keep_only(sheet.id for sheet in project.sheets)
        if was_empty and project.sheets:
            self._wants_fit = True
            self._fit_if_wanted()
        self._on_view()
        self.hover_again()
        self.sync_silently()

    def set_followed(self, ways: Sequence[Way] | None) -> None:
        """Light the drawn runs of ways and fade all else; None lights all alike."""
        self._ways = tuple(ways or ())
        self.update()

    def set_overlay(self, runs: Sequence[SignedRun]) -> None:
        """Lay the runs of two fits over the sheets; none takes them away."""
        self._overlay = tuple(runs)
        self.update()

    def select_net(self, number: int | None) -> None:
        """Select a net, as a ledger does; nothing is told back."""
        self._hand.select(number)
        self.sync_silently()

    def set_theme(self, theme: Theme) -> None:
        """Paint in another theme."""
        self._theme = theme
        self._tiles.set_ink(PaperInk.of(theme))
        self._picture.forget_pages()
        self._editors.set_theme(theme)
        self.update()

    def set_menu_source(self, source: MenuSource) -> None:
        """Take the actions of context menus from here."""
        self._menu_source = source

    def set_moves_animated(self, is_animated: bool) -> None:  # noqa: FBT001  a Qt-like setter
        """Switch the 150-ms moves, and the closing ring, on or off."""
        super().set_moves_animated(is_animated)
        self._flash.is_animated = is_animated

    def visible_pins(self) -> tuple[PlacedPin, ...]:
        """Return the pins that the window shows, sheet by sheet."""
        window = self.canvas().window
        return tuple(
            placed
            for laid in self.scene.layout.within(window)
            for placed in self.scene.pins(laid.id)
            if window.holds(laid.to_table(placed.anchor.at))
        )

    @property
    def is_loading(self) -> bool:
        """Whether a page that is in view is still being loaded."""
        return not self._tiles.is_idle

    def shut_down(self) -> None:
        """End the work on pages; to be called before the window goes."""
        self._tiles.shut_down()

    # ------------------------------------------------------------------ moves
    def fit_all(self) -> None:
        """Show all sheets."""
        bounds = self.scene.layout.bounds
        if bounds is not None:
            self.show_box(bounds)

    def fit_selection(self) -> None:
        """Show the followed ways, else the selected net or mark, else all sheets."""
        box = box_of_ways(self.scene, self._ways) if self._ways else None
        box = box or box_of_selection(self.scene, self._hand.selected)
        if box is None:
            self.fit_all()
        else:
            self.show_box(box.grown(6.0))

    def centre_on(self, anchor: Anchor, zoom: float | None = None) -> None:
        """Move to a place, at a scale in px per mm; without one, only if it is not well in view."""
        laid = self.scene.layout.get(anchor.sheet)
        if laid is None:
            return
        at = laid.to_table(anchor.at)
        if zoom is None and self._is_well_seen(at):
            return
        scale = zoom or max(self.view.px_per_mm, READABLE_PX_PER_MM)
        self.go_to(View.holding(scale, at, self.width() / 2, self.height() / 2))

    def flash(self, place: Anchor) -> None:
        """Draw the eye to a place."""
        self._flash.start(place)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._fit_if_wanted()
        super().resizeEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        is_ctrl = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        is_name = self._hand.selected.net is not None and not self._ways
        if is_ctrl and event.key() == Qt.Key.Key_0:
            self.fit_all()
        elif event.key() == (Qt.Key.Key_9 if is_ctrl else Qt.Key.Key_F) and (
            is_ctrl or not (is_name or self._hand.is_busy)
        ):
            self.fit_selection()
        else:
            super().keyPressEvent(event)

    def _fit_if_wanted(self) -> None:
        """Fit all sheets at once, when they are first seen in a window that has a size."""
        bounds = self.scene.layout.bounds
        if self._wants_fit and bounds is not None and self.isVisible():
            self._wants_fit = False
            self._mover.jump(View.fitting(bounds, self.width(), self.height(), at_most=12.0))

    def _is_well_seen(self, at: TablePoint) -> bool:
        x, y = self.view.to_px(at)
        inset_x, inset_y = self.width() * CALM_SHARE, self.height() * CALM_SHARE
        return (
            self.view.px_per_mm >= READABLE_PX_PER_MM / 2
            and inset_x <= x <= self.width() - inset_x
            and inset_y <= y <= self.height() - inset_y
        )

    # ------------------------------------------------------------------ gestures from menus
    def begin_line(self) -> None:
        """Draw a missing line, from the next press on."""
        self._hand.begin_line()
        self.sync()

    def begin_link(self, start: Anchor | None = None) -> None:
        """Draw a link from a place, or from the next press on."""
        self._hand.begin_link(start)
        self.sync()

    def begin_region(self) -> None:
        """Box what belongs to an option; `intended` then carries a `DrawRegion`."""
        self._hand.begin_region()
        self.sync()

    def edit_name(self) -> None:
        """Type the name of the selected net."""
        draft = self._hand.name_selected()
        self.take((draft,) if draft else ())

    def edit_body(self, mark_id: str) -> None:
        """Type a body anew."""
        draft = body_draft(self.scene, mark_id)
        self.take((draft,) if draft else ())

    def cancel(self) -> None:
        """Come back to rest: whatever is running leaves no trace."""
        self._hand.drop()
        self._editors.close_up()
        self.sync()
