"""The few actions that only the window itself can do."""

from __future__ import annotations

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QWidget

from loomfolio.desk.choosing import Choosing
from loomfolio.desk.dialogs.manual import ManualDialog
from loomfolio.desk.faults import log_path
from loomfolio.desk.frame import Frame
from loomfolio.desk.steps import Tell
from loomfolio.desk.table.light_table import LightTable


class WindowActs:
    """What the actions call of the window."""

    def __init__(
        self, window: QWidget, frame: Frame, table: LightTable, choosing: Choosing, done: Tell
    ) -> None:
        self._window, self._frame, self._table = window, frame, table
        self._choosing, self._done = choosing, done

    def find(self) -> None:
        """Put the keyboard into the search field."""
        self._frame.finder.begin()

    def to_table(self) -> None:
        """Give the keyboard back to the light table."""
        self._table.setFocus()

    def copy_rows(self) -> None:
        """Copy the chosen rows of the ledger."""
        count = self._choosing.copy_rows()
        self._done(f"Copied {count} row{'s' if count != 1 else ''}")

    def follow_chosen(self) -> None:
        """Follow the pin that is chosen in the ledger or lit on the table."""
        self._choosing.follow_chosen()

    def has_pin_chosen(self) -> bool:
        """Is there a pin that could be followed?"""
        return self._choosing.pin is not None

    def edit_chosen(self) -> None:
        """Open the dialog of what is chosen in the ledger."""
        self._choosing.edit_chosen()

    def draw_line(self) -> None:
        """Begin a missing line."""
        self.to_table()
        self._table.begin_line()

    def draw_link(self) -> None:
        """Begin a link."""
        self.to_table()
        self._table.begin_link()

    def draw_region(self) -> None:
        """Begin a region that is there only with an option."""
        self.to_table()
        self._table.begin_region()

    def manual(self) -> None:
        """Show the manual page."""
        ManualDialog(self._table.theme, self._window).show()

    def open_log(self) -> None:
        """Show the log file; it is made at the first fault."""
        path = log_path()
        if path.is_file():
            QDesktopServices.openUrl(QUrl.fromLocalFile(str(path)))
        else:
            self._frame.notices.tell(f"No fault was ever logged; {path} does not exist.")

    def quit(self) -> None:
        """Close the window."""
        self._window.close()
