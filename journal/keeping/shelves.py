"""The keeper of wheels on their shelves: weighed, cared for, moved, cut, and parts taken."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import TypeVar

from journal.keeping.changes import Changes
from journal.keeping.errors import KeepingError
from journal.keeping.keepers import Keeper
from journal.keeping.makes import MakeKeeper
from journal.records import id_of
from journal.records.stays import MOVE, moved_in_order
from journal.records.wheel_weight import (
    LEAST_LEFT,
    WeightCourse,
    WheelWeight,
    green_of_piece,
    weight_course,
    weight_of_piece,
)
from journal.records.wheels import Absence, Care, Removal, Room, Weighing, Wheel

Kept = TypeVar("Kept")
CUT = "cut"  # why a wheel is gone that was cut into pieces; part of the format
_SPARE = 1.02  # parts by weight may come to so much more than the scale said
_REST = 0.01  # a share that is crumbs: the wheel is gone


class ShelfKeeper:
    """What is done to wheels after their make. Each act is one unit with a name.

    What a wheel weighs is never kept: it follows from its weighings and the parts taken, so that
    correcting any of them corrects all that comes after.
    """

    def __init__(
        self,
        db: sqlite3.Connection,
        changes: Changes,
        makes: MakeKeeper,
        wheels: Keeper[Wheel],
        weighings: Keeper[Weighing],
        removals: Keeper[Removal],
        cares: Keeper[Care],
        rooms: Keeper[Room],
        absences: Keeper[Absence],
    ) -> None:
        self._db, self._changes, self._makes = db, changes, makes
        self._wheels, self._weighings, self._removals = wheels, weighings, removals
        self._cares, self._rooms, self._absences = cares, rooms, absences

    # What is there

    def course(self, wheel: Wheel) -> WeightCourse:
        """How the weight of one wheel went."""
        wheels = {wheel.id: wheel}
        while (up := wheel.cut_from_id) is not None and up not in wheels:
            wheel = wheels[up] = self._wheel(up)
        return _Courses(
            wheels,
            [w for key in wheels for w in self._weighings.where(wheel_id=key)],
            [t for key in wheels for t in self._removals.where(wheel_id=key)],
        ).of(next(iter(wheels)))

    def courses(self, of: Collection[int | None] | None = None) -> dict[int, WeightCourse]:
        """The courses of wheels, by their ids: those named with the ones they were cut from, or
        every wheel, those that are gone too."""
        if of is None:
            wheels = self._wheels.all()
            weighed, taken = self._weighings.all(), self._removals.all()
        else:
            wheels = self._wheels.of_any("id", of)
            weighed = self._weighings.of_any("wheel_id", of)
            taken = self._removals.of_any("wheel_id", of)
        courses = _Courses({wheel.id: wheel for wheel in wheels}, weighed, taken)
        return {id_of(wheel): courses.of(wheel.id) for wheel in wheels}

    def weights(self, of: Collection[int | None] | None = None) -> dict[int, WheelWeight]:
        """What wheels weigh, as `courses` has them."""
        return {key: course.now for key, course in self.courses(of).items()}

    def named(self, text: str) -> list[Wheel]:
        """The wheels that are there of a wheel's code, a make's code, a room, or a shelf of one
        ("Cellar/2", or "2" where one room has it); a wheel's own code also when it is gone.

        Raises
        ------
        KeepingError
            When nothing is called so, or two rooms have such a shelf.
        """
        wanted = " ".join(text.split()).casefold()
        wheels = self._wheels.all()
        own = [wheel for wheel in wheels if wheel.code.casefold() == wanted]
        if own:
            return own
        there = [wheel for wheel in wheels if wheel.gone_ms is None]
        makes = {make.id for make in self._makes.all() if make.code.casefold() == wanted}
        if makes:
            return _in_order(wheel for wheel in there if wheel.make_id in makes)
        rooms = {room.id: room.name.casefold() for room in self._rooms.all()}
        if wanted in rooms.values():
            return _in_order(w for w in there if rooms.get(w.room_id) == wanted)
        shelf = [w for w in there if w.shelf and _shelf_called(w, rooms, wanted)]
        if not shelf:
            raise KeepingError("keeping.nothing-called", what=text)
        if len({wheel.room_id for wheel in shelf}) > 1:
            raise KeepingError("keeping.shelf-in-two-rooms", shelf=text)
        return _in_order(shelf)

    def room_named(self, name: str, *, new: bool = False) -> Room:
        """The room of that name, capitals being free; a new one where there is none and one may
        be made. KeepingError where there is none."""
        plain = " ".join(name.split())
        found = self._rooms.all()
        for room in found:
            if room.name.casefold() == plain.casefold():
                return room
        if not new or not plain:
            which = "keeping.no-room" if found else "keeping.no-room-yet"
            raise KeepingError(which, room=name, known=tuple(r.name for r in found))
        return self._rooms.save(Room(plain))

    # What is done

    def set_room(self, room: Room) -> Room:
        """Save what a room is, a new one too."""
        with self._changes.unit("keeping.act-room", room=room.name):
            return self._rooms.save(room)

    def be_away(self, away: Absence) -> Absence:
        """Save days when nobody is there."""
        with self._changes.unit("keeping.act-away"):
            return self._absences.save(away)

    def weigh(self, wheel: Wheel, kg: float, at_ms: int) -> Weighing:
        """Note what the scale says; KeepingError for a wheel that is not there then."""
        self._check_there(wheel, at_ms)
        with self._changes.unit("keeping.act-weigh", wheel=wheel.code):
            return self._weighings.save(Weighing(id_of(wheel), at_ms, kg))

    def care(self, wheels: Sequence[Wheel], kind: str, at_ms: int, note: str = "") -> list[Care]:
        """Note the same care for some wheels as one act; it may be of an earlier day."""
        for wheel in wheels:
            self._check_there(wheel, at_ms)
        what = wheels[0].code if len(wheels) == 1 else ""
        with self._changes.unit("keeping.act-care", kind=kind, what=what, wheels=len(wheels)):
            return self._cares.save_many(Care(id_of(w), kind, at_ms, note) for w in wheels)

    def move(
        self, wheels: Sequence[Wheel], room: Room, at_ms: int, shelf: str = "",
        place: int | None = None,
    ) -> list[Wheel]:  # fmt: skip
        """Put wheels on a shelf of a room, from `place` on; to another room it is care too. What
        was moved on since then stays where it is now."""
        moved = []
        with self._changes.unit("keeping.act-move", room=room.name, wheels=len(wheels)):
            for step, given in enumerate(wheels):
                wheel = self._wheel(id_of(given))
                made = self._moves(wheel)
                last = not made or made[-1].at_ms <= at_ms
                if not last or wheel.room_id != room.id:
                    self._check_there(wheel, at_ms)
                    move = Care(id_of(wheel), MOVE, at_ms, room.name, room.id, wheel.room_id)
                    self._chain([*made, self._cares.save(move)], _origin(wheel, made))
                at = None if place is None else place + step
                if last:
                    wheel = replace(wheel, room_id=room.id, shelf=shelf, place=at)
                moved.append(wheel)
            now = self._rooms.get(id_of(room))
            if now != now.with_shelf(shelf):
                self._rooms.save(now.with_shelf(shelf))
            return self._wheels.save_many(moved)

    def correct_care(self, care: Care, room: str | None = None) -> Care:
        """Save care again as it really was, a move with the room it went to. What another day or
        room of a move means for where the wheel stands follows.

        Raises
        ------
        KeepingError
            For a room of care that is no move, and a move that says no room.
        """
        wheel, before = self._wheel(care.wheel_id), self._cares.get(id_of(care))
        is_move = care.kind == MOVE
        if is_move != (before.kind == MOVE) or (room is not None and not is_move):
            raise KeepingError("keeping.move-has-a-room", wheel=wheel.code)
        with self._changes.unit("keeping.act-care", kind=care.kind, what=wheel.code, wheels=1):
            if room is not None:
                to = self.room_named(room, new=True)
                care = replace(care, room_id=to.id, note=to.name)
            return self._settled(wheel, partial(self._cares.save, care))

    def remove_care(self, care: Care) -> None:
        """That was not done after all; a wheel that was not moved stands where it stood before."""
        wheel = self._wheel(care.wheel_id)
        with self._changes.unit("keeping.act-remove", noun="care"):
            self._settled(wheel, partial(self._cares.remove, id_of(care)))

    def _settled(self, wheel: Wheel, act: Callable[[], Kept]) -> Kept:
        """Do that to a wheel's care, and put it where its moves then say."""
        made = self._moves(wheel)
        origin = _origin(wheel, made)
        followed = wheel.room_id == (made[-1].room_id if made else origin)
        done = act()
        after = self._moves(wheel)
        self._chain(after, origin)
        room_id = after[-1].room_id if after else origin
        if followed and wheel.room_id != room_id:
            self._wheels.save(replace(wheel, room_id=room_id, shelf="", place=None))
        return done

    def _moves(self, wheel: Wheel) -> list[Care]:
        return moved_in_order(self._cares.where(wheel_id=wheel.id, kind=MOVE))

    def _chain(self, moves: Iterable[Care], origin: int | None) -> None:
        """Each move is from where the one before it went, the first from the wheel's first room."""
        came = origin
        for move in moved_in_order(moves):
            if move.from_room_id != came:
                self._cares.save(replace(move, from_room_id=came))
            came = move.room_id

    def take_all(
        self, wheel: Wheel, kind: str, at_ms: int, whom: str = "", why: str = ""
    ) -> Removal:
        """All that is left of a wheel goes; KeepingError when it is not there then."""
        left = max(self.course(wheel).now.left, LEAST_LEFT)
        return self.take(Removal(id_of(wheel), kind, at_ms, left, None, whom, why))

    def take(self, taken: Removal) -> Removal:
        """A part of a wheel goes; with the last of it the wheel is gone.

        Raises
        ------
        KeepingError
            For more than is left, for a weight of a wheel that was never weighed, and for a wheel
            that is not there then.
        """
        wheel = self._wheel(taken.wheel_id)
        self._check_there(wheel, taken.at_ms)
        now = self.course(wheel).now
        if taken.weight_kg is not None and not now.whole_kg:
            raise KeepingError("keeping.weigh-it-first", wheel=wheel.code)
        asked = taken.share or (taken.weight_kg or 0) / (now.whole_kg or 1)
        if asked > now.left * _SPARE:
            weighed = now.kg is not None
            which = "keeping.more-than-is-left" if weighed else "keeping.more-than-that-part"
            raise KeepingError(which, wheel=wheel.code, left=now.left, kg=now.kg)
        last = asked > (1 - _REST) * now.left
        if last:
            taken = replace(taken, share=max(now.left, LEAST_LEFT), weight_kg=None)
        with self._changes.unit("keeping.act-taken", wheel=wheel.code, kind=taken.kind):
            saved = self._removals.save(taken)
            self._end(wheel, saved if last else None)
        return saved

    def correct(self, taken: Removal) -> Removal:
        """Save a part again as it really was; the wheel is gone, or there again, accordingly."""
        wheel = self._wheel(taken.wheel_id)
        with self._changes.unit("keeping.act-taken", wheel=wheel.code, kind=taken.kind):
            saved = self._removals.save(taken)
            self._settle(wheel)
        return saved

    def put_back(self, taken: Removal) -> None:
        """That part was not taken after all."""
        wheel = self._wheel(taken.wheel_id)
        with self._changes.unit("keeping.act-put-back", wheel=wheel.code):
            self._removals.remove(id_of(taken))
            self._settle(wheel)

    def cut(
        self, wheel: Wheel, parts: Sequence[float], at_ms: int, *, by_weight: bool = False
    ) -> list[Wheel]:
        """Cut a wheel into pieces that go on as wheels of their own; it is gone then.

        Parameters
        ----------
        parts : what each piece is of the others, such as (1, 1), or with `by_weight` its kg, which
            is then its first weighing

        Raises
        ------
        KeepingError
            For fewer than two pieces, pieces that weigh more than the wheel, and a wheel that is
            not there then.
        """
        wheel = self._wheel(id_of(wheel))
        self._check_there(wheel, at_ms)
        if len(parts) < 2 or min(parts) <= 0:
            raise KeepingError("keeping.pieces", wheel=wheel.code)
        kg = self.course(wheel).now.kg
        if by_weight and kg is not None and sum(parts) > kg * _SPARE:
            raise KeepingError("keeping.pieces-too-heavy", wheel=wheel.code, kg=kg, sum=sum(parts))
        pieces = []
        with self._changes.unit("keeping.act-cut", wheel=wheel.code):
            self._wheels.save(replace(wheel, gone_ms=at_ms, gone_why=CUT))
            for number, part in enumerate(parts, 1):
                piece = Wheel(
                    wheel.make_id, self._free(f"{wheel.code}{number}"), None, wheel.room_id,
                    shelf=wheel.shelf, place=wheel.place, height_mm=wheel.height_mm,
                    cut_from_id=wheel.id, cut_share=part / sum(parts),
                )  # fmt: skip
                pieces.append(self._wheels.save(piece))
                if by_weight:
                    self._weighings.save(Weighing(id_of(pieces[-1]), at_ms, part))
        return pieces

    # Underneath

    def _wheel(self, key: int) -> Wheel:
        """A wheel, also one in the bin."""
        found = self._wheels.where(id=key)
        return found[0] if found else self._wheels.binned(key)

    def _check_there(self, wheel: Wheel, at_ms: int) -> None:
        make = self._makes.get(wheel.make_id)
        if at_ms < make.started_ms:
            raise KeepingError("keeping.before-it-was-made", wheel=wheel.code)
        if wheel.gone_ms is not None and at_ms > wheel.gone_ms:
            raise KeepingError("keeping.wheel-gone", wheel=wheel.code, why=wheel.gone_why)

    def _end(self, wheel: Wheel, last: Removal | None) -> None:
        """The wheel is gone with its last part, or there again."""
        wheel = self._wheel(id_of(wheel))
        if last is None and wheel.gone_ms is None:
            return
        at_ms, why = (None, "") if last is None else (last.at_ms, last.words)
        self._wheels.save(replace(wheel, gone_ms=at_ms, gone_why=why))

    def _settle(self, wheel: Wheel) -> None:
        """Whether it is gone follows from its parts, once one of them is another."""
        if wheel.gone_why == CUT:
            return
        course = self.course(wheel)
        gone = course.now.left < _REST and bool(course.parts)
        self._end(wheel, max((part[0] for part in course.parts), key=_at) if gone else None)

    def _free(self, code: str) -> str:
        """The code, or the next that nobody has."""
        known = {row[0] for row in self._db.execute("select code from wheel")}
        while code in known:
            code += "x"
        return code


