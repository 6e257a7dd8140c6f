"""A state is a form first: every two forms differ in black and white, at the smallest size drawn."""

from itertools import combinations

import numpy as np
import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QFont, QImage, QPainter

from loomfolio.desk.table import forms

BLACK, WHITE = QColor("black"), QColor("white")
MIDDLE = QPointF(20, 20)
SIDE = 40
FORMS = {
    "square": lambda p: forms.paint_square(p, MIDDLE, 8, BLACK, WHITE),
    "brackets": lambda p: forms.paint_brackets(p, MIDDLE, 12, BLACK, WHITE),
    "diamond": lambda p: forms.paint_diamond(p, MIDDLE, 14, BLACK, WHITE, QFont()),
    "tick": lambda p: forms.paint_tick(p, MIDDLE, 8, BLACK, WHITE),
    "cross": lambda p: forms.paint_cross(p, MIDDLE, 8, BLACK, WHITE),
    "ring": lambda p: forms.paint_ring(p, MIDDLE, 6, BLACK, 2),
    "chevron": lambda p: forms.paint_chevron(p, MIDDLE, 0.0, 11, BLACK, WHITE),
    "half arrow": lambda p: forms.paint_half_arrow(p, MIDDLE, 0.0, 6, BLACK, WHITE),
    "slash": lambda p: forms.paint_slash(p, MIDDLE, 9, BLACK, WHITE),
}
pytestmark = pytest.mark.usefixtures("qapp")


def ink_of(paint):
    """Which px a form blackens: bool (40, 40)."""
    image = QImage(SIDE, SIDE, QImage.Format.Format_Grayscale8)
    image.fill(Qt.GlobalColor.white)
    with QPainter(image) as painter:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        paint(painter)
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(SIDE, image.bytesPerLine())
    return rows[:, :SIDE] < 128


@pytest.mark.parametrize(("one", "other"), list(combinations(FORMS, 2)))
def test_two_forms_are_told_apart_without_colour(one, other):
    a, b = ink_of(FORMS[one]), ink_of(FORMS[other])
    assert a.any()
    assert (a & b).sum() < 0.65 * (a | b).sum()


def test_a_form_stands_on_a_rim_of_paper():
    def over_print(painter):
        painter.fillRect(0, 0, SIDE, SIDE, BLACK)
        forms.paint_square(painter, MIDDLE, 8, BLACK, WHITE)

    ink = ink_of(over_print)
    assert ink[20, 20]
    assert not ink[20, 15]
    assert ink[20, 10]


@pytest.mark.parametrize(
    ("angle", "tip"), [(0.0, (20, 24)), (np.pi, (20, 16)), (np.pi / 2, (24, 20))]
)
def test_a_chevron_points_where_the_way_goes(angle, tip):
    ink = ink_of(lambda p: forms.paint_chevron(p, MIDDLE, angle, 11, BLACK, WHITE))
    row, column = tip
    assert ink[row - 1 : row + 2, column - 1 : column + 2].any()
    behind = (40 - row, 40 - column)
    assert not ink[behind[0] - 1 : behind[0] + 1, behind[1] - 1 : behind[1] + 1].all()
