"""The kitchen's two plans, invented for it: quantities and times of their own."""

from __future__ import annotations

from journal.records.plans import AcidTarget, CareRule, Dose, Plan, Stage
from journal.sample.design import Version

CULTURE, RENNET = "Lane mesophilic mix", "calf rennet"
CALCIUM, SALT = "calcium chloride, 30 %", "fine dairy salt"
HARD, WASHED = "Hollow Lane hard", "Hollow Lane washed"
CURD_KG_PER_L = 0.105  # the kitchen's own rule of thumb, for the salt in the plan
WASH_C, WASH_L, WHEY_L = 45.0, 0.20, 0.22  # wash water, and litres of it and of whey per litre

_CAUTION = (
    "Use pasteurised milk. If the curd has not soured as the plan wants it by the milling, harmful "
    "bacteria may have grown: do not eat it, do not age it. Local rules come first."
)
_NOTE = "A plan of the sample kitchen, invented for it: common practice, no source."


def plan_of(version: Version, number: int, uuid: str) -> Plan:
    """The kitchen's plan in this version."""
    make = washed_plan if version.washed else hard_plan
    return make(version, number, uuid)


def cook_minutes(version: Version) -> float:
    """The planned length of the cook, whole minutes."""
    start = 33.0 if version.washed else 31.0
    return float(max(round((version.cook_c - start) / version.cook_rate), 12))


def hard_plan(version: Version, number: int, uuid: str) -> Plan:
    """The dry-salted hard cheese."""
    return Plan(
        name=HARD,
        stages=(*_to_cut(version, 36.0, 31.0, 48.0, 43.0), *_hard_curd(version)),
        style="dry-salted hard",
        milk_l=12.0,
        floc_multiplier=3.0,
        mould_mm=150.0,
        yield_pct=10.3,
        care=_care("bandage"),
        room_c=11.5,
        room_humidity_pct=84.0,
        taste_at_days=(60.0, 120.0, 180.0, 270.0),
        caution=_CAUTION,
        note=_NOTE,
        version=number,
        uuid=uuid,
    )


def washed_plan(version: Version, number: int, uuid: str) -> Plan:
    """The washed-curd cheese, broken and salted before the mould."""
    return Plan(
        name=WASHED,
        stages=(*_to_cut(version, 34.0, 30.4, 42.0, 40.0), *_washed_curd(version)),
        style="washed curd",
        milk_l=12.0,
        floc_multiplier=3.0,
        mould_mm=150.0,
        yield_pct=10.6,
        care=_care("wax"),
        room_c=11.5,
        room_humidity_pct=82.0,
        taste_at_days=(60.0, 120.0, 180.0, 270.0),
        caution=_CAUTION,
        note=_NOTE,
        version=number,
        uuid=uuid,
    )


def _to_cut(
    version: Version, warm: float, set_c: float, ripen: float, setting: float
) -> tuple[Stage, ...]:
    culture = Dose("culture", CULTURE, 0.017, "g", "strewn on, stirred in after two minutes")
    calcium = Dose("calcium chloride", CALCIUM, 0.13, "ml", "in cold water")
    rennet = Dose("rennet", RENNET, 0.20, "ml", "in ten times as much cold water")
    return (
        Stage("warm", warm, target_c=set_c, ramp_min=warm - 4),
        Stage("ripen", ripen, target_c=set_c, ramp_min=0.0, doses=(culture, calcium)),
        Stage(
            "set",
            setting,
            target_c=set_c,
            ramp_min=0.0,
            doses=(rennet,),
            acid_target=AcidTarget("milk-ph", 6.52, 6.64, 0.0, 10.0),
            until="a clean break",
        ),
        Stage("cut", 9.0, target_c=set_c, ramp_min=0.0, size_mm=version.cut_mm),
        Stage("heal", 6.0, target_c=set_c, ramp_min=0.0),
    )


def _hard_curd(version: Version) -> tuple[Stage, ...]:
    cook_c = version.cook_c
    return (
        Stage("cook", cook_minutes(version), target_c=cook_c, limit_c_per_min=0.35),
        Stage("pitch", 52.0, target_c=cook_c, ramp_min=0.0, until="curd pH 6.4 to 6.2"),
        Stage(
            "drain",
            15.0,
            acid_target=AcidTarget("curd-ph", 6.15, 6.42, 0.0, 15.0),
            whey_drawn_per_l=0.86,
        ),
        Stage("cheddar", 98.0, target_c=35.5, ramp_min=30.0, tolerance_c=1.5, turns=6),
        Stage("mill", 8.0, acid_target=AcidTarget("curd-ph", 5.30, 5.62, 0.0, 8.0)),
        Stage("salt", 13.0, doses=(Dose("salt", SALT, 25.0 * CURD_KG_PER_L, "g", "in two goes"),)),
        Stage("mould", 14.0),
        Stage("press", 45.0, name="first press", pressure_kpa=5.0),
        Stage(
            "press",
            14.0 * 60,
            name="night press",
            pressure_kpa=version.press_kpa,
            turns=1,
            intervals_min=(120.0, 720.0),
        ),
    )


def _washed_curd(version: Version) -> tuple[Stage, ...]:
    cook_c = version.cook_c
    return (
        Stage(
            "wash",
            13.0,
            target_c=33.0,
            whey_drawn_per_l=WHEY_L,
            water_added_per_l=WASH_L,
            water_c=WASH_C,
        ),
        Stage("cook", cook_minutes(version), target_c=cook_c, limit_c_per_min=0.35),
        Stage("pitch", 55.0, target_c=cook_c, ramp_min=0.0, until="curd pH 6.45 to 6.25"),
        Stage(
            "drain",
            13.0,
            acid_target=AcidTarget("curd-ph", 6.20, 6.47, 0.0, 13.0),
            whey_drawn_per_l=0.80,
        ),
        Stage("pitch", 90.0, name="lie in a mat", target_c=34.5, ramp_min=30.0, tolerance_c=1.5),
        Stage("mill", 6.0, name="break", acid_target=AcidTarget("curd-ph", 5.40, 5.72, 0.0, 6.0)),
        Stage("salt", 10.0, doses=(Dose("salt", SALT, 23.0 * CURD_KG_PER_L, "g", "in two goes"),)),
        Stage("mould", 12.0),
        Stage("press", 30.0, name="first press", pressure_kpa=3.0),
        Stage(
            "press",
            14.0 * 60,
            name="night press",
            pressure_kpa=version.press_kpa,
            turns=1,
            intervals_min=(120.0, 720.0),
        ),
    )


def _care(coat: str) -> tuple[CareRule, ...]:
    return (
        CareRule("turn", 1, 14, 2, "and look at the underside"),
        CareRule("rub", 3, 9, 3, "with a dry cloth"),
        CareRule(coat, 11, 11, 1),
        CareRule("turn", 21, 300, 14),
        CareRule("weigh", 14, 300, 28),
    )
