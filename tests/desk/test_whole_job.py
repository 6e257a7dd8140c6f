"""A whole job by hand and eye on a drawing that nobody of this project drew.

As a person would: drop the file, say which paper it is, box the parts, type their pins, type names,
follow a pin and confirm along it, export the map; the map equals the truth that was read off the
picture. The picture is `nut_73-0724.png` (from the Debian package nut-doc 2.8.0-7, GPL-2.0-or-later);
where it is not at hand the test is skipped.
"""

import json
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent

from loomfolio.basics import PxBox, Resolution
from loomfolio.project import Anchor, Project, find_pin
from support.make_desk import Answers

SAMPLES = Path(__file__).resolve().parents[3] / "shared" / "samples" / "diagrams"
PICTURE, TRUTH = SAMPLES / "nut_73-0724.png", SAMPLES / "nut_73-0724.truth.json"

# The boxes that a person draws, in px of the picture, and the kind of each part.
BOXES = {
    "UPS": (PxBox(60, 130, 150, 500), "device"),
    "PC": (PxBox(612, 130, 690, 500), "device"),
    "R1": (PxBox(505, 236, 536, 276), "resistor"),
    "R2": (PxBox(505, 303, 540, 349), "resistor"),
    "D1": (PxBox(186, 460, 225, 492), "diode"),
}
NAMES = {"Ground": (300, 164), "AC Fail": (300, 224), "Weak battery": (300, 356)}

pytestmark = pytest.mark.skipif(not PICTURE.is_file(), reason="the real diagrams are not here")


@pytest.fixture
def truth():
    return json.loads(TRUTH.read_text(encoding="utf-8"))


@pytest.fixture
def window(qtbot, tmp_path, monkeypatch):
    """The window on an empty project, with the real reader."""
    from loomfolio.desk.settings import Settings
    from loomfolio.desk.window import DeskWindow
    from loomfolio.project import Session

    settings = Settings(tmp_path / "desk.ini")
    settings.moves = False
    settings.words = False
    answers = Answers(one_of="letter", file_to_write=tmp_path / "map.json")
    session = Session.create(tmp_path / "job", Project())
    shown = DeskWindow(session, settings, asker=answers)
    shown.resize(1500, 1000)
    shown.show()
    qtbot.waitExposed(shown)
    yield shown
    shown.close()
    shown.deleteLater()


def settle(qtbot, window):
    qtbot.waitUntil(lambda: not window.work.standing, timeout=60_000)


def drop(window, path):
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    nothing = Qt.KeyboardModifier.NoModifier
    at, button = QPointF(300, 300), Qt.MouseButton.LeftButton
    window.dropEvent(QDropEvent(at, Qt.DropAction.CopyAction, data, button, nothing))


class Hand:
    """A person's hand on the table: places are px of the picture."""

    def __init__(self, qtbot, window):
        self.qtbot, self.window, self.table = qtbot, window, window.table
        sheet = window.workbench.project.sheets[0]
        self.sheet, self.resolution = sheet, Resolution(sheet.x_dpi, sheet.y_dpi)

    def at(self, x, y):
        """Where a px of the picture is seen in the window."""
        laid = self.table.scene.layout.get(self.sheet.id)
        seen = self.table.view.to_px(laid.to_table(self.resolution.to_mm(x, y)))
        return QPoint(round(seen[0]), round(seen[1]))

    def look_at(self, x, y):
        place = Anchor(sheet=self.sheet.id, at=self.resolution.to_mm(x, y))
        self.table.centre_on(place, zoom=5.0)

    def drag(self, box):
        self.table.fit_all()
        button = Qt.MouseButton.LeftButton
        start, end = self.at(box.x0, box.y0), self.at(box.x1, box.y1)
        self.qtbot.mouseMove(self.table, start)
        self.qtbot.mousePress(self.table, button, pos=start)
        for share in (0.3, 0.7, 1.0):
            self.qtbot.mouseMove(self.table, start + (end - start) * share)
        self.qtbot.mouseRelease(self.table, button, pos=end)

    def type(self, field, text):
        field.selectAll()
        if text:
            self.qtbot.keyClicks(field, text)
        else:
            field.clear()
        self.qtbot.keyClick(field, Qt.Key.Key_Return)


