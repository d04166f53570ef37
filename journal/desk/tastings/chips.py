"""A list made by typing: each entry a chip, a line after them for the next."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from PySide6.QtWidgets import QWidget

from journal.desk.form.suggest import Suggestion
from journal.desk.tastings.chip_line import Chip, ChipLine
from journal.keeping.blind import SampleIdentity

_TYPING = 168


@dataclass(frozen=True)
class ChipEntry:
    """One of the list: what stands on its chip, and what it means."""

    words: str
    means: str | SampleIdentity


class _Chip(Chip):
    """Delete or a click takes it away."""

    def __init__(self, entry: ChipEntry, parent: QWidget | None = None) -> None:
        super().__init__(entry.words, parent)
        self.entry = entry
        self.setAccessibleDescription("Delete removes it")
        self.setToolTip("Click or Delete: remove it.")
        self.clicked.connect(self._on_clicked)

    def _on_clicked(self) -> None:
        self.removed.emit(self)


class ChipsField(ChipLine):
    """`changed` says that an entry came or went; `done` that Enter was pressed with nothing
    typed. A picked suggestion means an Entry."""

    def __init__(
        self,
        name: str,
        hint: str,
        page: QWidget,
        look: Callable[[str], list[Suggestion]],
        *,
        twice: bool = False,
        most: int = 0,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(name, hint, page, look, _TYPING, parent)
        self._twice, self._most = twice, most
        self._entries: list[ChipEntry] = []
        self.list.picked.connect(self.add)

    def entries(self) -> list[ChipEntry]:
        """What is listed."""
        return list(self._entries)

    def names(self) -> list[str]:
        """The names that are listed, in order."""
        return [entry.means for entry in self._entries if isinstance(entry.means, str)]

    def cheeses(self) -> list[SampleIdentity]:
        """The cheeses that are listed, in order."""
        return [entry.means for entry in self._entries if isinstance(entry.means, SampleIdentity)]

    def half_typed(self) -> dict[str, Any]:
        """What is listed and what is typed in the line."""
        return {
            "entries": [
                [
                    entry.words,
                    asdict(entry.means) if isinstance(entry.means, SampleIdentity) else None,
                ]
                for entry in self._entries
            ],
            "line": self.line.text(),
        }

    def recall(self, half: dict[str, Any]) -> None:
        """List and type again what `half_typed` said; raises where that was no such thing."""
        self.show_entries([
            ChipEntry(str(words), str(words) if means is None else SampleIdentity(**means))
            for words, means in half["entries"]
        ])  # fmt: skip
        self.line.setText(str(half["line"]))

    def show_entries(self, entries: Sequence[ChipEntry]) -> None:
        """List these."""
        self._entries = list(entries)
        chips = [_Chip(entry, self) for entry in self._entries]
        for chip in chips:
            chip.removed.connect(self._on_removed)
        self.show_chips(chips)

    def add(self, entry: ChipEntry) -> None:
        """Add one; the same again only where that is meant."""
        self.line.clear()
        known = [e.means for e in self._entries]
        if entry.means in known and (not self._twice or known.count(entry.means) > 1):
            return
        saved = self._entries[-(self._most - 1) :] if self._most > 1 else self._entries
        full = self._most and len(self._entries) >= self._most
        self.show_entries([*(saved if full else self._entries), entry])
        self.line.setFocus()
        self.changed.emit()

    def _on_removed(self, chip: _Chip) -> None:
        at = self._chips.index(chip)
        self.show_entries([e for i, e in enumerate(self._entries) if i != at])
        self.line.setFocus()
        self.changed.emit()
