"""The table's fixtures: a hand without a window, and the real widget with its document."""

import pytest

from loomfolio.desk.table import LightTable
from loomfolio.desk.theme import make_theme
from loomfolio.nets import connector_map
from support.make_table import Pointer, page_of, table_job, table_netlist, table_scene


@pytest.fixture
def scene():
    return table_scene()


@pytest.fixture
def pointer(scene):
    return Pointer(scene)


@pytest.fixture
def open_table(qtbot):
    """Open the real widget on a document; its work on pages is ended after the test."""
    opened = []

    def make(project=None, *, theme=None, pages=page_of, size=(1200, 800)):
        table = LightTable(theme or make_theme("light"))
        opened.append(table)
        qtbot.addWidget(table)
        table.set_moves_animated(False)
        table.resize(*size)
        shown = project or table_job()
        netlist = table_netlist(shown)
        table.show_document(shown, netlist, connector_map(netlist), pages)
        with qtbot.waitExposed(table):
            table.show()
        table.activateWindow()
        qtbot.waitUntil(table.isActiveWindow)
        table.setFocus()
        table.grab()
        qtbot.waitUntil(lambda: not table.is_loading)
        return table

    yield make
    for table in opened:
        table.shut_down()


@pytest.fixture
def table(open_table):
    return open_table()


@pytest.fixture
def intents(table):
    """What the table emitted, in order."""
    emitted = []
    table.intended.connect(emitted.append)
    return emitted
