"""What cannot be is no record: each is refused by its name, and what is just possible is taken."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from journal.records import RecordError
from journal.records.brines import Brine, BrineEvent, BrineStay
from journal.records.calibrations import Calibration
from journal.records.cultures import Generation
from journal.records.instants import DAY_MS
from journal.records.makes import Make, Milk, Note, StageRun
from journal.records.milk_lots import MilkLot, MilkUse
from journal.records.panel_tests import PAIRED, TRIANGLE, PanelItem, PanelSet, PanelTest, is_right
from journal.records.plans import Dose, Plan, Stage
from journal.records.series import Series
from journal.records.sources import Source
from journal.records.tastings import Assessor, Sample, ScaleWord, Score, Tasting, half_point
from journal.records.wheels import Absence, AirReading, Removal, Room, Weighing, Wheel
from tests.refusals import refused

AT = 1_760_000_000_000
MILK = Milk(10.0)
DOSE = Dose("salt", "sea salt", 0.5, "g")
PLAN = Plan("plain", (Stage("warm", 30),))
WHEEL = Wheel(1, "A")
EVENT = BrineEvent(1, AT, "measured", strength_pct=20.0)
GENERATION = Generation("mother", AT)
METER = Calibration(1, "meter", AT, (4.0, 7.0), (4.1, 7.0))
THERMOMETER = Calibration(1, "thermometer", AT, (0.0,), (0.4,))
LOT = MilkLot("Hollow Lane", AT)
TAKEN = Removal(1, "eaten", AT, share=0.5)
SAMPLE = Sample(1, 1)
SERIES = Series("heat", AT, ("a", "b"), (1.0, 2.0), (2.0, 3.0))
FILE = Source("fridge", "file", "milk-temp", settings='{"path": "log.csv"}')


@pytest.mark.parametrize(
    ("record", "taken", "not_taken", "refusal"),
    [
        (DOSE, {"unit": "ml", "spoons": True}, {"unit": "drops"}, "dose-unit"),
        (DOSE, {"per_litre": 999}, {"per_litre": 1000}, "dose-amount"),
        (DOSE, {}, {"spoons": True}, "spoon-of-grams"),
        (PLAN, {"taste_at_days": (9.0,), "taste_notes": ("x",)}, {"taste_notes": ("x",)},
         "taste-notes"),
        (MILK, {"litres": 10_000}, {"litres": 10_001}, "milk-litres"),
        (MILK, {"fat_pct": 15.0}, {"fat_pct": 15.1}, "milk-fat"),
        (MILK, {"protein_pct": 0.0}, {"protein_pct": -0.1}, "milk-protein"),
        (Make("A", 1, MILK, AT), {"whey_l": 10.0}, {"whey_l": 10.1}, "too-much-whey"),
        (StageRun(1, 0, "cook", AT, AT), {"extra_min": -43_200}, {"extra_min": 43_201},
         "extra-minutes"),
        (Note(AT, ""), {"rim": (1, 2, 3)}, {"rim": (1, 2)}, "rim"),
        (Note(AT, ""), {"rim": ()}, {"rim": (1, 2, 0)}, "rim"),
        (WHEEL, {"green_weight_kg": 1000}, {"green_weight_kg": 0}, "wheel-weight"),
        (WHEEL, {"diameter_mm": 5}, {"diameter_mm": 4}, "wheel-size"),
        (WHEEL, {"height_mm": 2000}, {"height_mm": 2001}, "wheel-size"),
        (Weighing(1, AT, 1.0), {"weight_kg": 1000}, {"weight_kg": 0}, "weighing"),
        (TAKEN, {"kind": "sold"}, {"kind": "melted"}, "no-such-end"),
        (TAKEN, {"share": 1.0}, {"share": 1.1}, "part-share"),
        (TAKEN, {"share": None, "weight_kg": 1000}, {"share": None, "weight_kg": 1001}, "weighing"),
        (TAKEN, {"share": None, "weight_kg": 1}, {"share": None}, "part-unknown"),
        (TAKEN, {}, {"weight_kg": 1.0}, "part-unknown"),
        (Room("cellar"), {"holds": 1}, {"holds": 0}, "room-value"),
        (AirReading(1, AT, 12.0), {"temp_c": 60}, {"temp_c": 61}, "room-air-temp"),
        (AirReading(1, AT, 12.0), {"humidity_pct": 100}, {"humidity_pct": 101},
         "room-air-humidity"),
        (AirReading(1, AT, 12.0), {"temp_c": None, "humidity_pct": 0}, {"temp_c": None},
         "air-without-value"),
        (Absence("2026-03-02", "2026-03-03"), {"last_day": "2026-03-02"},
         {"last_day": "2026-03-01"}, "away-backwards"),
        (Brine("tub", 20, 20, AT), {"name": "b"}, {"name": " "}, "brine-name"),
        (Brine("tub", 20, 20, AT), {"strength_pct": 0.1}, {"strength_pct": 27}, "brine-strength"),
        (Brine("tub", 20, 20, AT), {"litres": 10_000}, {"litres": 0}, "brine-litres"),
        (EVENT, {"salt_kg": 5000}, {"salt_kg": 5001}, "brine-salt"),
        (EVENT, {"strength_pct": 1}, {"strength_pct": None}, "brine-without-strength"),
        (EVENT, {"kind": "salt", "salt_kg": 1}, {"kind": "salt"}, "brine-without-salt"),
        (EVENT, {"kind": "water", "litres": 1}, {"kind": "water"}, "brine-without-water"),
        (EVENT, {"kind": "renewed", "litres": 1}, {"kind": "renewed"}, "brine-without-making"),
        (BrineStay(1, 1, AT), {"out_ms": AT}, {"out_ms": AT - 1}, "brine-out-before-in"),
        (METER, {}, {"instrument": "nose"}, "no-such-instrument"),
        (METER, {}, {"known": (4.0,)}, "check-samples"),
        (METER, {}, {"known": (4.0,), "shown": (4.0,)}, "check-buffers"),
        (METER, {}, {"shown": (4.0, 4.1)}, "check-electrode"),
        (METER, {}, {"known": (4.0, 4.0)}, "reckoning.two-buffers"),
        (THERMOMETER, {"shown": (5.0,)}, {"shown": (5.1,)}, "check-thermometer"),
        (LOT, {"farm": "f"}, {"farm": ""}, "milk-farm"),
        (LOT, {"ph": 6.7}, {"ph": 14.0}, "milk-ph"),
        (LOT, {"price": 0}, {"price": -1}, "milk-price"),
        (MilkUse(1, 1, 5), {"litres": 1}, {"litres": 0}, "milk-litres"),
        (GENERATION, {"name": "m"}, {"name": ""}, "culture-name"),
        (GENERATION, {"number": 1000}, {"number": 0}, "culture-number"),
        (GENERATION, {"ph": 2}, {"ph": 11}, "culture-ph"),
        (GENERATION, {"keep_until_ms": AT - DAY_MS}, {"keep_until_ms": AT - DAY_MS - 1},
         "culture-past-before-made"),
        (SERIES, {"name": "s"}, {"name": " "}, "series-name"),
        (SERIES, {}, {"variables": ("a",)}, "series-variables"),
        (SERIES, {}, {"low": (1.0,)}, "series-ends"),
        (SERIES, {"low": (1.9, 2.0)}, {"low": (2.0, 2.0)}, "series-low-above-high"),
        (Assessor("Ada"), {"name": "A"}, {"name": " "}, "assessor-name"),
        (Tasting(AT), {"coding": "sample"}, {"coding": "rumour"}, "no-such-coding"),
        (Tasting(AT), {"attributes": ("a", "b")}, {"attributes": ("a", "a")}, "sheet-attributes"),
        (Tasting(AT), {"attributes": ("a",)}, {"attributes": ("",)}, "sheet-attributes"),
        (SAMPLE, {"wheel_id": None, "reference": "shop"}, {"reference": "shop"}, "sample-cheese"),
        (ScaleWord("overall", 5, "good"), {"value": 10}, {"value": 10.5}, "scale-value"),
        (Score(1, 1, "overall", 5), {"value": 0}, {"value": -0.5}, "score-value"),
        (Score(1, 1, "overall", 5), {"attribute": "rind"}, {"attribute": " "}, "score-attribute"),
        (PanelTest(AT, "UTC", TRIANGLE), {"kind": PAIRED, "attribute": "salt"}, {"kind": PAIRED},
         "test-attribute"),
        (PanelItem(1, 1, 1), {"wheel_id": None, "reference": "shop"}, {"wheel_id": None},
         "test-cheese"),
        (PanelSet(1, 1, 1, (1, 1, 2), ("a", "b", "c")), {"answer": (2,)}, {"answer": (3,)},
         "test-cups"),
        (PanelSet(1, 1, 1, (1, 1, 2), ("a", "b", "c")), {}, {"codes": ("a",)}, "test-codes"),
        (FILE, {"name": "f" * 60}, {"name": "f" * 61}, "source-name"),
        (FILE, {"name": "f"}, {"name": "a\nb"}, "source-name"),
        (FILE, {}, {"settings": "{}"}, "source-lacks"),
        (FILE, {}, {"settings": "[1"}, "source-settings"),
        (FILE, {}, {"settings": '["path"]'}, "source-settings"),
        (FILE, {}, {"settings": '{"path": "log.csv", "password": "x"}'}, "source-strange"),
    ],
)  # fmt: skip
def test_only_what_can_be_is_a_record(
    record: Any, taken: dict[str, Any], not_taken: dict[str, Any], refusal: str
) -> None:
    for name, value in taken.items():
        assert getattr(replace(record, **taken), name) == value
    with refused(RecordError, refusal if "." in refusal else f"records.{refusal}"):
        replace(record, **not_taken)


def test_what_is_asked_of_a_record_is_refused_where_it_has_no_answer() -> None:
    MILK.check_cheese(6.0)
    with refused(RecordError, "records.too-much-cheese", kg=6.1, litres=10.0):
        MILK.check_cheese(6.1)
    line = Source("scale", "line", "milk-ph", settings='{"device": "/dev/x", "baud": "quick"}')
    assert line.number("pattern", 7) == 7
    with refused(RecordError, "records.source-number", key="baud", name="scale"):
        line.number("baud", 9600)
    assert half_point(9.5) == 9.5
    with refused(RecordError, "records.score-halves", attribute="overall", value=10.5):
        half_point(10.5)
    with refused(RecordError, "records.own-score-halves", attribute="rind", value=4.2):
        half_point(4.2, "rind")
    with refused(RecordError, "records.test-no-right-answer", kind=PAIRED):
        is_right(PAIRED, (1, 2), (1,))
    with refused(RecordError, "records.test-answer", kind=TRIANGLE, cups=1):
        is_right(TRIANGLE, (1, 1, 2), (0, 1))
