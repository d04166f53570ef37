"""Passwords: in the system's keyring where there is one, else nowhere."""

from __future__ import annotations

from collections.abc import Iterator

import keyring  # noqa: TID253 - what this tests
import pytest
from keyring.backend import KeyringBackend  # noqa: TID253 - what this tests
from keyring.backends import fail  # noqa: TID253 - what this tests
from keyring.errors import KeyringLocked, PasswordDeleteError  # noqa: TID253 - what this tests

from journal.exchange.sensors import secrets


class Ring(KeyringBackend):
    """A keyring of this test alone."""

    priority = 1

    def __init__(self) -> None:
        super().__init__()
        self.held: dict[tuple[str, str], str] = {}
        self.locked = False

    def set_password(self, service: str, username: str, password: str) -> None:
        if self.locked:
            raise KeyringLocked("it is locked")
        self.held[service, username] = password

    def get_password(self, service: str, username: str) -> str | None:
        if self.locked:
            raise KeyringLocked("it is locked")
        return self.held.get((service, username))

    def delete_password(self, service: str, username: str) -> None:
        if self.held.pop((service, username), None) is None:
            raise PasswordDeleteError("there is none")


@pytest.fixture
def ring() -> Iterator[Ring]:
    before = keyring.get_keyring()
    made = Ring()
    keyring.set_keyring(made)
    yield made
    keyring.set_keyring(before)


@pytest.fixture
def source(source_for):
    return source_for("topic", host="h", topic="t", user="vat")


def test_a_password_is_kept_read_and_forgotten(ring, source):
    assert secrets.keeps_passwords()
    assert secrets.password_of(source) is None
    assert secrets.save_password(source, "rennet at 31") == ""
    assert secrets.password_of(source) == "rennet at 31"
    assert ring.held == {("Vatside", source.uuid): "rennet at 31"}
    secrets.forget_password(source)
    secrets.forget_password(source)
    assert secrets.password_of(source) is None


def test_a_locked_keyring_is_said(ring, source):
    ring.locked = True
    assert "asked for at each start" in secrets.save_password(source, "rennet at 31")
    assert secrets.password_of(source) is None


def test_without_a_keyring_it_is_said_and_nothing_is_kept(ring, source):
    keyring.set_keyring(fail.Keyring())
    assert not secrets.keeps_passwords()
    assert secrets.save_password(source, "rennet at 31") == secrets.no_keyring()
    assert secrets.password_of(source) is None
