"""What two copies of a journal are together: the same, whichever of them is asked.

Every column of a row is what was written to it last, by the acts of both. Of what both wrote since
they parted, without knowing of each other, the later stands and the other is named.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from journal.keeping.makes import letter
from journal.keeping.merge_side import (
    CODED,
    LISTED,
    Cells,
    MergeSide,
    RowsByTable,
    Write,
    referrers,
    unknown_to,
)
from journal.records.tastings import OPEN

# What there is one of, whoever wrote it down.
_ONE_OF = {
    "score": ("sample_id", "assessor_id", "attribute"),
    "serving": ("sample_id", "assessor_id"),
    "defect_mark": ("sample_id", "assessor_id", "group", "term"),
}


@dataclass(frozen=True)
class TwoValues:
    """What both wrote and only one can stand.

    Attributes
    ----------
    noun, uuid, column : str
        The row, and the column.
    about : str
        What a person knows it by: the code of its make or wheel, a name.
    stands, other : Any
        Both values; a reference is what a person knows the other row by.
    from_here : bool
        Whether what stands is the receiving journal's own.
    hidden : bool
        It is of a session or test that is hidden: nothing of it is told.
    """

    noun: str
    uuid: str
    column: str
    about: str
    stands: Any
    other: Any
    from_here: bool
    hidden: bool = False


@dataclass(frozen=True)
class Stay:
    """A row that one side deleted, and that stays, as the other changed it or needs it."""

    noun: str
    uuid: str
    about: str
    deleted_here: bool


@dataclass(frozen=True)
class Renamed:
    """A code, or the version of the plan `name`, that both gave away, and what the later one is
    called now."""

    noun: str
    uuid: str
    was: str
    now: str
    name: str = ""


class Merged:
    """The rows of both.

    Attributes
    ----------
    rows : dict
        As a side has them.
    needed : set of str
        The UUIDs of makes that have readings.
    """

    def __init__(self, here: MergeSide, there: MergeSide, needed: Iterable[str]) -> None:
        self._here, self._there = here, there
        self.rows: RowsByTable = {}
        self.differences: list[TwoValues] = []
        self.stay: list[Stay] = []
        self.renamed: list[Renamed] = []
        self.values: dict[tuple[str, str, str], Any] = {}  # of a difference, what does not stand
        self._dropped: RowsByTable = {}
        self._deleted: dict[tuple[str, str], str] = {}  # rows that one side deleted: by which act
        for table in LISTED:
            self._join(table)
        self._bring_back(needed)
        for table, key in _ONE_OF.items():
            self._one_of(table, key)
        self._rename_makes()
        self._rename_wheels()
        self._rename_plans()

    # Rows

    def _join(self, table: str) -> None:
        ours, theirs = self._here.rows[table], self._there.rows[table]
        rows = self.rows[table] = {}
        dropped = self._dropped[table] = {}
        for uuid in dict.fromkeys((*ours, *theirs)):
            if uuid in ours and uuid in theirs:
                same = ours[uuid] == theirs[uuid]
                rows[uuid] = dict(ours[uuid]) if same else self._cells(table, uuid)
                continue
            having, lacking = self._sides(uuid in ours)
            kept = having.rows[table][uuid]
            into = dropped if self._was_deleted(table, uuid, having, lacking) else rows
            into[uuid] = dict(kept)

    def _sides(self, ours: bool) -> tuple[MergeSide, MergeSide]:
        return (self._here, self._there) if ours else (self._there, self._here)

    def _was_deleted(self, table: str, uuid: str, having: MergeSide, lacking: MergeSide) -> bool:
        gone = lacking.writes(table, uuid).gone
        if not unknown_to(having, gone):
            return False  # it is new there, or it was settled before that it stays
        self._deleted[table, uuid] = gone.act if gone is not None else ""
        written = having.writes(table, uuid).cells.values()
        if not any(unknown_to(lacking, write) for write in written):
            return True
        self._say_stay(table, uuid, having)
        return False

    def _say_stay(self, table: str, uuid: str, having: MergeSide) -> None:
        row = having.rows[table][uuid]
        about = "" if _is_hidden(table, row, having) else _about(table, row, having)
        self.stay.append(Stay(table, uuid, about, having is not self._here))

    def _cells(self, table: str, uuid: str) -> Cells:
        """The columns of a row that differs."""
        ours, theirs = self._here.rows[table][uuid], self._there.rows[table][uuid]
        one, two = self._here.writes(table, uuid).cells, self._there.writes(table, uuid).cells
        found: Cells = {}
        for column in dict.fromkeys((*ours, *theirs)):
            mine, other = ours.get(column), theirs.get(column)
            if mine == other and type(mine) is type(other):
                found[column] = mine
                continue
            a, b = one.get(column), two.get(column)
            a_new, b_new = unknown_to(self._there, a), unknown_to(self._here, b)
            if a_new != b_new:
                from_here = a_new
            elif a is not None and b is not None and a != b:
                from_here = a > b
            else:  # the history does not say: the row with the later time
                from_here = _weight(ours) > _weight(theirs)
            found[column] = mine if from_here else other
            if a_new == b_new and (a_new or a == b):
                self._differ(table, uuid, column, from_here=from_here, other_uuid=uuid)
        return found

    def _differ(
        self, table: str, uuid: str, column: str, *, from_here: bool, other_uuid: str
    ) -> None:
        stands, other = self._sides(from_here)
        row, loser = stands.rows[table][uuid], other.rows[table][other_uuid]
        self.values[table, uuid, column] = loser[column]
        hidden = _is_hidden(table, row, stands) or _is_hidden(table, loser, other)
        about, one, two = ("", None, None) if hidden else (
            _about(table, row, stands), _shown(stands, table, column, row[column]),
            _shown(other, table, column, loser[column]),
        )  # fmt: skip
        self.differences.append(TwoValues(table, uuid, column, about, one, two, from_here, hidden))

    def _bring_back(self, needed: Iterable[str]) -> None:
        """What is needed stays, whoever deleted it: a row that others refer to, and the parts that
        went with a row that stays."""
        wanted = {("make", uuid) for uuid in needed if uuid in self._dropped["make"]}
        while True:
            wanted |= self._referred_to()
            for table, uuid in sorted(wanted):
                self.rows[table][uuid] = self._dropped[table].pop(uuid)
                self._say_stay(table, uuid, self._sides(uuid in self._here.rows[table])[0])
            parts = self._parts()
            for table, uuid in parts:
                self.rows[table][uuid] = self._dropped[table].pop(uuid)
            if not wanted and not parts:
                return
            wanted = set()

    def _referred_to(self) -> set[tuple[str, str]]:
        gone = {table for table, rows in self._dropped.items() if rows}
        return {
            (parent, cells[column])
            for table, column, parent in referrers(self._here, gone)
            for cells in self.rows[table].values()
            if cells[column] in self._dropped[parent]
        }

    def _parts(self) -> set[tuple[str, str]]:
        """Rows that the same act deleted as one that stays, and that belong to it."""
        found = set()
        for table, column, parent in referrers(self._here, LISTED):
            for uuid, cells in self._dropped[table].items():
                above = (parent, cells[column])
                stays = cells[column] in self.rows[parent] and above in self._deleted
                if stays and self._deleted[above] == self._deleted[table, uuid]:
                    found.add((table, uuid))
        return found

    def _one_of(self, table: str, key: tuple[str, ...]) -> None:
        """Where both wrote down what there is one of, the later stands."""
        groups: dict[tuple[Any, ...], list[str]] = {}
        for uuid, cells in self.rows[table].items():
            groups.setdefault(tuple(cells[column] for column in key), []).append(uuid)
        for group in groups.values():
            ours = [uuid for uuid in group if uuid in self._here.rows[table]]
            theirs = [uuid for uuid in group if uuid in self._there.rows[table]]
            if len(group) == 1 or len(group) in (len(ours), len(theirs)):
                continue
            *earlier, stands = sorted(group, key=lambda uuid: (self._last(table, uuid), uuid))
            for uuid in earlier:
                self._say_one(table, stands, uuid)
                del self.rows[table][uuid]

    def _say_one(self, table: str, stands: str, uuid: str) -> None:
        from_here = uuid not in self._here.rows[table]
        winner, loser = self._sides(from_here)
        if stands not in winner.rows[table] or uuid not in loser.rows[table]:
            return
        news = (winner.writes(table, stands).last, loser.writes(table, uuid).last)
        if unknown_to(loser, news[0]) == unknown_to(winner, news[1]):
            row, other = winner.rows[table][stands], loser.rows[table][uuid]
            for column in (c for c in row if row[c] != other[c]):
                self._differ(table, stands, column, from_here=from_here, other_uuid=uuid)

    def _last(self, table: str, uuid: str) -> Write:
        found = (side.writes(table, uuid).last for side in (self._here, self._there))
        return max((write for write in found if write is not None), default=Write(0, ""))

    # Codes

    def _rename_makes(self) -> None:
        for uuid in self._clashes("make", "code"):
            letters, _, _ = str(self.rows["make"][uuid]["code"]).rpartition("-")
            every = (str(one["code"]).rpartition("-") for one in self.rows["make"].values())
            numbers = [int(end) for begin, _, end in every if begin == letters and end.isdecimal()]
            self._rename("make", uuid, f"{letters}-{max(numbers, default=0) + 1:04d}")

    def _rename_wheels(self) -> None:
        """Those called after another make than theirs, and those that clash."""
        wheels, makes = self.rows["wheel"], self.rows["make"]
        owners = {str(make["code"]): uuid for uuid, make in makes.items()}
        strays = [
            uuid for uuid, wheel in wheels.items()
            if owners.get(str(wheel["code"]).rpartition("-")[0], wheel["make_id"])
            != wheel["make_id"]
        ]  # fmt: skip
        for uuid in dict.fromkeys((*sorted(strays), *self._clashes("wheel", "code"))):
            begin, end = makes[wheels[uuid]["make_id"]]["code"], wheels[uuid]["code"]
            taken = {one["code"] for one in wheels.values()}
            named = (f"{begin}-{letter(number)}" for number in range(len(wheels) + 1))
            free = (f"{begin}-{str(end).rpartition('-')[2]}", *named)
            self._rename("wheel", uuid, next(one for one in free if one not in taken))

    def _rename_plans(self) -> None:
        for uuid in self._clashes("plan", "name", "version"):
            plan = self.rows["plan"][uuid]
            every = self.rows["plan"].values()
            last = max(one["version"] for one in every if one["name"] == plan["name"])
            self._rename("plan", uuid, last + 1)

    def _clashes(self, table: str, *key: str) -> list[str]:
        """The rows of both sides whose code another had before them."""
        found: dict[tuple[Any, ...], list[str]] = {}
        for uuid, cells in self.rows[table].items():
            found.setdefault(tuple(cells[column] for column in key), []).append(uuid)
        clashes = []
        for value, group in found.items():
            if len(group) > 1 and not self._was_so(table, key, value, group):
                clashes += sorted(group, key=lambda uuid: (self._begun(table, uuid), uuid))[1:]
        return sorted(clashes, key=lambda uuid: (self._begun(table, uuid), uuid))

    def _was_so(
        self, table: str, key: tuple[str, ...], value: tuple[Any, ...], group: list[str]
    ) -> bool:
        """Whether one side has these rows under one code already."""
        return any(
            all(
                uuid in side.rows[table]
                and tuple(side.rows[table][uuid][column] for column in key) == value
                for uuid in group
            )
            for side in (self._here, self._there)
        )

    def _begun(self, table: str, uuid: str) -> int:
        """When a row came; its columns were all written then."""
        found = (side.writes(table, uuid).cells.values() for side in (self._here, self._there))
        return min((write.stamp for writes in found for write in writes), default=0)

    def _rename(self, table: str, uuid: str, now: Any) -> None:
        cells, column = self.rows[table][uuid], CODED[table]
        name = str(cells["name"]) if table == "plan" else ""
        self.renamed.append(Renamed(table, uuid, str(cells[column]), str(now), name))
        cells[column] = now


def _weight(cells: Cells) -> tuple[int, str]:
    """By what the later of two rows is known where no history says it: its last instant, then
    what it says, so that both sides choose the same."""
    times = [v for name, v in cells.items() if name.endswith("_ms") and isinstance(v, int)]
    return max(times, default=0), json.dumps(cells, sort_keys=True, default=repr)


def _about(table: str, cells: Cells, side: MergeSide) -> str:
    """What a person knows a row by: its own code or name, and that of what it belongs to."""
    own = next((str(cells[c]) for c in ("code", "name", "attribute", "term") if cells.get(c)), "")
    if table in ("make", "wheel", "plan"):
        return own
    above = (_about(parent, row, side) for parent, row in _owners(table, cells, side))
    return ", ".join(filter(None, (*above, own)))


def _owners(table: str, cells: Cells, side: MergeSide) -> Iterator[tuple[str, Cells]]:
    """The rows that a row belongs to, with their tables."""
    for column in (c for c in cells if c in side.parents[table]):
        parent = side.parents[table][column]
        row = side.rows.get(parent, {}).get(cells[column] or "")
        if row is not None:
            yield parent, row


def _is_hidden(table: str, cells: Cells, side: MergeSide) -> bool:
    """Whether it is of a session or test whose codes nobody may know yet."""
    if table in ("tasting", "panel_test") and cells["lifted_ms"] is None:
        return bool(cells.get("coding") != OPEN)
    return any(_is_hidden(parent, row, side) for parent, row in _owners(table, cells, side))


def _shown(side: MergeSide, table: str, column: str, value: Any) -> Any:
    parent = side.parents[table].get(column, "")
    row = side.rows.get(parent, {}).get(value)
    return value if row is None else _about(parent, row, side)
