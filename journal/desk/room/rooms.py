"""The air of a room, typed in two fields, and what is wanted of the room."""

from __future__ import annotations

from dataclasses import replace

from journal.desk.form.form import FormSpec
from journal.desk.form.spec import AS_TYPED, NUMBER, Field, FormValues
from journal.keeping import Journal
from journal.reckoning.air import rh_from_wet_bulb_pct
from journal.records import RecordError, id_of
from journal.records.wheels import WET_BULB, WITHIN_C, WITHIN_PCT, AirReading, Room
from journal.wording import worded
from journal.wording.shown import apart, write


def ask_air(journal: Journal, room: Room, now_ms: int) -> FormSpec:
    """The temperature and the humidity of a room now, or both bulbs of a psychrometer."""

    def save(filled: FormValues) -> None:
        temp, humidity, wet = (filled.number(key) for key in ("temp", "humidity", "wet"))
        source = ""
        if wet is not None:
            if temp is None or humidity is not None:
                raise RecordError("desk.wet-bulb-needs-dry")
            humidity, source = float(rh_from_wet_bulb_pct(temp, wet)), WET_BULB
        if temp is None and humidity is None:
            raise RecordError("desk.air-is-missing")
        journal.air.note(AirReading(id_of(room), now_ms, temp, humidity, source))

    fields = (
        Field("temp", "Temperature", "temperature", "degC"),
        Field("humidity", "Humidity", "humidity", "%"),
        Field("wet", "Wet bulb", "temperature", "degC", hint="instead of humidity"),
    )
    return FormSpec(worded("desk.air-now", room=room.name), fields, save)


def ask_room(journal: Journal, room: Room) -> FormSpec:
    """The air wanted in a room, how far it may be off, how many wheels it holds, its shelves."""

    def save(filled: FormValues) -> None:
        holds = filled.number("holds")
        shelves = (" ".join(part.split()) for part in filled.text("shelves").split(","))
        journal.shelves.set_room(
            replace(
                room, name=filled.text("name").strip() or room.name,
                target_c=filled.number("temp"), within_c=filled.number("within_c"),
                target_humidity_pct=filled.number("humidity"),
                within_pct=filled.number("within_pct"),
                holds=None if holds is None else round(holds),
                shelves=tuple(dict.fromkeys(shelf for shelf in shelves if shelf)),
            )
        )  # fmt: skip

    temp = "" if room.target_c is None else write(room.target_c, "temperature")
    within = "" if room.within_c is None else apart(room.within_c)
    fields = (
        Field("name", "Name", AS_TYPED, text=room.name, needed=True),
        Field("temp", "Wanted", "temperature", "degC", text=temp),
        Field("within_c", "Allowed ±", "temperature_difference", "delta_degC", text=within,
              hint=apart(WITHIN_C)),
        Field("humidity", "Wanted", "humidity", "%", text=_text(room.target_humidity_pct)),
        Field("within_pct", "Allowed ±", NUMBER, "%", text=_text(room.within_pct),
              hint=f"{WITHIN_PCT:g}"),
        Field("holds", "Holds", NUMBER, "wheels", text=_text(room.holds), hint="optional"),
        Field("shelves", "Shelves", AS_TYPED, text=", ".join(room.shelves), hint="top, middle"),
    )  # fmt: skip
    return FormSpec(worded("desk.wanted-of-room", room=room.name), fields, save, first="temp")


def _text(value: float | None) -> str:
    return "" if value is None else f"{value:g}"
