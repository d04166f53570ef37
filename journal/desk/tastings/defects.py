"""Defects in trade terms: typed and picked, each with its strength, in a row that wraps."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import lru_cache

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from journal.desk.form.chips import Chip, ChipLine
from journal.desk.form.suggest import Suggestion
from journal.desk.labels import plain_tip
from journal.records.own_files import own_file
from journal.records.tastings import STRENGTHS
from journal.wording import worded
from journal.wording.languages import translated

_TYPING = 132
_GROUPS = {"body_texture": "body and texture"}


@dataclass(frozen=True)
class DefectTerm:
    """A defect as the trade calls it, with its group and what is meant."""

    group: str
    term: str
    gloss: str


@lru_cache(maxsize=1)
def terms() -> tuple[DefectTerm, ...]:
    """The defects of the program's own table, in its order."""
    with own_file("tables", "defect_terms.csv").open(encoding="utf-8", newline="") as file:
        return tuple(
            DefectTerm(row["group"], row["term"], row["gloss"]) for row in csv.DictReader(file)
        )


def split_strength(text: str) -> tuple[str, str]:
    """The strength named before or after a term ("slight bitter"), and the rest; usual: definite.

    A strength counts once it is written out.
    """
    words = text.lower().replace(",", " ").split()
    named = [word for word in words if word in STRENGTHS]
    rest = " ".join(word for word in words if word not in STRENGTHS)
    return (named[0] if named else "definite"), rest


def fitting(text: str) -> list[Suggestion]:
    """What could be meant by a text: terms that begin so, then those that hold it."""
    strength, wanted = split_strength(text)
    begins = [t for t in terms() if t.term.startswith(wanted)]
    holds = [t for t in terms() if t not in begins and wanted in f"{t.term} {t.gloss}".lower()]
    if not begins and not holds:
        return [Suggestion("No such defect", "describe it in the notes below", None)]
    return [
        Suggestion(
            t.term if strength == "definite" else f"{t.term}, {strength}",
            f"{_GROUPS.get(t.group, t.group)}: {t.gloss}",
            (t.group, t.term, strength),
        )
        for t in [*begins, *holds]
    ]


class DefectChip(Chip):
    """A defect that was found. Space or a click changes its strength, Delete takes it away."""

    stronger = Signal(object)

    def __init__(self, mark: tuple[str, str, str], parent: QWidget | None = None) -> None:
        super().__init__(f"{mark[1]}, {mark[2]}", parent)
        self.mark = mark
        self.setAccessibleName(worded("desk.defect-chip", term=mark[1], strength=mark[2]))
        self.setAccessibleDescription(translated("Space changes the strength, Delete removes it"))
        self.setToolTip(plain_tip("Click or Space: how strong. Delete: remove it."))
        self.clicked.connect(self._on_clicked)

    def _on_clicked(self) -> None:
        self.stronger.emit(self.mark)


class DefectsField(ChipLine):
    """The defects found, and a line to type the next."""

    def __init__(self, page: QWidget, parent: QWidget | None = None) -> None:
        super().__init__("Defect", "type a defect", page, fitting, _TYPING, parent)
        self._marks: list[tuple[str, str, str]] = []
        self._defects: list[DefectChip] = []
        self.list.picked.connect(self._on_picked)

    def marks(self) -> tuple[tuple[str, str, str], ...]:
        """The defects found: group, term, strength."""
        return tuple(self._marks)

    def show_marks(self, marks: tuple[tuple[str, str, str], ...]) -> None:
        """Show these defects."""
        self._marks = list(marks)
        focused = next((c.mark[1] for c in self._defects if c.hasFocus()), None)
        self._defects = [DefectChip(mark, self) for mark in self._marks]
        for chip in self._defects:
            chip.stronger.connect(self._on_stronger)
            chip.removed.connect(self._on_removed)
        self.show_chips(self._defects)
        for chip in self._defects:
            if chip.mark[1] == focused:
                chip.setFocus()

    def _on_picked(self, mark: tuple[str, str, str]) -> None:
        others = tuple(m for m in self._marks if m[:2] != mark[:2])
        self.line.clear()
        self.show_marks((*others, mark))
        self.line.setFocus()
        self.changed.emit()

    def _on_stronger(self, mark: tuple[str, str, str]) -> None:
        after = STRENGTHS[(STRENGTHS.index(mark[2]) + 1) % len(STRENGTHS)]
        self.show_marks(tuple((*m[:2], after) if m == mark else m for m in self._marks))
        self.changed.emit()

    def _on_removed(self, chip: DefectChip) -> None:
        self.show_marks(tuple(m for m in self._marks if m != chip.mark))
        self.line.setFocus()
        self.changed.emit()
