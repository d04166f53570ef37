"""What was said at the vat is kept and not said again."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QSettings

from journal.curves.events import Event
from journal.curves.shown_events import NEWS_MIN, Acknowledged
from journal.desk.vat.acknowledged import acknowledged_of, save_acknowledged
from journal.message import Message

MINUTE = 60_000
ZERO = 1_760_000_000_000


def outside(since: float, minutes: float, *, lasts: bool = True) -> Event:
    return Event(
        "outside", ZERO + round(since * MINUTE), minutes, -1.2, -1.5, Message("Below."), lasts
    )


def at(minutes: float) -> int:
    return ZERO + round(minutes * MINUTE)


def test_one_that_goes_on_is_told_once_also_when_its_begin_moves() -> None:
    acknowledged = Acknowledged().with_shown([outside(10, 4)], at(14))
    for event in (outside(10, 4), outside(8, 11)):
        assert acknowledged.news([event], at(19)) == [event]
    acknowledged = acknowledged.dismissed()
    for event in (outside(10, 9), outside(8, 11), outside(12, 20, lasts=False)):
        acknowledged = acknowledged.with_shown([event], at(20))
        assert acknowledged.news([event], at(20)) == []
    later = outside(60, 5)
    assert acknowledged.with_shown([later], at(65)).news([later], at(65)) == [later]


def test_another_kind_at_the_same_time_is_another_thing() -> None:
    slow = replace(outside(10, 12), kind="lagging", mean_c=None, worst_c=None)
    acknowledged = (
        Acknowledged().with_shown([outside(10, 4)], at(14)).dismissed().with_shown([slow], at(22))
    )
    assert acknowledged.news([outside(10, 12), slow], at(22)) == [slow]


def test_news_grows_old_and_what_was_long_over_is_none() -> None:
    acknowledged = Acknowledged().with_shown([outside(10, 4)], at(14))
    assert acknowledged.news([outside(10, 14)], at(14 + NEWS_MIN)) == []
    over = outside(10, 5, lasts=False)
    assert Acknowledged().with_shown([over], at(18)).news([over], at(18)) == [over]
    assert Acknowledged().with_shown([over], at(30)).news([over], at(30)) == []


def test_it_outlives_the_window_and_old_makes_are_let_go(tmp_path) -> None:
    path = str(tmp_path / "settings.ini")
    saved = QSettings(path, QSettings.Format.IniFormat)
    acknowledged = Acknowledged().with_shown([outside(10, 4)], at(14)).turning(7, at(20))
    for count in range(9):
        save_acknowledged(saved, f"make {count}", replace(acknowledged, slow=count % 2 == 0))
    saved.sync()
    again = QSettings(path, QSettings.Format.IniFormat)
    assert acknowledged_of(again, "make 8") == replace(acknowledged, slow=True)
    assert acknowledged_of(again, "make 8").turned_at(7) == at(20)
    assert acknowledged_of(again, "make 0") == Acknowledged()
    again.setValue("vat/heard", "not ours")
    assert acknowledged_of(again, "make 8") == Acknowledged()
