"""Makes the sounds of the program, drawn from sums of sines: two strokes on a small bell, the quick
beeps of a kitchen timer, and a soft tone.

Run it without arguments to write resources/sounds again; it comes out the same.
"""

from __future__ import annotations

import io
import math
import struct
import wave
from collections.abc import Callable
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


def bell_at(at_s: float) -> float:
    """Two strokes on the bell."""
    return sum(stroke(at_s - begin) for begin in STROKES_S)


def kitchen_at(at_s: float) -> float:
    """Three pairs of short beeps."""
    in_pair = at_s % 0.5
    beep = in_pair % 0.14
    if in_pair >= 0.28 or beep >= 0.09:
        return 0.0
    edge = min(1.0, beep / 0.004, (0.09 - beep) / 0.004)
    return edge * math.sin(2 * math.pi * 2093.0 * at_s)


def soft_at(at_s: float) -> float:
    """A low fifth that swells and dies."""
    swell = math.sin(math.pi * min(at_s / SECONDS, 1.0)) ** 2
    return swell * (
        math.sin(2 * math.pi * 294.0 * at_s) + 0.6 * math.sin(2 * math.pi * 441.0 * at_s)
    )


SOUNDS = {"bell": bell_at, "kitchen": kitchen_at, "soft": soft_at}


def wav_of(swing_at: Callable[[float], float]) -> bytes:
    """The whole WAV file of a sound."""
    swings = [swing_at(i / RATE) for i in range(round(SECONDS * RATE))]
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
    for name, swing_at in SOUNDS.items():
        where = Path(__file__).resolve().parents[1] / "resources" / "sounds" / f"{name}.wav"
        where.write_bytes(wav_of(swing_at))
        print(f"Wrote {where.name}, {where.stat().st_size} bytes.")