def box_part(hand, name, truth):
    """Draw a box round a part, type its name, and number the pins that were found."""
    box, kind = BOXES[name]
    hand.drag(box)
    editor = hand.table.findChild(_body_editor())
    assert editor.isVisible(), f"no box was begun round {name}"
    hand.type(editor.part, name)
    if editor.kind.isVisible():
        editor.kind.setCurrentText(kind)
        hand.qtbot.keyClick(editor.kind, Qt.Key.Key_Return)
    hand.type(editor.connector, "")
    hand.type(editor.half, "")
    for _ in range(len(editor.run.places)):
        at = hand.resolution.to_px(editor.run.places[editor.run.current])
        hand.type(editor.pin, nearest_pin(truth, name, at))
    hand.qtbot.waitUntil(lambda: not editor.isVisible())


def _body_editor():
    from loomfolio.desk.table.body_editor import BodyEditor

    return BodyEditor


def nearest_pin(truth, part, at):
    """What the person reads off the picture: the printed number beside a conductor's end."""
    own = [t for t in truth["terminals"] if t["name"].startswith(f"{part}:")]
    near = min(own, key=lambda t: abs(t["x"] - at.x) + abs(t["y"] - at.y))
    return near["name"].split(":")[1]


def name_net(hand, name, x, y):
    hand.look_at(x, y)
    hand.qtbot.mouseMove(hand.table, hand.at(x, y))
    hand.qtbot.mouseClick(hand.table, Qt.MouseButton.LeftButton, pos=hand.at(x, y))
    for letter in name:
        focused = hand.window.focusWidget()
        hand.qtbot.keyClick(focused, letter)
    hand.qtbot.keyClick(hand.window.focusWidget(), Qt.Key.Key_Return)


def partition(window):
    """The nets with pins, as sets of `PART:pin`."""
    state = window.workbench.state
    return {
        frozenset(state.pin_word(pin) for pin in net.pins)
        for net in state.netlist.nets
        if len(net.pins) > 1
    }


def pairs_of(groups):
    return {frozenset(pair) for g in groups for pair in _all_pairs(sorted(g))}


def _all_pairs(names):
    return [(a, b) for i, a in enumerate(names) for b in names[i + 1 :]]


def test_from_a_scan_to_a_map_that_is_true(qtbot, window, truth, tmp_path):
    drop(window, PICTURE)
    settle(qtbot, window)
    assert window.workbench.project.sheets[0].resolution_from == "paper size"

    hand = Hand(qtbot, window)
    for name in BOXES:
        box_part(hand, name, truth)
        settle(qtbot, window)
    true_nets = {frozenset(net) for net in truth["nets"] if len(net) > 1}
    assert partition(window) == true_nets

    for name, (x, y) in NAMES.items():
        name_net(hand, name, x, y)
    state = window.workbench.state
    assert {net.name for net in state.netlist.nets if net.name} == set(NAMES)

    start = find_pin(window.workbench.project, "UPS:1")
    window.ways.follow(start)
    window.table.setFocus()
    while window.ways.following.open_count:
        before = window.ways.following.open_count
        qtbot.keyClick(window.table, Qt.Key.Key_C)
        assert window.ways.following.open_count < before
    row = next(r for r in window.workbench.state.rows if start in {r.a, r.b})
    assert row.is_released

    window.book.by_id["export_map"].trigger()
    settle(qtbot, window)
    exported = json.loads((tmp_path / "map.json").read_text(encoding="utf-8"))
    leads = {frozenset((lead["a"], lead["b"])) for lead in exported["leads"] if lead["b"]}
    assert leads <= pairs_of(true_nets)
    for net in true_nets:
        inside = {lead for lead in leads if lead <= net}
        assert len(inside) >= len(net) - 1, f"{sorted(net)} is not held together by its leads"
