"""The profile of the wheel shown: the best ever of a plan with many makes comes a moment later."""

from __future__ import annotations

from PySide6.QtCore import QObject

from journal.background import State
from journal.desk.place import Desk
from journal.desk.room.wheel_page import WheelPage
from journal.keeping import Journal
from journal.reports.profile import Profile, profile_of

FEW = 200  # makes of a plan among which the best is found at once
_WORK = "profile"


class ProfileController(QObject):
    """Shows it on the page of the wheel."""

    def __init__(self, desk: Desk, page: WheelPage, parent: QObject) -> None:
        super().__init__(parent)
        self._desk, self._page = desk, page

    def show(self, wheel_id: int) -> None:
        """Show the profile of a wheel."""
        journal, work = self._desk.journal, self._desk.work
        at_once = journal.sessions.makes_of_its_plan(wheel_id) <= FEW
        profile = profile_of(journal, wheel_id, best=at_once)
        self._page.show_profile(profile)
        if at_once or profile is None:
            self.stop()
        else:
            task = work.start_file(_WORK, str(journal.path), _whole_profile, wheel_id)
            task.finished.connect(self._page.show_profile)

    def stop(self) -> None:
        """No wheel is shown: nothing is looked for."""
        self._desk.work.stop(_WORK)


def _whole_profile(journal: Journal, wheel_id: int, _state: State) -> Profile | None:
    return profile_of(journal, wheel_id)
