"""What a screen reader finds on the accessibility bus (AT-SPI 2, by D-Bus): run within a session's
bus and a display of its own, it opens the window beside itself, walks place by place, and writes
what it found as JSON. `python -m tests.desk.bus_reader JOURNAL OUT PLACE…`"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

ACCESSIBLE = "org.a11y.atspi.Accessible"
PROPERTIES = "org.freedesktop.DBus.Properties"
ROOT = ("org.a11y.atspi.Registry", "/org/a11y/atspi/accessible/root")
# Bits of a state, and the roles that tell their rows themselves (AT-SPI 2, atspi-constants.h).
FOCUSABLE, SHOWING, VISIBLE = 11, 25, 30
CONTROLS = frozenset(
    ["push button", "button", "check box", "radio button", "toggle button", "text", "entry",
     "combo box", "list", "table", "tree", "menu item", "menu", "chart", "image", "graphic"]
)  # fmt: skip
WHOLE = frozenset(["list", "table", "tree", "tree table", "combo box", "list box"])
SAYS = "A reading was refused."

Node = tuple[str, str]


class Bus:
    """The accessibility bus of this session."""

    def __init__(self) -> None:
        from jeepney import DBusAddress, new_method_call
        from jeepney.io.blocking import open_dbus_connection

        session = open_dbus_connection(bus="SESSION")
        where = DBusAddress("/org/a11y/bus", bus_name="org.a11y.Bus", interface="org.a11y.Bus")
        address = session.send_and_get_reply(new_method_call(where, "GetAddress"), timeout=30)
        self.connection: Any = open_dbus_connection(bus=str(address.body[0]))

    def call(self, node: Node, interface: str, method: str, form: str = "", *given: Any) -> Any:
        """What a node answers."""
        from jeepney import DBusAddress, new_method_call

        at = DBusAddress(node[1], bus_name=node[0], interface=interface)
        call = new_method_call(at, method, form or None, given)
        reply = self.connection.send_and_get_reply(call, timeout=30)
        if reply.header.message_type.name == "error":
            raise OSError(f"{method} of {node}: {reply.body}")
        return reply.body[0] if reply.body else None

    def children(self, node: Node) -> list[Node]:
        """What lies within a node."""
        return [tuple(one) for one in self.call(node, ACCESSIBLE, "GetChildren")]

    def application(self) -> Node:
        """The window's program, once it has told the registry of itself."""
        late = time.monotonic() + 60
        while time.monotonic() < late:
            found = [one for one in self.children(ROOT) if one[0] != ROOT[0]]
            if found:
                return found[0]
        raise OSError("Nothing is on the accessibility bus.")

    def name(self, node: Node, which: str = "Name") -> str:
        """Its name, or its description."""
        found = self.call(node, PROPERTIES, "Get", "ss", ACCESSIBLE, which)
        return str(found[1])

    def role(self, node: Node) -> str:
        """Its role in words."""
        return str(self.call(node, ACCESSIBLE, "GetRoleName"))

    def states(self, node: Node) -> int:
        """Its state, a bit each."""
        low, high = self.call(node, ACCESSIBLE, "GetState")
        return int(low) | int(high) << 32

    def walk(self, node: Node) -> Iterator[dict[str, Any]]:
        """All that is shown, in the order in which it is read."""
        states, role = self.states(node), self.role(node)
        if not states & (1 << VISIBLE | 1 << SHOWING):
            return
        labels = []
        if role == "combo box":
            related = self.call(node, ACCESSIBLE, "GetRelationSet")
            labels = [self.name(tuple(one)) for _kind, those in related for one in those]
        yield {
            "name": self.name(node) or " ".join(labels), "role": role,
            "about": self.name(node, "Description"), "focusable": bool(states >> FOCUSABLE & 1),
        }  # fmt: skip
        if role not in WHOLE:
            for child in self.children(node):
                yield from self.walk(child)

    def listen(self) -> None:
        """Hear what is announced from now on."""
        from jeepney import message_bus
        from jeepney.io.blocking import Proxy

        Proxy(message_bus, self.connection).AddMatch(_announced())
        self.call((ROOT[0], "/org/a11y/atspi/registry"), "org.a11y.atspi.Registry",
                  "RegisterEvent", "s", "object:")  # fmt: skip


def _announced() -> Any:
    from jeepney import MatchRule

    return MatchRule(type="signal", interface="org.a11y.atspi.Event.Object", member="Announcement")


def main(journal: str, out: Path, places: list[str]) -> int:
    """Open the window, read it, write what was found."""
    bus = Bus()
    bus.listen()  # before the window begins, which asks what is listened for
    window = subprocess.Popen(
        [sys.executable, "-m", "tests.desk.bus_window", journal],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert window.stdin is not None
    assert window.stdout is not None

    def say(line: str) -> None:
        assert window.stdin is not None
        window.stdin.write(f"{line}\n")
        window.stdin.flush()

    def announced(line: str, answer: str) -> None:
        say(line)
        assert window.stdout is not None
        assert window.stdout.readline().strip() == answer

    assert window.stdout.readline().strip() == "ready"
    found: dict[str, Any] = {}
    application = bus.application()
    for place in places:
        announced(place, f"at {place}")
        found[place] = list(bus.walk(bus.children(application)[0]))
    with bus.connection.filter(_announced()) as kept:
        announced(f"say {SAYS}", "said")
        message = bus.connection.recv_until_filtered(kept, timeout=30)
        found["announced"] = [str(part) for part in message.body]
    say("end")
    window.wait(timeout=60)
    out.write_text(json.dumps(found), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], Path(sys.argv[2]), sys.argv[3:]))
