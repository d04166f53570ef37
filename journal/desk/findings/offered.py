"""What can be asked about: the scores that were given, then the defects that were named."""

from __future__ import annotations

from collections import Counter

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QWidget

from journal.findings.defect_table import LEAST_NAMED
from journal.keeping import Journal
from journal.reports.study import DEFECT
from journal.wording.counts import counted


def offered(journal: Journal) -> dict[str, int]:
    """The scores with how many there are, then the defects with on how many cards."""
    found = dict(journal.sessions.attributes())
    named = Counter(term for _, _, term in set(journal.sessions.named_defects()))
    for term, count in sorted(named.items(), key=_most_named):
        if count >= LEAST_NAMED:
            found[f"{DEFECT}{term}"] = count
    return found


def menu_of(journal: Journal, chosen: str, parent: QWidget) -> QMenu:
    """A menu of them, the chosen one marked; each action carries its name."""
    menu = QMenu(parent)
    menu.setAccessibleName("Scores and defects")
    for name, count in offered(journal).items():
        noun = "sample" if name.startswith(DEFECT) else "score"
        action = QAction(f"{name}   {counted(count, noun)}", menu)
        action.setData(name)
        action.setCheckable(True)
        action.setChecked(name == chosen)
        menu.addAction(action)
        if name == chosen:
            menu.setActiveAction(action)
    return menu


def _most_named(named: tuple[str, int]) -> tuple[int, str]:
    return -named[1], named[0]
