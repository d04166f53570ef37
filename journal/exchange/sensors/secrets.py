"""Passwords of sources: in the system's keyring, never in the journal."""

from __future__ import annotations

from journal.records.sources import Source
from journal.wording import worded

SERVICE = "Vatside"


def no_keyring() -> str:
    """What is said where this system has none to save passwords in."""
    return worded("exchange.no-keyring")


def keeps_passwords() -> bool:
    """Whether this system has a keyring to save them in."""
    import keyring
    from keyring.backends import fail, null

    return not isinstance(keyring.get_keyring(), (fail.Keyring, null.Keyring))


def password_of(source: Source) -> str | None:
    """The password saved for a source; None when none is, or the keyring is closed."""
    import keyring
    from keyring.errors import KeyringError

    try:
        return keyring.get_password(SERVICE, source.uuid)
    except (KeyringError, RuntimeError, OSError):
        return None


def save_password(source: Source, password: str) -> str:
    """Save it in the system's keyring; returns "" or a sentence why it was not saved."""
    import keyring
    from keyring.errors import KeyringError

    if not keeps_passwords():
        return no_keyring()
    try:
        keyring.set_password(SERVICE, source.uuid, password)
    except (KeyringError, RuntimeError, OSError) as error:
        return worded("exchange.password-not-saved", why=error)
    return ""


def forget_password(source: Source) -> None:
    """Take a source's password out of the keyring, where there is one."""
    import keyring
    from keyring.errors import KeyringError

    try:
        if keyring.get_password(SERVICE, source.uuid) is not None:
            keyring.delete_password(SERVICE, source.uuid)
    except (KeyringError, RuntimeError, OSError):
        return
