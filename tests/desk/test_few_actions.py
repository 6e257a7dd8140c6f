"""From a file to a named, numbered map: how many things a person has to do, counted on the real window.

The page is drawn here with eight connectors of ten pins; reading, recognising and proposing are the
program's own. An action is a drag or a key.
"""

import pytest
from PIL import Image, ImageDraw, ImageFont
from PySide6.QtCore import Qt

from loomfolio.basics import MmPoint
from loomfolio.desk.settings import Settings
from loomfolio.desk.window import DeskWindow
from loomfolio.project import Project, Session
from support.make_desk import Answers

DPI, PINS = 300, 10
WIDE, HIGH = 3508, 2480
LEFT, RIGHT, BODY_PX = 400, 2700, 260
PITCH_PX, TOP_PX, APART_PX = 44, 150, 560


def box_of(row, left):
    x = LEFT if left else RIGHT
    y = TOP_PX + row * APART_PX
    return x, y, x + BODY_PX, y + (PINS + 1) * PITCH_PX


def draw_page(path):
    """Four pairs of connectors, ten leads between each pair, names above and numbers inside."""
    page = Image.new("L", (WIDE, HIGH), 255)
    pen = ImageDraw.Draw(page)
    small, large = ImageFont.load_default(30), ImageFont.load_default(46)
    for row in range(4):
        for left in (True, False):
            x0, y0, x1, y1 = box_of(row, left)
            pen.rectangle((x0, y0, x1, y1), outline=0, width=5)
            pen.text((x0 + 60, y0 - 62), f"X{11 + 2 * row + (not left)}", fill=0, font=large)
            for pin in range(1, PINS + 1):
                y = y0 + pin * PITCH_PX
                at = (x1 - 50, y - 16) if left else (x0 + 16, y - 16)
                pen.text(at, str(pin), fill=0, font=small)
        for pin in range(1, PINS + 1):
            y = TOP_PX + row * APART_PX + pin * PITCH_PX
            pen.line((LEFT + BODY_PX, y, RIGHT, y), fill=0, width=4)
    page.save(path, dpi=(DPI, DPI))


class Hands:
    """A person's hands on the window: every drag and every key is counted."""

    def __init__(self, qtbot, window):
        self.qtbot, self.window, self.actions = qtbot, window, 0
        self.table = window.table
        self.sheet = window.workbench.project.sheets[0].id

    def at(self, x_px, y_px):
        laid = self.table.scene.layout.get(self.sheet)
        at = MmPoint(x_px * 25.4 / DPI, y_px * 25.4 / DPI)
        return self.table.canvas().px(laid, at).toPoint()

    def drag(self, box):
        self.actions += 1
        button, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
        x0, y0, x1, y1 = box
        start, end = self.at(x0 - 14, y0 - 14), self.at(x1 + 14, y1 + 14)
        self.qtbot.mousePress(self.table, button, none, start)
        for share in (0.3, 0.7, 1.0):
            self.qtbot.mouseMove(self.table, start + (end - start) * share)
        self.qtbot.mouseRelease(self.table, button, none, end)

    def take(self):
        self.actions += 1
        field = self.window.focusWidget() or self.table
        self.qtbot.keyClick(field, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)


@pytest.fixture
def window(qtbot, tmp_path):
    settings = Settings(tmp_path / "desk.ini")
    settings.moves = False
    draw_page(tmp_path / "page.png")
    session = Session.create(tmp_path / "job", Project())
    shown = DeskWindow(session, settings, asker=Answers())
    qtbot.addWidget(shown)
    shown.resize(1600, 1100)
    shown.show()
    qtbot.waitExposed(shown)
    shown.files.take([tmp_path / "page.png"])
    qtbot.waitUntil(lambda: not shown.work.standing, timeout=600_000)
    yield shown
    shown.close()


def test_eight_connectors_and_eighty_pins_take_fewer_than_twenty_actions(qtbot, window):
    hands = Hands(qtbot, window)
    window.table.fit_all()
    for row in range(4):
        for left in (True, False):
            hands.drag(box_of(row, left))
            hands.take()
    qtbot.waitUntil(lambda: not window.work.standing, timeout=600_000)
    state = window.workbench.state
    pins = {
        (state.pin_word(row.a), state.pin_word(row.b)) for row in state.rows if row.b is not None
    }

    assert hands.actions < 20
    assert pins == {
        (f"X{11 + 2 * row}:{pin}", f"X{12 + 2 * row}:{pin}")
        for row in range(4)
        for pin in range(1, PINS + 1)
    }
