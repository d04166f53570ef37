"""What is asked of a source: first what it is, then what its kind needs."""

from __future__ import annotations

from typing import Any

from journal.desk.form.choice import ChoiceOption
from journal.desk.form.spec import AS_TYPED, CHOICE, SECRET, Field
from journal.exchange.sensors.serial_line import BAUD, NUMBER
from journal.exchange.sensors.topic import PORT, TLS_PORT
from journal.records.sources import FILE, LINE, TOPIC, Source
from journal.wording import worded

HEAD = (
    Field("name", "Name", AS_TYPED, hint="like vat sensor"),
    Field("kind", "It is", CHOICE, text=FILE, name="Kind", options=(
        ChoiceOption(FILE, "a file that a logger writes"),
        ChoiceOption(TOPIC, "an MQTT topic"),
        ChoiceOption(LINE, "a serial line"),
    )),
)  # fmt: skip


def asked() -> dict[str, tuple[Field, ...]]:
    """What is asked of a topic and of a serial line."""
    return {
        TOPIC: (
            Field("host", "Broker", AS_TYPED, hint="like 192.0.2.7 or broker.local"),
            Field("port", "Port", AS_TYPED, hint=worded("desk.port-hint", port=PORT, tls=TLS_PORT)),
            Field("topic", "Topic", AS_TYPED, hint="like kitchen/vat"),
            Field("field", "Field", AS_TYPED, hint="JSON: like sensor.temp; empty: a number"),
            Field("time", "Time", AS_TYPED, hint="JSON: its time; empty: time of arrival"),
            Field("count", "Count", AS_TYPED, hint="JSON: the message counter"),
            Field("user", "User", AS_TYPED, hint="empty if the broker needs none"),
            Field("password", "Password", SECRET),
            Field("tls", "Security", CHOICE, name="TLS",
                  options=(ChoiceOption("", "no TLS"), ChoiceOption("tls", "TLS"))),
            Field("authority", "Certificate", AS_TYPED, hint="a file, for your own broker"),
        ),
        LINE: (
            Field("device", "Device", AS_TYPED, hint="like /dev/ttyUSB0 or COM3"),
            Field("baud", "Speed", AS_TYPED, hint=worded("desk.baud-hint", baud=BAUD)),
            Field("pattern", "Pattern", AS_TYPED,
                  hint=worded("desk.pattern-hint", number=NUMBER)),
        ),
    }  # fmt: skip


def settings_of(texts: dict[str, str]) -> dict[str, Any]:
    """The settings that fields say; a password is none."""
    options: dict[str, Any] = {key: text for key, text in texts.items() if key != "password"}
    if "tls" in options:
        options["tls"] = True
    else:
        options.pop("authority", None)
    return options


def texts_of(source: Source) -> dict[str, str]:
    """What stands in the fields of a source that is known."""
    texts = {key: source.text(key) for key in source.options}
    return {**texts, "tls": "tls"} if source.options.get("tls") else texts
