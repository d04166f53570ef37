"""Pictures of Compare with few makes and with fifty, and of Makes with as many as a life has.

`python -m tests.desk.many_makes FOLDER` draws them for looking at: Compare with 2, 10 and 50 makes,
light, dark and narrow, and Makes with 10,000.
"""

from __future__ import annotations

import os
import random
import sys
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from PySide6.QtCore import QSize

from journal.desk.pictures import draw_pictures
from journal.desk.shots import DRAWN_MS, USUAL, Shot
from journal.keeping import Journal
from journal.records import id_of
from journal.records.instants import DAY_MS
from journal.records.plans import new_uuid
from journal.records.tastings import Sample, Score
from journal.sample import write_sample

NARROW = QSize(960, 1040)
_READINGS = 200  # of a make
_APART_MS = round(0.9 * DAY_MS)  # from one make of very many to the next
_SEED = 10_000


def draw_compare(out: Path, folder: Path, makes: int, shots: tuple[Shot, ...]) -> list[Path]:
    """Compare with so many makes of the sample kitchen; of two, both of one plan."""
    path = folder / f"{makes}.vatside"
    write_sample(path, makes=makes, readings_per_make=_READINGS, now_ms=DRAWN_MS)
    if makes == 2:
        with Journal.open(path) as journal:
            first, second = journal.makes.all()
            journal.makes.save(replace(second, plan_id=first.plan_id))
    return draw_pictures(out, path, shots=shots, places=("compare",), with_empty=False)


def draw_makes(out: Path, folder: Path, makes: int, shots: tuple[Shot, ...]) -> list[Path]:
    """Makes with so many, each with its wheel and its score."""
    path = folder / f"{makes}-makes.vatside"
    write_sample(path, now_ms=DRAWN_MS)
    with Journal.open(path) as journal:
        add_makes(journal, makes)
    return draw_pictures(out, path, shots=shots, places=("makes",), with_empty=False)


def add_makes(journal: Journal, makes: int) -> None:
    """Fill up a sample journal to so many makes, earlier ones, each with a wheel and a score."""
    luck = random.Random(_SEED)
    known = journal.makes.all()
    like = [make for make in known if make.finished_ms is not None]
    wheel, person = journal.wheels.all()[0], journal.assessors.all()[0]
    session = next(one for one in journal.tastings.all() if one.lifted_ms is not None)
    new = []
    for number in range(makes - len(known)):
        make, back = like[number % len(like)], (number + 60) * _APART_MS
        new.append(replace(
            make, id=None, uuid=new_uuid(), code=f"HL-{number + 1000:05d}",
            started_ms=make.started_ms - back, finished_ms=(make.finished_ms or 0) - back,
            failed=luck.random() < 0.03,
        ))  # fmt: skip
    with journal.unit("keeping.act-keep", noun="make"):
        wheels = journal.wheels.save_many([
            replace(wheel, id=None, uuid=new_uuid(), make_id=id_of(make), code=f"{make.code}-A",
                    green_weight_kg=round(luck.gauss(1.25, 0.08), 3))
            for make in journal.makes.save_many(new)
        ])  # fmt: skip
        samples = journal.samples.save_many(
            [Sample(id_of(session), id_of(wheel)) for wheel in wheels]
        )
        journal.scores.save_many([
            Score(id_of(sample), id_of(person), "overall",
                  min(10.0, round(2 * luck.gauss(6.0, 1.2)) / 2))
            for sample in samples
        ])  # fmt: skip


def main(out: Path) -> None:
    """Draw them all."""
    with TemporaryDirectory() as name:
        folder = Path(name)
        for few in (2, 10, 50):
            shots = (Shot(f"{few}", USUAL), Shot(f"{few}-dark", USUAL, "dark"),
                     Shot(f"{few}-narrow", NARROW))  # fmt: skip
            draw_compare(out, folder, few, shots)
        many = (Shot("10000", USUAL), Shot("10000-narrow-dark", NARROW, "dark"))
        draw_makes(out, folder, 10_000, many)


if __name__ == "__main__":
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    main(Path(sys.argv[1]))
