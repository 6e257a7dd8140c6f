"""The look as it reaches Qt: palette, fonts, measures, style."""

import pytest
from PySide6.QtGui import QFontInfo, QFontMetrics, QPalette
from PySide6.QtWidgets import QApplication, QLabel, QPushButton

from loomfolio.basics import asset_path
from loomfolio.desk.colours import ROLES, contrast
from loomfolio.desk.style import apply_theme, style_sheet
from loomfolio.desk.theme import make_theme, palette_of

THEMES = ["light", "dark"]


@pytest.mark.parametrize("name", THEMES)
def test_text_is_clear_wherever_qt_writes(qapp, name):
    palette = palette_of(make_theme(name))
    role = QPalette.ColorRole
    for ink, ground in (
        (role.WindowText, role.Window),
        (role.Text, role.Base),
        (role.ButtonText, role.Button),
        (role.PlaceholderText, role.Base),
        (role.HighlightedText, role.Highlight),
        (role.ToolTipText, role.ToolTipBase),
    ):
        pair = palette.color(ink).name(), palette.color(ground).name()
        assert contrast(*pair) >= 4.5, (ink, ground)


@pytest.mark.parametrize("name", THEMES)
def test_chosen_rows_stay_readable(qapp, name):
    theme = make_theme(name)
    chosen = theme.tint("panel", "followed", 0.18).name()
    for role in ("text", "second text", "doubt", "confirmed", "stop"):
        assert contrast(theme.colour(role).name(), chosen) >= 3.0
    assert contrast(theme.colour("text").name(), chosen) >= 7.0


def test_the_paper_keeps_the_light_set_in_the_dark(qapp):
    theme = make_theme("dark")
    assert theme.on_paper("followed") == make_theme("light").colour("followed")
    assert make_theme("light", is_paper_dark=True).on_paper("text") == theme.colour("text")


@pytest.mark.parametrize(("asked", "got"), [(0.5, 1.0), (1.3, 1.3), (7.0, 2.0)])
def test_text_scales_between_its_limits(qapp, asked, got):
    theme = make_theme("light", scale=asked)
    assert theme.scale == got
    assert theme.font("body").pixelSize() == round(14 * got)


def test_our_own_fonts_are_used_where_they_are_bundled(qapp):
    assert list(asset_path("fonts").glob("*.ttf"))
    assert "Hyperlegible" in QFontInfo(make_theme("light").font()).family()
    assert "Mono" in QFontInfo(make_theme("light").font(is_mono=True)).family()


def test_pin_keys_stand_under_each_other(qapp):
    metrics = QFontMetrics(make_theme("light").font(is_mono=True))
    assert len({metrics.horizontalAdvance(figure) for figure in "0123456789:. "}) == 1


def test_letters_and_figures_are_told_apart(qapp):
    """1 l I, 0 O, 8 B differ as pictures in the mono of pin keys."""
    from PySide6.QtGui import QImage, QPainter

    def picture(letter):
        image = QImage(40, 40, QImage.Format.Format_Grayscale8)
        image.fill(255)
        painter = QPainter(image)
        painter.setFont(make_theme("light", scale=2.0).font(is_mono=True))
        painter.drawText(4, 32, letter)
        painter.end()
        return bytes(image.constBits())

    letters = "1lI|0O8B5S2Z"
    assert len({picture(letter) for letter in letters}) == len(letters)


@pytest.mark.parametrize("name", THEMES)
def test_the_style_knows_no_colour_of_its_own(qapp, name):
    theme = make_theme(name)
    rules = style_sheet(theme)
    assert "{" in rules
    assert all(theme.colours.of(role).startswith("#") for role in ROLES)
    assert theme.colours.of("followed") in rules


def test_no_source_file_of_the_desk_holds_a_colour():
    import re
    from pathlib import Path

    import loomfolio.desk

    sources = Path(loomfolio.desk.__file__).parent.rglob("*.py")
    # Black and white are the scan's own, and no colours of ours.
    colour = re.compile(r"#(?!000000|[fF]{6})[0-9A-Fa-f]{6}\b")
    coloured = {path.name for path in sources if colour.search(_code_of(path))}
    assert coloured == set()


def _code_of(path):
    """The code of a module: no docstrings, no comments."""
    import ast

    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        body = getattr(node, "body", None)
        if isinstance(body, list):
            node.body = [n for n in body if not _is_docstring(n)] or [ast.Pass()]
    return ast.unparse(tree)


def _is_docstring(node):
    import ast

    return (
        isinstance(node, ast.Expr)
        and isinstance(node.value, ast.Constant)
        and isinstance(node.value.value, str)
    )


@pytest.fixture
def undressed(qapp):
    """The program's own look comes back after the test."""
    before = qapp.palette(), qapp.font(), qapp.styleSheet()
    yield qapp
    qapp.setStyleSheet(before[2])
    qapp.setPalette(before[0])
    qapp.setFont(before[1])


@pytest.mark.parametrize("name", THEMES)
def test_widgets_take_the_theme(qtbot, undressed, name):
    theme = make_theme(name)
    apply_theme(QApplication.instance(), theme)
    label, button = QLabel("words"), QPushButton("do it")
    for widget in (label, button):
        qtbot.addWidget(widget)
        widget.show()
    assert label.palette().color(QPalette.ColorRole.WindowText) == theme.colour("text")
    assert button.height() >= 28