class _Courses:
    """The courses of many wheels, those of pieces from those of the wheels they were cut from."""

    def __init__(
        self,
        wheels: Mapping[int | None, Wheel],
        weighings: Iterable[Weighing],
        removals: Iterable[Removal],
    ) -> None:
        self._wheels = wheels
        self._weighings: dict[int | None, list[Weighing]] = {}
        self._removals: dict[int | None, list[Removal]] = {}
        self._found: dict[int | None, WeightCourse] = {}
        for one in weighings:
            self._weighings.setdefault(one.wheel_id, []).append(one)
        for part in removals:
            self._removals.setdefault(part.wheel_id, []).append(part)

    def of(self, key: int | None) -> WeightCourse:
        """The course of one of them."""
        if key not in self._found:
            wheel = self._wheels[key]
            weighings, green = self._weighings.get(key, []), wheel.green_weight_kg
            first = None
            if wheel.cut_from_id in self._wheels and wheel.cut_share is not None:
                up = self.of(wheel.cut_from_id)
                green = green_of_piece(up, wheel.cut_share)
                first = weight_of_piece(up, wheel.cut_share)
            self._found[key] = weight_course(green, weighings, self._removals.get(key, []), first)
        return self._found[key]


def _origin(wheel: Wheel, moves: Sequence[Care]) -> int | None:
    """The room a wheel stood in before it was moved; None where that is not known."""
    return moves[0].from_room_id if moves else wheel.room_id


def _shelf_called(wheel: Wheel, rooms: Mapping[int | None, str], wanted: str) -> bool:
    shelf = wheel.shelf.casefold()
    return wanted in (shelf, f"{rooms.get(wheel.room_id, '')}/{shelf}")


def _in_order(wheels: Iterable[Wheel]) -> list[Wheel]:
    return sorted(wheels, key=_place)


def _place(wheel: Wheel) -> tuple[str, int, str]:
    return wheel.shelf, wheel.place or 0, wheel.code


def _at(taken: Removal) -> int:
    return taken.at_ms
