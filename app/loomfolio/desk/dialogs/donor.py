"""A donor loom held against the gaps: what it covers and leaves open, what differs, what must follow."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHeaderView, QLabel, QTreeWidget, QTreeWidgetItem, QWidget

from loomfolio.basics import LoomfolioError
from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.desk.icons import theme_icon
from loomfolio.desk.theme import Theme
from loomfolio.project import PinKey, Project, Specimen, pin_text
from loomfolio.retrofit import DonorCover, Ends, Gap, Node

CoverOf = Callable[[Specimen], DonorCover]
_GAP = Qt.ItemDataRole.UserRole


@dataclass(frozen=True, slots=True)
class Section:
    """One answer about a donor: its head, the sign beside it, a line for each thing, and the gaps behind the lines."""

    head: str
    sign: str
    lines: tuple[str, ...]
    gaps: tuple[str, ...] = ()


def sections_of(project: Project, cover: DonorCover) -> tuple[Section, ...]:
    """Return what is told of a donor, section by section; those with nothing in them say so."""

    def leads(ends: Iterable[Ends]) -> tuple[str, ...]:
        return tuple(" to ".join(_node_text(project, node) for node in one) for one in ends)

    def gaps(found: Sequence[Gap]) -> tuple[str, ...]:
        return tuple(
            gap.sentence + ("" if gap.in_scope else "  (outside the scope)") for gap in found
        )

    return (
        Section("Covers", "confirm", gaps(cover.covered), _keys(cover.covered)),
        Section("Leaves open", "gaps", gaps(cover.left_open), _keys(cover.left_open)),
        Section(
            "Goes over whole only",
            "caution",
            tuple(cable.sentence for cable in cover.whole_only),
        ),
        Section("Has too much: the target has these nowhere", "apart", leads(cover.excess)),
        Section("Doubled: this vehicle has these already", "copy", leads(cover.doubled)),
        Section(
            "Connectors that differ",
            "mates",
            tuple(one.sentence for one in cover.differing),
        ),
        Section(
            "Looms that must follow if this one is swapped",
            "follow",
            tuple(one.sentence for one in cover.following),
        ),
    )


def _keys(gaps: Iterable[Gap]) -> tuple[str, ...]:
    return tuple(gap.key for gap in gaps)


def _node_text(project: Project, node: Node) -> str:
    if isinstance(node, PinKey):
        return pin_text(project, node)
    names = {part.id: part.name for part in project.parts}
    return names.get(node, node)


class DonorDialog(FormDialog):
    """One donor loom after the other; a double click, or the button, leads to the gap on the sheets."""

    def __init__(
        self, project: Project, cover_of: CoverOf, theme: Theme, parent: QWidget | None = None
    ) -> None:
        super().__init__(
            "Donor loom",
            "The loom's leads as the documents have them, corrected by its own survey, against the gaps that stand "
            "open. What it covers is still a gap until the work is done.",
            "Go to this gap",
            parent,
        )
        self._project, self._cover_of, self._theme = project, cover_of, theme
        self._looms = [one for one in project.specimens if one.kind == "donor loom"]
        self.loom = ChoiceBox(self)
        for one in self._looms:
            self.loom.addItem(one.name, one.id)
        fields_of(self).addRow("Loom", self.loom)
        self.told = QLabel(self)
        self.told.setWordWrap(True)
        self.tree = QTreeWidget(self)
        self.tree.setHeaderHidden(True)
        self.tree.setWordWrap(True)
        self.tree.setIndentation(theme.px(20))
        self.tree.header().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.tree.currentItemChanged.connect(self._enable)
        self.tree.itemDoubleClicked.connect(lambda *_: self._go())
        self.body.addWidget(self.told)
        self.body.addWidget(self.tree, 1)
        self.leave.setText("Close")
        self.loom.currentIndexChanged.connect(self._show)
        self._show()
        self.resize(theme.px(820), theme.px(680))

    @property
    def gap(self) -> str | None:
        """The key of the gap whose line is chosen."""
        item = self.tree.currentItem()
        key = item.data(0, _GAP) if item is not None else None
        return key if isinstance(key, str) else None

    def _go(self) -> None:
        if self.gap is not None:
            self.accept()

    def _enable(self) -> None:
        self.go.setEnabled(self.gap is not None)

    def _show(self) -> None:
        self.tree.clear()
        self._enable()
        try:
            cover = self._cover_of(self._looms[max(self.loom.currentIndex(), 0)])
        except LoomfolioError as error:
            self.told.setText(str(error))
            return
        total = len(cover.covered) + len(cover.left_open)
        self.told.setText(f"<b>Covers {len(cover.covered)} of {total} open gaps.</b>")
        for section in sections_of(self._project, cover):
            self._add(section)

    def _add(self, section: Section) -> None:
        head = QTreeWidgetItem([f"{section.head}   {len(section.lines) or 'none'}"])
        font = self._theme.font("body", is_bold=True)
        head.setFont(0, font)
        head.setIcon(0, theme_icon(section.sign, self._theme))
        head.setFlags(Qt.ItemFlag.ItemIsEnabled)
        self.tree.addTopLevelItem(head)
        for number, words in enumerate(section.lines):
            line = QTreeWidgetItem([words])
            line.setToolTip(0, words)
            if section.gaps:
                line.setData(0, _GAP, section.gaps[number])
            head.addChild(line)
        head.setExpanded(True)
