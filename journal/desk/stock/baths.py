"""The brine baths: how each stands, everything done to it, and what lay in it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

from journal.desk.cells import marked_cell
from journal.desk.charts.marks import Mark
from journal.desk.form.form import FormSpec
from journal.desk.form.spec import DAY, Field, FormValues
from journal.desk.stock.section import Act, Detail, DetailTable, Section
from journal.desk.tables import Column
from journal.keeping import KeepingError
from journal.records import id_of
from journal.records.brines import (
    BRINE_CAUTION,
    Brine,
    BrineEvent,
    BrineState,
    BrineStay,
    bath_state,
    brine_doubts,
    brine_table,
    lowest_pct,
    salt_wanted_kg,
    strengths,
)
from journal.records.makes import Make
from journal.records.wheels import Wheel
from journal.wording import text_of, worded
from journal.wording.dates import clock, short_day
from journal.wording.letters import capital
from journal.wording.sentences import word_of
from journal.wording.shown import shown_figure, unit_label, write


@dataclass(frozen=True)
class BathRow:
    """A bath with everything that was done to it, and how it stands."""

    brine: Brine
    events: tuple[BrineEvent, ...]
    stays: tuple[BrineStay, ...]
    stands: BrineState
    lies: str

    @property
    def key(self) -> int | None:
        """What it stands for."""
        return self.brine.id

    @property
    def weak(self) -> bool:
        """It is too weak to brine in."""
        return self.brine.gone_ms is None and self.stands.strength_pct < lowest_pct(self.brine)


class BathSection(Section[BathRow]):
    """Baths, those poured away last."""

    title = "Brine"
    listens_to = frozenset({"brine", "brine_event", "brine_stay", "make", "wheel", "stage_run"})

    @property
    def caution(self) -> str:
        return text_of(BRINE_CAUTION)

    def acts(self) -> tuple[Act, ...]:
        return (
            Act("", "add", self.add, row=False, begin="New brine"),
            Act("", "measured", self.measured, main="Add a measured strength"),
            Act("", "salt", self.salt),
            Act("", "water", self.water),
            Act("", "fresh brine", self.renewed),
            Act("", "boiled", self.boiled),
            Act("", "cheese in", self.cheese_in),
            Act("", "cheese out", self.cheese_out),
            Act("", "poured away", self.poured_away),
        )

    def columns(self) -> tuple[Column[BathRow], ...]:
        return (
            Column("brine", _name, bold=True),
            Column(unit_label("volume"), _litres, right=True),
            Column("% salt", _strength, right=True, marks=_strength_marks),
            Column("known", self._known, quiet=True),
            Column("in it now", _lies, stretch=True),
        )

    def empty_text(self) -> tuple[str, str]:
        return (
            "No brine yet.",
            "Each brine will appear here with its strength, its history and the cheese in "
            "it. If there is only one, a make whose plan has a brining stage goes into it by "
            "itself.",
        )

    def rows(self) -> list[BathRow]:
        densities = brine_table()
        out = []
        for brine in self.journal.brines.all():
            events = tuple(self.journal.brine_events.where(brine_id=brine.id))
            stays = tuple(self.journal.brine_stays.where(brine_id=brine.id))
            stands = bath_state(brine, events, stays, densities)
            lies = ", ".join(self._who(stay) for stay in stays if stay.out_ms is None)
            out.append(BathRow(brine, events, stays, stands, lies))
        return sorted(out, key=_order)

    def _who(self, stay: BrineStay) -> str:
        """The code of what lay there; a make in the bin is not named."""
        found: list[Wheel] | list[Make] = (
            self.journal.makes.where(id=stay.make_id)
            if stay.wheel_id is None
            else self.journal.wheels.where(id=stay.wheel_id)
        )
        return found[0].code if found else worded("desk.a-deleted-make")

    def detail(self, row: BathRow) -> Detail:
        zone, brine, stands = self.journal.zone, row.brine, row.stands
        head = capital(brine.name)
        if brine.gone_ms is not None:
            about = worded("desk.poured-away-on", day=short_day(brine.gone_ms, zone))
        else:
            about = worded(
                "desk.brine-stands", litres=stands.litres, pct=stands.strength_pct,
                calculated=stands.calculated,
                day=short_day(stands.known_ms, zone),
            )  # fmt: skip
        history = DetailTable("History", ("on", "what", "% after"), self._history(row))
        lay = DetailTable("Cheese in it", ("", "in", "out", "for"), self._lay(row), "Nothing yet.")
        course = tuple(strengths(brine, row.events, brine_table()))
        return Detail(
            head,
            about,
            () if brine.gone_ms is not None else tuple(map(text_of, brine_doubts(brine, stands))),
            (history, lay),
            text_of(BRINE_CAUTION),
            course,
            brine.strength_pct,
            tuple((stay.in_ms, stay.out_ms) for stay in row.stays),
        )

    def _history(self, row: BathRow) -> tuple[tuple[str, ...], ...]:
        zone, table = self.journal.zone, brine_table()
        events = sorted(row.events, key=_at)
        lines = []
        for count, event in enumerate(events, start=1):
            after = bath_state(row.brine, events[:count], (), table).strength_pct
            lines.append((short_day(event.at_ms, zone), _did(event), f"{after:.1f}"))
        made = worded("desk.brine-made", litres=row.brine.litres)
        first = (short_day(row.brine.made_ms, zone), made, f"{row.brine.strength_pct:.1f}")
        return (*reversed(lines), first)

    def _lay(self, row: BathRow) -> tuple[tuple[str, ...], ...]:
        zone = self.journal.zone
        out = []
        for stay in sorted(row.stays, key=_in, reverse=True):
            went = f"{short_day(stay.in_ms, zone)}, {clock(stay.in_ms, zone)}"
            came = "" if stay.out_ms is None else f"{short_day(stay.out_ms, zone)}"
            hours = stay.hours
            long = worded("desk.still-in-it") if hours is None else write(hours * 60, "duration")
            out.append((self._who(stay), went, came, long))
        return tuple(out)

    # Acts

    def add(self) -> None:
        """Make a bath."""
        self.ask(
            FormSpec(
                "New brine",
                (
                    Field("name", "Name", text="the brine" if not self.rows() else "", needed=True),
                    Field("litres", "Brine", "volume", "L", needed=True, hint="10 L"),
                    Field("pct", "Salt in the brine", "percent", "%", needed=True,
                        hint="20 %, by weight of the brine"),
                    Field("made", "Made on", DAY, text="today"),
                ),
                self._add,
                note="20 % by weight is 250 g of salt for each litre of water, not 200 g.",
                instants=self.instants,
            )
        )  # fmt: skip

    def measured(self) -> None:
        """Write a measured strength down."""
        fields = (Field("pct", "Salt in the brine", "percent", "%", needed=True, hint="19.5 %"),)
        self._event("measured", "Measured", fields)

    def salt(self) -> None:
        """Write down salt that went in; what would bring it back to strength stands there."""
        row = self.current_row
        wanted = salt_wanted_kg(row.stands, row.brine.strength_pct)
        text = write(wanted, "mass", digits=2) if wanted >= 0.005 else ""
        self._event("salt", "Salt added", (Field("kg", "Salt", "mass", "kg", text, needed=True),))

    def water(self) -> None:
        """Write down water that went in."""
        self._event("water", "Water added", (Field("litres", "Water", "volume", "L", needed=True),))

    def renewed(self) -> None:
        """Write down that it was poured away and made again."""
        brine = self.current_row.brine
        fields = (
            Field("litres", "Brine", "volume", "L", write(brine.litres, "volume"), needed=True),
            Field("pct", "Salt in the brine", "percent", "%", f"{brine.strength_pct:g} %",
                needed=True),
        )  # fmt: skip
        self._event("renewed", "Fresh brine", fields)

    def boiled(self) -> None:
        """Write down that it was boiled."""
        self._event("boiled", "Boiled", (), caution="Hot brine scalds: let it cool, covered.")

    def cheese_in(self) -> None:
        """Lay a make or a wheel in."""
        makes = self.journal.makes.running()
        codes = [make.code for make in makes]
        codes += [wheel.code for wheel in self.journal.wheels.where(gone_ms=None)][-40:][::-1]
        field = Field("code", "Make or wheel", choices=tuple(codes), needed=True,
                  text=codes[0] if makes else "")  # fmt: skip
        name = self.current_row.brine.name
        self.ask(
            FormSpec(
                worded("desk.cheese-into", name=name),
                (field,),
                self._cheese_in,
                instants=self.instants,
            )
        )

    def cheese_out(self) -> None:
        """Take out what lies in it; with several, ask which."""
        row = self.current_row
        inside = [stay for stay in row.stays if stay.out_ms is None]
        if not inside:
            raise KeepingError("desk.nothing-in-brine", name=row.brine.name)
        if len(inside) == 1:
            self.journal.baths.take_out(inside[0], self.now_ms)
            return
        codes = tuple(self._who(stay) for stay in inside)
        field = Field("code", "Make or wheel", choices=codes, only=True, needed=True)
        self.ask(
            FormSpec(worded("desk.cheese-out-of", name=row.brine.name), (field,), self._cheese_out)
        )

    def poured_away(self) -> None:
        """It is no longer there; its history stays."""
        brine = self.current_row.brine
        gone = None if brine.gone_ms is not None else self.now_ms
        with self.journal.unit(worded("desk.step-pour-away", name=brine.name), self):
            self.journal.brines.save(replace(brine, gone_ms=gone))

    # Keep

    def _event(self, kind: str, words: str, fields: tuple[Field, ...], caution: str = "") -> None:
        brine = self.current_row.brine
        more = (Field("on", "On", DAY, text="today"), Field("note", "Note"))
        self.ask(
            FormSpec(
                f"{words}: {brine.name}",
                (*fields, *more),
                partial(self._save_event, kind),
                caution=caution,
                instants=self.instants,
            )
        )

    def _save_event(self, kind: str, message: FormValues) -> None:
        brine = self.current_row.brine
        event = BrineEvent(
            id_of(brine), self.moment(message.instant("on")), kind,
            strength_pct=message.number("pct"), salt_kg=message.number("kg"),
            litres=message.number("litres"), note=message.text("note"),
        )  # fmt: skip
        if event.at_ms > self.now_ms:
            raise KeepingError("desk.day-in-the-future")
        with self.journal.unit(f"{word_of('desk.brine-', kind)}: {brine.name}", self):
            self.journal.brine_events.save(event)

    def _add(self, message: FormValues) -> None:
        made = self.moment(message.instant("made"))
        brine = Brine(message.text("name"), message.needed("litres"), message.needed("pct"), made)
        with self.journal.unit(worded("desk.step-make-brine", name=brine.name), self):
            self.journal.brines.save(brine)

    def _cheese_in(self, message: FormValues) -> None:
        code, brine = message.text("code").upper(), self.current_row.brine
        wheels = self.journal.wheels.where(code=code)
        make: Make = (
            self.journal.makes.get(wheels[0].make_id)
            if wheels
            else self.journal.makes.by_code(code)
        )
        with self.journal.unit(worded("desk.step-into-brine", code=code), self):
            wheel = wheels[0].id if wheels else None
            self.journal.baths.put_in(id_of(brine), id_of(make), self.now_ms, wheel)

    def _cheese_out(self, message: FormValues) -> None:
        for stay in self.current_row.stays:
            if stay.out_ms is None and self._who(stay) == message.text("code"):
                self.journal.baths.take_out(stay, self.now_ms)

    # Cells

    def _known(self, row: BathRow) -> str:
        if row.brine.gone_ms is not None:
            return worded("desk.poured-away")
        known = short_day(row.stands.known_ms, self.journal.zone)
        return worded("desk.calculated") if row.stands.calculated else known


def _did(event: BrineEvent) -> str:
    words = word_of("desk.brine-", event.kind)
    if event.salt_kg is not None:
        words += f": {write(event.salt_kg, 'mass')}"
    elif event.litres is not None:
        words += f": {write(event.litres, 'volume')}"
    return f"{words}; {event.note}" if event.note else words


def _name(row: BathRow) -> str:
    return row.brine.name


def _litres(row: BathRow) -> str:
    return shown_figure(row.stands.litres, "volume", 1)


def _strength(row: BathRow) -> str:
    return f"{row.stands.strength_pct:.1f}"


def _strength_marks(row: BathRow, wide: float, high: float) -> list[Mark]:
    return marked_cell(_strength(row), wide, high, marked=row.weak, right=True)


def _lies(row: BathRow) -> str:
    return row.lies


def _order(row: BathRow) -> tuple[bool, int]:
    return row.brine.gone_ms is not None, id_of(row.brine)


def _at(event: BrineEvent) -> int:
    return event.at_ms


def _in(stay: BrineStay) -> int:
    return stay.in_ms
