"""Seeds: the random numbers and identities of the kitchen, the same for the same seed."""

from __future__ import annotations

from uuid import UUID

import numpy as np

DESIGN, MAKE, PANEL, ROOM, PACKETS, STOCK = range(
    6
)  # the streams, so that no part disturbs another


def stream(seed: int, *what: int) -> np.random.Generator:
    """The generator of one part of the kitchen: a stream's number, and a make's if it has one."""
    return np.random.default_rng([seed, *what])


def key_of(number: int) -> int:
    """What stands for a make in a stream: its number, which is below 1 in the notebook."""
    return number if number > 0 else (1 << 20) - number


def identity(rng: np.random.Generator) -> str:
    """An identity for a record, drawn from `rng`."""
    return str(UUID(bytes=rng.bytes(16), version=4))
