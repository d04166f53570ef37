"""The sounds: made by their script to the last byte, short, and not too loud."""

from __future__ import annotations

import io
import subprocess
import sys
import wave
from pathlib import Path

import numpy as np
import pytest

from journal.desk.sound import SOUNDS

ROOT = Path(__file__).resolve().parents[2]
KEPT = sorted((ROOT / "resources" / "sounds").glob("*.wav"))


def test_the_script_makes_the_very_files_that_are_kept(tmp_path):
    copy = tmp_path / "packaging" / "sounds.py"
    copy.parent.mkdir()
    copy.write_bytes((ROOT / "packaging" / "sounds.py").read_bytes())
    (tmp_path / "resources" / "sounds").mkdir(parents=True)
    subprocess.run([sys.executable, str(copy)], check=True, capture_output=True)
    assert [one.stem for one in KEPT] == sorted(SOUNDS)
    for one in KEPT:
        assert (tmp_path / "resources" / "sounds" / one.name).read_bytes() == one.read_bytes()


@pytest.mark.parametrize("kept", KEPT, ids=[one.stem for one in KEPT])
def test_it_is_a_short_quiet_wave(kept):
    with wave.open(io.BytesIO(kept.read_bytes())) as file:
        assert (file.getnchannels(), file.getsampwidth()) == (1, 2)
        assert 1.0 < file.getnframes() / file.getframerate() < 2.5
        swings = np.frombuffer(file.readframes(file.getnframes()), "<i2").astype(float)
    assert 0.3 < np.abs(swings).max() / 32_767 < 0.6
    assert abs(swings[-1]) < 200
    assert abs(swings.mean()) < 50
