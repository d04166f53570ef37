"""The other versions of the current plan: which there are, and what is new against one of them."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QObject, Signal

from journal.desk.plans.author import Author
from journal.desk.plans.page import PlansPage
from journal.exchange.plan_files import newer_builtin
from journal.keeping import Journal
from journal.records.plans import Plan
from journal.wording import worded
from journal.wording.plan_changes import differences


class VersionsController(QObject):
    """Knows the other versions of the current plan, and compares it with one of them. `turned`
    says that another one is compared now, or none. `along` are the plans that come along."""

    turned = Signal()

    def __init__(
        self,
        journal: Journal,
        along: Sequence[Plan],
        author: Author,
        page: PlansPage,
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._journal = journal
        self._along = along
        self._author = author
        self._page = page
        self._at = -1
        page.compare_asked.connect(self.turn)
        page.compare.stepped.connect(self.step)
        page.compare.left.connect(self.turn)

    def has_older(self) -> bool:
        """There is a version to compare with."""
        draft = self._author.settled
        numbers = self._journal.plans.version_numbers(draft.from_name) if draft.from_name else []
        numbers = numbers or [p.version for p in self._along if p.name == draft.from_name]
        return any(self._author.is_draft or n < draft.from_version for n in numbers)

    def newer(self) -> Plan | None:
        """The plan as Vatside brings it now, where the journal has it as an earlier one brought it
        and nothing is written."""
        if self._author.is_draft or not self._author.key.startswith("plan:"):
            return None
        return newer_builtin(self._journal, self._author.settled.from_name, self._along)

    def has_newer(self) -> bool:
        """The journal has the plan as an earlier Vatside brought it, and nothing is written."""
        return self.newer() is not None

    def turn(self) -> None:
        """Show what is new against the version before, or the stages again."""
        self._page.finish()
        older = self._older()
        self._at = len(older) - 1 if not self._page.comparing and older else -1
        self._page.show_compare(self._at >= 0)
        self.turned.emit()

    def step(self, by: int) -> None:
        """Compare with an earlier (-1) or a later version."""
        self._at = min(max(self._at + by, 0), len(self._older()) - 1)
        self.turned.emit()

    def compared(self, plan: Plan | None) -> Plan | None:
        """The older plan, shown beside `plan`; None while nothing is compared."""
        if not self._page.comparing or plan is None:
            return None
        versions = self._older()
        if not 0 <= self._at < len(versions):
            return None
        older = versions[self._at]
        which = "desk.this-draft" if self._author.is_draft else "wording.version"
        newer = worded(which, version=plan.version)
        found = differences(older, plan)
        self._page.compare.show_differences(
            found, worded("wording.version", version=older.version), newer
        )
        self._page.say_difference(self._page.compare.table.current())
        return older

    def _older(self) -> list[Plan]:
        """The versions this one can be compared with, oldest first."""
        draft = self._author.settled
        versions = self._journal.plans.versions(draft.from_name) if draft.from_name else []
        if not versions:
            versions = [p for p in self._along if p.name == draft.from_name]
        if self._author.is_draft:
            return versions
        return [v for v in versions if v.version < draft.from_version]
