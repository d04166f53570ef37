"""A refusal as a test holds it: its kind, its id and its values, not its prose."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from journal.message import MessageError


@contextmanager
def refused(
    kind: type[MessageError], message_id: str, /, **values: Any
) -> Iterator[pytest.ExceptionInfo[MessageError]]:
    """What stands within is refused with this id, and with these among its values."""
    with pytest.raises(kind) as caught:
        yield caught
    assert caught.value.id == message_id
    assert {name: caught.value.values.get(name) for name in values} == values
