"""A lead drawn as it looks: base, stripe, outline; hollow where nobody knows."""

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QImage, QPainter

from loomfolio.desk.colours import contrast
from loomfolio.desk.ledgers.columns import Wire
from loomfolio.desk.theme import make_theme
from loomfolio.desk.wire_picture import paint_wire
from loomfolio.project import LeadColour

RED, WHITE = (
    Wire.of(LeadColour(text="RD", code_set="IEC 60757")),
    Wire.of(LeadColour(text="WH", code_set="IEC 60757")),
)
STRIPED = Wire.of(LeadColour(text="RD/WH", code_set="IEC 60757"))


def picture(wire, name="light"):
    theme = make_theme(name)
    image = QImage(80, 20, QImage.Format.Format_RGB32)
    image.fill(theme.colour("panel"))
    painter = QPainter(image)
    paint_wire(painter, QRectF(5, 5, 70, 10), wire, theme)
    painter.end()
    return image


def colours_of(image):
    return {
        image.pixelColor(x, y).name() for x in range(image.width()) for y in range(image.height())
    }


def test_a_lead_has_its_own_colour(qapp):
    assert picture(RED).pixelColor(40, 10) == QColor(RED.base)


def test_a_striped_lead_shows_both(qapp):
    found = colours_of(picture(STRIPED))
    assert QColor(STRIPED.base).name() in found
    assert QColor(STRIPED.stripe).name() in found


def test_an_unknown_lead_is_hollow_and_dashed(qapp):
    panel = make_theme("light").colour("panel")
    image = picture(None)
    assert image.pixelColor(40, 10) == panel
    edge = [image.pixelColor(x, 5) == panel for x in range(12, 68)]
    assert True in edge
    assert False in edge


@pytest.mark.parametrize("name", ["light", "dark"])
@pytest.mark.parametrize("text", ["BK", "WH", "YE", "GY", "BN"])
def test_every_lead_stands_off_the_panel_by_its_outline(qapp, name, text):
    """A black lead in the dark and a white one in the light are seen by their edge."""
    theme = make_theme(name)
    image = picture(Wire.of(LeadColour(text=text, code_set="IEC 60757")), name)
    column = [image.pixelColor(40, y).name() for y in range(20)]
    panel = theme.colour("panel").name()
    assert max(contrast(colour, panel) for colour in column) >= 3.0


def test_letters_alone_do_not_guess_a_colour():
    assert Wire.of(None) is None
    unknown = Wire.of(LeadColour(text="QZ"))  # letters of no code set
    assert unknown.base is None
    assert unknown.letters == "QZ"


def test_the_same_lead_looks_the_same(qapp):
    assert picture(STRIPED) == picture(STRIPED)
    assert picture(RED) != picture(STRIPED)
    assert picture(WHITE) != picture(RED)
