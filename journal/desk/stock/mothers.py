"""Backslopped cultures: a row a generation, from which it came, and which makes it went into."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from journal.desk.cells import marked_cell, named_cell
from journal.desk.charts.marks import Mark
from journal.desk.form.form import FormSpec
from journal.desk.form.spec import DAY, Field, FormValues
from journal.desk.stock.ingredients import plans_known
from journal.desk.stock.section import Act, Detail, DetailTable, Section
from journal.desk.tables import Column
from journal.keeping import KeepingError
from journal.keeping.stock import StockUsed
from journal.message import Instant
from journal.records import id_of
from journal.records.cultures import (
    CULTURE_CAUTION,
    FALL_PH,
    KEEPS_DAYS,
    SOUR_PH,
    Generation,
    doubts,
    failing,
    gone,
    minutes_to_sour,
    next_generation,
)
from journal.records.instants import DAY_MS
from journal.records.kinds import CULTURE_TYPES, PH_KINDS
from journal.records.stock import plain_name
from journal.records.traces import Trace
from journal.wording import text_of, worded
from journal.wording.dates import short_day
from journal.wording.doses import amount_words
from journal.wording.letters import capital

_MAKES_SHOWN = 8


@dataclass(frozen=True)
class MotherRow:
    """A generation, from what it was set, and what speaks against it; `first` of its culture."""

    generation: Generation
    origin: str
    doubts: tuple[str, ...]
    first: bool

    @property
    def key(self) -> int | None:
        """What it stands for."""
        return self.generation.id


class MotherSection(Section[MotherRow]):
    """Cultures kept alive, the newest generation of each first."""

    title = "Cultures"
    listens_to = frozenset({"generation", "addition", "make", "reading"})

    @property
    def caution(self) -> str:
        return text_of(CULTURE_CAUTION)

    def acts(self) -> tuple[Act, ...]:
        return (
            Act("", "add from a packet", self.add, row=False,
                begin="New culture from a packet"),
            Act("", "next generation", self.following, main="Make the next generation"),
            Act("Return", "change", self.change),
            Act("", "gone", self.gone),
            Act("Delete", "delete", self.remove),
        )  # fmt: skip

    def columns(self) -> tuple[Column[MotherRow], ...]:
        return (
            Column("culture", _name, stretch=True, marks=_name_marks),
            Column("generation", _number, right=True),
            Column("made from", _origin, quiet=True),
            Column("on", self._made, quiet=True, sort=_made_ms),
            Column("use by", self._till, marks=self._keep_marks, sort=_till_ms),
        )

    def empty_text(self) -> tuple[str, str]:
        return (
            "No kept cultures yet.",
            "A culture carried from make to make has generations: where each came from, how "
            "long it keeps, and which makes used it. Give it the name your plans use, and a "
            "make uses its newest generation.",
        )

    def rows(self) -> list[MotherRow]:
        every = {g.id: g for g in self.journal.generations.all()}
        newest: dict[str, int] = {}
        for one in every.values():
            line = plain_name(one.name)
            newest[line] = max(newest.get(line, 0), one.made_ms)
        ordered = sorted(every.values(), key=_order)
        ordered.sort(key=lambda g: -newest[plain_name(g.name)])
        out, before = [], ""
        for one in ordered:
            line = plain_name(one.name)
            message = tuple(text_of(why) for why in doubts(one, self.today, self.journal.zone))
            listens_to = () if one.gone_ms is not None else message
            out.append(MotherRow(one, self._origin(one), listens_to, line != before))
            before = line
        return out

    def _origin(self, one: Generation) -> str:
        parts = []
        for parent in self.journal.generations.where(id=one.parent_id):
            parts.append(worded("desk.generation", number=parent.number))
        for make in self.journal.makes.where(id=one.from_make_id):
            parts.append(make.code)
        return ", ".join(parts) or one.origin

    def detail(self, row: MotherRow) -> Detail:
        one, zone = row.generation, self.journal.zone
        about = [
            worded("desk.generation", number=one.number),
            one.culture_type,
            worded("wording.made-on", at=Instant(one.made_ms, zone)),
        ]
        if row.origin:
            about.append(worded("desk.from-origin", origin=row.origin))
        if one.ph is not None:
            about.append(f"pH {one.ph:.2f}")
        if one.gone_ms is not None:
            about.append(worded("desk.gone-on", day=short_day(one.gone_ms, zone)))
        elif one.keep_until_ms is not None:
            about.append(worded("desk.use-by", day=short_day(one.keep_until_ms, zone)))
        used = self._line_used(one)
        soured = [self._soured(w) for _, w in used]
        makes = DetailTable(
            "Used in",
            ("make", "generation", "amount", "on", worded("desk.sour-by", fall=FALL_PH)),
            tuple(
                (w.code, str(number), amount_words(w.amount, w.unit), short_day(w.at_ms, w.zone),
                 "" if minutes is None else f"{minutes:.0f}")
                for (number, w), minutes in zip(used, soured, strict=True)
            ),
            self._by_name(one),
        )  # fmt: skip
        slow = failing([m for m in soured if m is not None])
        note = (DetailTable("Note", ("",), ((one.note,),)),) if one.note else ()
        head = capital(one.name)
        message = row.doubts + (
            (text_of(slow),) if slow is not None and one.gone_ms is None else ()
        )
        return Detail(head, " · ".join(about), message, (makes, *note), text_of(CULTURE_CAUTION))

    def _line_used(self, one: Generation) -> list[tuple[int, StockUsed]]:
        """The makes any generation of this culture went into, newest first."""
        line = plain_name(one.name)
        found = [
            (g.number, w)
            for g in self.journal.generations.all()
            if plain_name(g.name) == line
            for w in self.journal.stock.of_generation(id_of(g), _MAKES_SHOWN)
        ]
        return sorted(found, key=_newest_first)[:_MAKES_SHOWN]

    def _soured(self, used: StockUsed) -> float | None:
        """How long that make took to sour, from the pH that was read most."""
        traces = [self.journal.readings.trace(used.make_id, kind) for kind in PH_KINDS]
        return minutes_to_sour(max(traces, key=_readings), used.at_ms)

    def _by_name(self, one: Generation) -> str:
        """Of one that was not used: whether any plan would take it."""
        wanted = plain_name(one.name)
        for plan in plans_known(self.journal):
            for _, dose, _ in plan.amounts():
                if dose.kind == "culture" and plain_name(dose.name) == wanted:
                    return worded("desk.culture-used-by", name=plan.name)
        return "Not used yet. No plan uses this name, so no make will use it by itself."

    # Acts

    def add(self) -> None:
        """Set a first generation from a packet."""
        names = sorted(
            {d.name for p in plans_known(self.journal) for _, d, _ in p.amounts()
             if d.kind == "culture"}
        )  # fmt: skip
        self._ask("New culture from a packet", None, (
            Field("name", "Name in the plans", choices=tuple(names), needed=True),
            Field("type", "Type", text="mesophilic", choices=CULTURE_TYPES, only=True, needed=True),
            Field("origin", "Made from", hint="the packet and its lot"),
        ), self._add)  # fmt: skip

    def following(self) -> None:
        """Set the next generation from the current one, or from a make of it."""
        last = self.current_row.generation
        made = [w.code for w in self.journal.stock.of_generation(id_of(last), _MAKES_SHOWN)]
        fields = (
            Field("make", "From the make", choices=tuple(dict.fromkeys(made)),
                hint="its code; empty: from the last generation"),
        )  # fmt: skip
        title = worded("desk.named-generation", name=last.name, number=last.number + 1)
        self._ask(
            title,
            None,
            fields,
            self._follow,
            worded("desk.follow-caution", ph=SOUR_PH),
        )

    def change(self) -> None:
        """Change what was written of it."""
        one = self.current_row.generation
        self._ask(worded("desk.change-generation", number=one.number), one, (
            Field("name", "Name in the plans", text=one.name, needed=True),
            Field("type", "Type", text=one.culture_type, choices=CULTURE_TYPES, only=True,
                needed=True),
            Field("origin", "Made from", text=one.origin),
        ), self._change)  # fmt: skip

    def gone(self) -> None:
        """Used up or thrown away; once more, it is there again."""
        one = self.current_row.generation
        back = replace(one, gone_ms=None) if one.gone_ms is not None else gone(one, self.now_ms)
        with self.journal.unit(
            worded("desk.step-generation-gone", name=one.name, number=one.number), self
        ):
            self.journal.generations.save(back)

    def remove(self) -> None:
        """Take it away; undo brings it back."""
        one = self.current_row.generation
        with self.journal.unit(
            worded("desk.step-delete-generation", name=one.name, number=one.number), self
        ):
            self.journal.generations.remove(id_of(one))

    def _ask(
        self, title: str, one: Generation | None, fields: tuple[Field, ...],
        keep: Callable[[FormValues], None],
        caution: str = "",
    ) -> None:  # fmt: skip
        zone = self.journal.zone
        till = "" if one is None else _day(one.keep_until_ms, zone)
        usual = short_day(self.now_ms + KEEPS_DAYS * DAY_MS, zone) if one is None else till
        ph = "" if one is None or one.ph is None else f"{one.ph:.2f}"
        more = (
            Field("made", "Made on", DAY, text="today" if one is None else _day(one.made_ms, zone)),
            Field("keep", "Use by", DAY, text=usual),
            Field("ph", "pH when it had set", "ph", "pH", ph),
            Field("note", "Note", text="" if one is None else one.note),
        )
        self.ask(FormSpec(title, (*fields, *more), keep, caution=caution, instants=self.instants))

    # Keep

    def _add(self, message: FormValues) -> None:
        one = Generation(
            message.text("name"), self.moment(message.instant("made")), 1, message.text("type"),
            origin=message.text("origin") or "a packet", keep_until_ms=message.instant("keep"),
            ph=message.number("ph"), note=message.text("note"),
        )  # fmt: skip
        with self.journal.unit(worded("desk.step-add", name=one.name), self):
            self.journal.generations.save(one)

    def _follow(self, message: FormValues) -> None:
        last = self.current_row.generation
        code = message.text("make")
        make = self.journal.makes.by_code(code) if code else None
        made_ms, ph = self.moment(message.instant("made")), message.number("ph")
        one = next_generation(last, made_ms, from_make_id=make.id if make else None, ph=ph)
        one = replace(one, keep_until_ms=message.instant("keep"), note=message.text("note"))
        if make is not None and make.milk.treatment == "raw":
            raise KeepingError("desk.raw-culture", code=make.code)
        with self.journal.unit(
            worded("desk.step-add-generation", name=one.name, number=one.number), self
        ):
            self.journal.generations.save(one)

    def _change(self, message: FormValues) -> None:
        one = self.current_row.generation
        with self.journal.unit(worded("desk.step-change", name=one.name), self):
            self.journal.generations.save(
                replace(
                    one, name=message.text("name"), culture_type=message.text("type"),
                    origin=message.text("origin"), made_ms=message.instant("made") or one.made_ms,
                    keep_until_ms=message.instant("keep"), ph=message.number("ph"),
                    note=message.text("note"),
                )
            )  # fmt: skip

    # Cells

    def _made(self, row: MotherRow) -> str:
        return short_day(row.generation.made_ms, self.journal.zone)

    def _till(self, row: MotherRow) -> str:
        if row.generation.gone_ms is not None:
            return worded("wording.gone")
        return _day(row.generation.keep_until_ms, self.journal.zone)

    def _keep_marks(self, row: MotherRow, wide: float, high: float) -> list[Mark]:
        return marked_cell(self._till(row), wide, high, marked=bool(row.doubts))


def _name_marks(row: MotherRow, wide: float, high: float) -> list[Mark]:
    words, over = row.generation.name if row.first else "", row.generation.gone_ms is not None
    return named_cell(words, wide, high, quiet=over, bold=not over)


def _made_ms(row: MotherRow) -> int:
    return row.generation.made_ms


def _till_ms(row: MotherRow) -> float:
    return row.generation.keep_until_ms or math.inf


def _day(at_ms: int | None, zone: str) -> str:
    return "" if at_ms is None else short_day(at_ms, zone)


def _order(one: Generation) -> tuple[str, int]:
    return plain_name(one.name), -one.number


def _readings(trace: Trace) -> tuple[int, bool]:
    return len(trace), trace.kind == "curd-ph"


def _newest_first(one: tuple[int, StockUsed]) -> int:
    return -one[1].at_ms


def _name(row: MotherRow) -> str:
    return row.generation.name


def _number(row: MotherRow) -> str:
    return str(row.generation.number)


def _origin(row: MotherRow) -> str:
    return row.origin
