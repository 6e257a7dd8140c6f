"""The small card beside the pointer: which net it is, and its pins."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen

from loomfolio.desk.table.canvas import Canvas
from loomfolio.desk.table.questions import spot_text
from loomfolio.desk.table.scene import Scene, lead_text
from loomfolio.desk.table.things import Thing
from loomfolio.desk.theme import Theme
from loomfolio.project import LeadMark

MOST_PINS = 12
MOST_LEADS = 3
OFFSET_PX = 18.0
PAD_PX = 8.0
CARD_WIDTH_PX = 300.0


@dataclass(frozen=True, slots=True)
class Card:
    """What the card says: a head, pins in the mono font, and a line below."""

    head: str
    pins: tuple[str, ...] = ()
    foot: str = ""


def card_for(scene: Scene, thing: Thing) -> Card | None:
    """Return the card of what is under the pointer; None where there is nothing to say."""
    if thing.kind == "spot" and thing.spot is not None:
        return Card(spot_text(thing.spot), foot="Click to answer")
    if thing.kind == "gap":
        return _gap_card(scene, thing)
    if thing.rivals:
        return Card(f"{len(thing.rivals)} conductors about as near", foot="Click to say which one")
    if thing.kind == "link" and thing.record is not None:
        return _link_card(scene, thing)
    mark = scene.mark_by_id.get(thing.record) if thing.record else None
    if isinstance(mark, LeadMark):
        return Card(lead_text(mark.colour, mark.area_mm2), foot="noted for the lead here")
    if thing.kind == "body" and thing.record is not None:
        body = next((b for b in scene.bodies_on(thing.sheet) if b.id == thing.record), None)
        return Card(scene.part_name(body)) if body else None
    return _net_card(scene, thing.net) if thing.net is not None else None


def _net_card(scene: Scene, number: int) -> Card | None:
    net = scene.net(number)
    if net is None:
        return None
    names = sorted({claim.name for claim in net.claims})
    head = net.name or (" / ".join(names) + "  (two names)" if names else "No name yet")
    pins = tuple(scene.pin_text(pin) for pin in net.pins[:MOST_PINS])
    if len(net.pins) > MOST_PINS:
        pins += (f"and {len(net.pins) - MOST_PINS} more",)
    words = ["no pin yet"] if not net.pins else []
    words += scene.leads.get(number, ())[:MOST_LEADS]
    if len(net.sheets) > 1:
        words.append(f"on {len(net.sheets)} sheets")
    release = scene.release.get(number)
    if release is not None:
        words.append(
            "released" if release.is_released else f"not released, {release.open_pieces} open"
        )
    return Card(head, pins, ", ".join(words))


def _gap_card(scene: Scene, thing: Thing) -> Card | None:
    for gap in scene.open_gaps.get(thing.sheet, ()):
        if gap.key == thing.gap:
            pins = tuple(scene.pin_text(pin) for pin in gap.pins[:MOST_PINS])
            return Card(f"Gap: {gap.kind}", pins, gap.sureness)
    return None


def _link_card(scene: Scene, thing: Thing) -> Card | None:
    for end in scene.link_ends.get(thing.sheet, ()):
        if end.link.id == thing.record and end.here == thing.at:
            head = f"Link {scene.link_letter(end.link)}"
            there = scene.layout.get(end.there.sheet) if end.there else None
            return Card(
                head, foot=f"goes on at {there.sheet.title}" if there else "no other end yet"
            )
    return None


def paint_card(painter: QPainter, canvas: Canvas, at: QPointF, card: Card) -> None:
    """Paint a card beside a px, inside the window."""
    theme = canvas.theme
    rows = _rows(theme, card)
    width = max(size.width() for _, _, size in rows) + 2 * PAD_PX
    height = sum(size.height() for _, _, size in rows) + 2 * PAD_PX - 2
    box = card_box(canvas, at, QSizeF(width, height))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(theme.tint("panel", "hairline", 0.6), 1.0))
    painter.setBrush(theme.colour("panel"))
    painter.drawRoundedRect(box.adjusted(0.5, 0.5, -0.5, -0.5), 4, 4)
    top = box.top() + PAD_PX - 1
    for index, (text, font, size) in enumerate(rows):
        is_foot = bool(card.foot) and index == len(rows) - 1
        painter.setFont(font)
        painter.setPen(theme.colour("second text" if is_foot else "text"))
        place = QRectF(box.left() + PAD_PX, top, size.width() + 2, size.height())
        painter.drawText(place, Qt.AlignmentFlag.AlignVCenter, text)
        top += size.height()


def _rows(theme: Theme, card: Card) -> list[tuple[str, QFont, QSizeF]]:
    """The lines of a card; pins flow side by side up to the card's width."""
    head, mono, small = (
        theme.font("body", is_bold=True),
        theme.font("small", is_mono=True),
        theme.font("small"),
    )
    metrics = QFontMetricsF(mono)
    lines: list[str] = []
    for pin in card.pins:
        longer = f"{lines[-1]}   {pin}" if lines else pin
        if lines and metrics.horizontalAdvance(longer) <= CARD_WIDTH_PX * theme.scale:
            lines[-1] = longer
        else:
            lines.append(pin)
    texts = [(card.head, head), *((line, mono) for line in lines)]
    if card.foot:
        texts.append((card.foot, small))
    return [(text, font, _size(text, font)) for text, font in texts]


def _size(text: str, font: QFont) -> QSizeF:
    metrics = QFontMetricsF(font)
    return QSizeF(metrics.horizontalAdvance(text), metrics.height() + 2)


def card_box(canvas: Canvas, at: QPointF, size: QSizeF) -> QRectF:
    """Return where a card of a size lies: right of and below the pointer, else on its other side."""
    x = at.x() + OFFSET_PX
    if x + size.width() > canvas.width - 4:
        x = at.x() - OFFSET_PX - size.width()
    y = at.y() + OFFSET_PX
    if y + size.height() > canvas.height - 4:
        y = at.y() - OFFSET_PX - size.height()
    return QRectF(max(x, 4.0), max(y, 4.0), size.width(), size.height())
