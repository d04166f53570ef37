"""How long the first visit to each place holds the window up, and how soon its lists are usable
with many makes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

from tests.pace.journals import Journals
from tests.pace.ratio import Ratio, in_turn

LISTS = (("makes", "Makes", 1.5), ("room", "Ageing", 1.5), ("findings", "Findings", None))


def measure(journals: Journals, rounds: int) -> Iterator[Ratio]:
    """First visits in a new window each round, its modules loaded as the window that stands has
    them; then the same place on a small and on a large journal."""
    from journal.desk.places import PLACES

    for entry in PLACES:
        import_module(entry.module)
    yield from _first_visits(journals, min(rounds, 5))
    for key, title, promise in LISTS:
        many, few = (_Visit(journals.of(n), journals.folder, key) for n in _both(journals))
        name = f"{title} with {journals.large:,} makes, to {journals.small}"
        yield in_turn(name, many, few, min(rounds, 5), promise)


def _both(journals: Journals) -> tuple[int, int]:
    return journals.large, journals.small


def _first_visits(journals: Journals, rounds: int) -> Iterator[Ratio]:
    from journal.desk.places import PLACES
    from tests.pace.bare import first_frame, sketches
    from tests.pace.desk import PacedWindow

    held: dict[str, list[float]] = defaultdict(list)
    bare: dict[str, list[float]] = defaultdict(list)
    for turn in range(rounds + 1):
        paced = PacedWindow(journals.of(journals.small), journals.folder / "visits.ini")
        for entry in PLACES[1:]:
            hold = paced.hold(entry.key)
            frame = first_frame(sketches(paced.window.current))
            if turn:  # the first warms up
                held[entry.title].append(hold)
                bare[entry.title].append(frame)
        paced.close()
    for title, hold in held.items():
        yield Ratio(f"the longest the first visit to {title} holds the window up, to a bare frame",
                    hold, bare[title], 2.0)  # fmt: skip


class _Visit:
    """A new window each time, and its first visit to one place until it takes keys."""

    def __init__(self, path: Path, folder: Path, place: str) -> None:
        self._path, self._place = path, place
        self._settings = folder / f"{path.stem}-{place}.ini"

    def __call__(self) -> float:
        from tests.pace.desk import PacedWindow

        paced = PacedWindow(self._path, self._settings)
        took = paced.reach(self._place)
        paced.close()
        return took
