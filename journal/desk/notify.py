"""A notification on the desktop, over the session's own bus; nothing of it reaches the network."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from jeepney.io.blocking import DBusConnection

_WAIT_S = 0.5  # for an answer: an alarm does not wait for a desktop that hangs
_SANDBOX = Path("/.flatpak-info")
_URGENT = 2


def notify(title: str, words: str) -> bool:
    """Show it on the desktop, by its notifications or by the portal, within a sandbox by the
    portal first; False where there is no desktop that would."""
    if not os.environ.get("DBUS_SESSION_BUS_ADDRESS"):
        return False
    try:
        from jeepney.io.blocking import open_dbus_connection

        with open_dbus_connection(bus="SESSION", auth_timeout=_WAIT_S) as bus:
            ways = (_by_portal, _directly) if _SANDBOX.exists() else (_directly, _by_portal)
            return any(way(bus, title, words) for way in ways)
    except (ImportError, OSError, ValueError, KeyError, RuntimeError):
        return False  # no bus, or not one that is understood


def _directly(bus: DBusConnection, title: str, words: str) -> bool:
    """By org.freedesktop.Notifications (Desktop Notifications Specification 1.2); its body may be
    read as markup."""
    plain = words.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    hints = {"urgency": ("y", _URGENT), "desktop-entry": ("s", "vatside")}
    return _call(
        bus, "/org/freedesktop/Notifications", "org.freedesktop.Notifications",
        "org.freedesktop.Notifications", "Notify", "susssasa{sv}i",
        ("Vatside", 0, "vatside", title, plain, [], hints, -1),
    )  # fmt: skip


def _by_portal(bus: DBusConnection, title: str, words: str) -> bool:
    """By org.freedesktop.portal.Notification, its version 1."""
    shown = {"title": ("s", title), "body": ("s", words), "priority": ("s", "urgent")}
    return _call(
        bus, "/org/freedesktop/portal/desktop", "org.freedesktop.portal.Desktop",
        "org.freedesktop.portal.Notification", "AddNotification", "sa{sv}",
        ("vatside-alarm", shown),
    )  # fmt: skip


def _call(
    bus: DBusConnection, path: str, name: str, interface: str, method: str, signature: str,
    body: tuple[Any, ...],
) -> bool:  # fmt: skip
    from jeepney import DBusAddress, MessageType, new_method_call

    address = DBusAddress(path, bus_name=name, interface=interface)
    message = new_method_call(address, method, signature, body)
    try:
        answer = bus.send_and_get_reply(message, timeout=_WAIT_S)
    except TimeoutError:
        return True  # it was handed over; a slow desktop shows it when it can
    return bool(answer.header.message_type == MessageType.method_return)
