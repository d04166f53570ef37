"""Makes the one sound of the program: two strokes on a small bell, drawn from sums of sines.

Run it without arguments to write resources/sounds/bell.wav again; it comes out the same.
"""

from __future__ import annotations

import io
import math
import struct
import wave
from pathlib import Path

RATE = 22_050
SECONDS = 1.7
STROKES_S = (0.0, 0.42)
# Partials of a small bell: times the strike note, loudness, seconds until it has died to a third.
NOTE_HZ = 880.0
PARTIALS = ((0.5, 0.30, 0.60), (1.0, 1.00, 0.42), (1.2, 0.32, 0.34), (2.0, 0.38, 0.24),
            (2.98, 0.16, 0.15))  # fmt: skip
LOUD = 0.42


def stroke(at_s: float) -> float:
    """The swing of the bell at so many seconds after a stroke."""
    if at_s < 0:
        return 0.0
    attack = min(1.0, at_s / 0.004)
    return attack * sum(
        loud * math.exp(-at_s / dies) * math.sin(2 * math.pi * NOTE_HZ * times * at_s)
        for times, loud, dies in PARTIALS
    )


def bell() -> bytes:
    """The whole WAV file."""
    swings = [
        sum(stroke(i / RATE - begin) for begin in STROKES_S) for i in range(round(SECONDS * RATE))
    ]
    top = max(abs(s) for s in swings)
    fade = round(0.05 * RATE)
    out = io.BytesIO()
    with wave.open(out, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        for i, swing in enumerate(swings):
            ends = min(1.0, (len(swings) - i) / fade)
            file.writeframesraw(struct.pack("<h", round(32_767 * LOUD * ends * swing / top)))
    return out.getvalue()


if __name__ == "__main__":
    where = Path(__file__).resolve().parents[1] / "resources" / "sounds" / "bell.wav"
    where.write_bytes(bell())
    print(f"Wrote {where.name}, {where.stat().st_size} bytes.")
