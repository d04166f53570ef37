"""A desktop's notification service for tests: answers on the session's bus and writes down what it
was asked to show, a line of JSON each. `python -m tests.desk.fake_desktop FILE [portal]`."""

from __future__ import annotations

import json
import sys
from pathlib import Path

NAMES = {"direct": "org.freedesktop.Notifications", "portal": "org.freedesktop.portal.Desktop"}


def main(log: Path, which: str) -> None:
    """Serve until it is killed; "ready" is the first line."""
    from jeepney import HeaderFields, MessageType, message_bus, new_method_return
    from jeepney.io.blocking import Proxy, open_dbus_connection

    bus = open_dbus_connection(bus="SESSION")
    Proxy(message_bus, bus).RequestName(NAMES[which])
    with log.open("a", encoding="utf-8") as file:
        print(json.dumps("ready"), file=file, flush=True)
        while True:
            message = bus.receive()
            if message.header.message_type != MessageType.method_call:
                continue
            method = message.header.fields[HeaderFields.member]
            if method not in ("Notify", "AddNotification"):
                continue
            if method == "Notify":
                output = {"title": message.body[3], "body": message.body[4]}
                answer = new_method_return(message, "u", (1,))
            else:
                output = {key: message.body[1][key][1] for key in ("title", "body")}
                answer = new_method_return(message)
            print(json.dumps({"method": method, **output}), file=file, flush=True)
            bus.send(answer)


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2] if len(sys.argv) > 2 else "direct")
