"""Our icons: one grid, one stroke, no colour of their own."""

import xml.etree.ElementTree as ET

import pytest
from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QColor, QImage, QPainter

from loomfolio.basics import asset_path
from loomfolio.desk.icons import icon_names, paint_icon, theme_icon
from loomfolio.desk.ledgers.columns import Mark
from loomfolio.desk.stages import STAGES
from loomfolio.desk.theme import make_theme

names = sorted(icon_names())


@pytest.mark.parametrize("name", names)
def test_an_icon_is_drawn_on_our_grid(name):
    root = ET.fromstring(asset_path("icons", f"{name}.svg").read_text(encoding="utf-8"))
    assert root.attrib["viewBox"] == "0 0 20 20"
    assert root.attrib["stroke-width"] == "1.5"
    assert root.attrib["stroke-linecap"] == "round"
    colours = {e.attrib[a] for e in root.iter() for a in ("fill", "stroke") if a in e.attrib}
    assert colours <= {"none", "currentColor"}


def picture(name, colour, size):
    image = QImage(size, size, QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(0)
    painter = QPainter(image)
    try:
        paint_icon(painter, name, QRectF(0, 0, size, size), QColor(colour))
    finally:
        painter.end()  # Qt dies of a picture that goes while it is painted on
    return image


@pytest.mark.parametrize("name", names)
def test_an_icon_shows_something_inside_its_box(qapp, name):
    image = picture(name, "#0067A3", 40)
    inked = [(x, y) for x in range(40) for y in range(40) if image.pixelColor(x, y).alpha() > 128]
    assert len(inked) > 20
    assert all(0 < x < 39 and 0 < y < 39 for x, y in inked)


def test_an_icon_takes_the_colour_it_is_given(qapp):
    image = picture("joined", "#B3261E", 40)
    assert image.pixelColor(20, 20).name().upper() == "#B3261E"


def test_no_two_icons_look_alike(qapp):
    pictures = {}
    for name in names:
        picture_of = picture(name, "#000000", 40)
        pictures.setdefault(bytes(picture_of.constBits()), []).append(name)
    assert [same for same in pictures.values() if len(same) > 1] == []


def test_an_unknown_icon_is_a_fault_of_ours(qapp):
    with pytest.raises(KeyError):
        picture("unicorn", "#000000", 20)


@pytest.mark.parametrize("ratio", [1.0, 1.25, 1.5, 2.0])
def test_an_icon_is_drawn_at_the_real_device_ratio(qapp, ratio):
    pixmap = theme_icon("sheets", make_theme("light")).pixmap(QSize(20, 20), ratio)
    assert pixmap.width() == round(20 * ratio)
    assert pixmap.devicePixelRatio() == ratio


def test_every_stage_and_state_has_its_icon():
    assert {stage.icon for stage in STAGES} <= icon_names()
    assert Mark("confirm").icon in icon_names()
    for how in ("printed", "stated", "inferred", "seen", "measured", "list", "standard"):
        assert f"known_{how}" in icon_names()
