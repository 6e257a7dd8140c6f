"""The style sheet of the desk, made from the roles of the theme: calm, flat, narrow chrome."""

from __future__ import annotations

from PySide6.QtWidgets import QApplication

from loomfolio.desk.theme import ROW_PX, Theme, palette_of

_RULES = """
QToolTip {{ color: {panel}; background: {text}; border: 0; padding: 4px 8px; }}
QMainWindow, #table_place {{ background: {table}; }}
#header {{ background: {panel}; border-bottom: 1px solid {edge}; }}
#rail {{ background: {panel}; border-right: 1px solid {edge}; }}
#ledger {{ background: {panel}; border-left: 1px solid {edge}; }}
#strip {{ background: {panel}; border-top: 1px solid {edge}; }}
#strip_row, #strip QScrollArea {{ background: {panel}; }}
#status {{ background: {panel}; border-top: 1px solid {edge}; }}
#status QLabel, QLabel#second {{ color: {second}; }}
QLabel#head {{ font-size: {head_px}px; font-weight: 600; }}
QLabel#title {{ font-size: {title_px}px; font-weight: 600; }}
#notice {{ background: {notice}; border-bottom: 1px solid {edge}; }}
#notice[tone="stop"] {{ background: {panel}; border-bottom: 2px solid {stop}; }}
#caution {{ background: {caution}; }}
#caution QLabel {{ color: {caution_text}; font-weight: 600; }}
#question {{ background: {panel}; border: 1px solid {doubt}; border-radius: 6px; }}
#finder {{ background: {panel}; border: 1px solid {hairline}; border-radius: 6px; }}

QMenuBar {{ background: transparent; border: 0; padding: 0; spacing: 0; }}
QMenuBar::item {{ padding: {pad}px 10px; background: transparent; border-radius: 4px; }}
QMenuBar::item:selected {{ background: {hover}; }}
QMenu {{ background: {panel}; border: 1px solid {hairline}; padding: 4px 0; }}
QMenu::item {{ padding: 6px 28px 6px 12px; }}
QMenu::item:selected {{ background: {chosen}; color: {text}; }}
QMenu::item:disabled {{ color: {faint}; }}
QMenu::icon {{ padding-left: 10px; }}
QMenu::separator {{ height: 1px; background: {edge}; margin: 4px 0; }}

QToolButton {{ border: 0; border-radius: 4px; padding: 4px; background: transparent; }}
QToolButton:hover {{ background: {hover}; }}
QToolButton:pressed, QToolButton:checked {{ background: {chosen}; }}
QToolButton:focus {{ border: 2px solid {followed}; padding: 2px; }}
QToolButton::menu-indicator {{ image: none; }}
QPushButton {{ border: 1px solid {hairline}; border-radius: 4px; background: {field};
    padding: 0 12px; min-height: {control}px; }}
QPushButton:hover {{ background: {hover}; }}
QPushButton:pressed, QPushButton:checked {{ background: {chosen}; }}
QPushButton:checked {{ border: 1px solid {followed}; }}
QPushButton:focus {{ border: 2px solid {followed}; padding: 0 11px; }}
QPushButton:default {{ background: {followed}; color: {panel}; border-color: {followed}; }}
QPushButton:default:focus {{ border: 2px solid {text}; }}
QPushButton:disabled {{ color: {faint}; background: {panel}; border: 1px solid {edge}; }}

QLineEdit, QComboBox, QSpinBox, QDoubleSpinBox, QPlainTextEdit {{
    border: 1px solid {hairline}; border-radius: 4px; background: {field}; color: {text};
    selection-background-color: {followed}; selection-color: {panel}; }}
QLineEdit, QComboBox, QSpinBox, QDoubleSpinBox {{ min-height: {control}px; padding: 0 8px; }}
QLineEdit:focus, QComboBox:focus, QSpinBox:focus, QPlainTextEdit:focus {{
    border: 2px solid {followed}; }}
QLineEdit:disabled, QComboBox:disabled, QSpinBox:disabled {{ color: {faint}; }}
QTableView QLineEdit, QTableView QComboBox {{ min-height: 0; border-radius: 0; }}
QComboBox::drop-down {{ border: 0; width: 20px; }}
QComboBox::down-arrow {{ image: none; }}
QComboBox QAbstractItemView, QListView {{ background: {panel}; border: 1px solid {hairline};
    selection-background-color: {chosen}; selection-color: {text}; outline: 0; }}
#finder QListView {{ border: 0; }}
QListWidget::item {{ min-height: {pad_row}px; padding: 0 8px; }}
#finder QListWidget::item {{ min-height: 0; padding: 0; }}
QTableWidget::item {{ padding: 0 6px; }}
QCheckBox {{ spacing: 8px; }}

QTableView, QTreeView {{ background: {field}; border: 0; outline: 0; gridline-color: {rule};
    selection-background-color: {chosen}; selection-color: {text}; }}
QHeaderView {{ background: {panel}; }}
QHeaderView::section {{ background: {panel}; color: {second}; border: 0;
    border-bottom: 1px solid {hairline}; padding: 0 8px; font-size: {small_px}px; }}
QHeaderView::section:hover {{ color: {text}; }}
QHeaderView::down-arrow, QHeaderView::up-arrow {{ width: 0; }}
QTableCornerButton::section {{ background: {panel}; border: 0; }}

QScrollBar:vertical {{ background: transparent; width: 12px; margin: 0; }}
QScrollBar:horizontal {{ background: transparent; height: 12px; margin: 0; }}
QScrollBar::handle {{ background: {handle}; border-radius: 3px; margin: 3px; }}
QScrollBar::handle:hover {{ background: {hairline}; }}
QScrollBar::handle:vertical {{ min-height: 32px; }}
QScrollBar::handle:horizontal {{ min-width: 32px; }}
QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
QScrollBar::add-page, QScrollBar::sub-page {{ background: transparent; }}
QAbstractScrollArea::corner {{ background: transparent; border: 0; }}
QSplitter::handle {{ background: {edge}; }}
QSplitter::handle:hover {{ background: {followed}; }}
QProgressBar {{ border: 0; border-radius: 2px; background: {edge}; max-height: 4px; }}
QProgressBar::chunk {{ background: {followed}; border-radius: 2px; }}
"""


def style_sheet(theme: Theme) -> str:
    """Return the style sheet of a theme."""
    shades = theme.colours
    return _RULES.format(
        **{role.replace(" ", "_"): value for role, value in shades.roles.items()},
        second=shades.of("second text"),
        field=theme.field.name(),
        edge=shades.mixed("panel", "hairline", 0.4),
        rule=shades.mixed("panel", "hairline", 0.22),
        hover=shades.mixed("panel", "text", 0.07),
        chosen=shades.mixed("panel", "followed", 0.18),
        handle=shades.mixed("panel", "hairline", 0.6),
        notice=shades.mixed("panel", "followed", 0.1),
        faint=shades.mixed("panel", "text", 0.45),
        small_px=theme.px(12),
        head_px=theme.px(18),
        title_px=theme.px(24),
        control=theme.px(ROW_PX) - 4,
        pad=theme.px(6),
        pad_row=theme.px(28),
    )


def apply_theme(application: QApplication, theme: Theme) -> None:
    """Give the whole program the palette, the font and the style of a theme."""
    application.setStyle("Fusion")
    application.setPalette(palette_of(theme))
    application.setFont(theme.font())
    application.setStyleSheet(style_sheet(theme))
