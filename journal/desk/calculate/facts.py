"""What the selected record knows for the sums."""

from __future__ import annotations

from collections.abc import Iterator

from journal.desk.place import CurrentRecord
from journal.keeping import Journal, KeepingError
from journal.reckoning.doses import STRENGTHS_SOLD
from journal.reckoning.mould import wheel_height_mm
from journal.reckoning.press import round_area_cm2
from journal.records.instants import MINUTE_MS
from journal.records.lot_strength import kept_by_sets
from journal.records.makes import Ingredient
from journal.records.milk_lots import price_of
from journal.records.timers import FLOCCULATION
from journal.records.wheels import Wheel
from journal.records.whole import WholeMake
from journal.topics.known import (
    DOSED,
    HEIGHTS,
    KnownFact,
    KnownValues,
    milk_facts,
    packet_facts,
    plan_facts,
    rind_fact,
)
from journal.wording.shown import temperature
from journal.wording.stage_sum import lots_for

_LOTS = {"rennet": "rennet.strength", "calcium chloride": "calcium-chloride.strength"}


def known_of(journal: Journal, record: CurrentRecord | None, now_ms: int) -> KnownValues | None:
    """The values of a make, plan, wheel or lot; None where it has none for a sum."""
    if record is None:
        return None
    try:
        if record.noun == "plan":
            return KnownValues(record.called, plan_facts(journal.plans.get(record.key)))
        if record.noun == "ingredient":
            lot = journal.ingredients.get(record.key)
            return KnownValues(record.called, lot_facts(journal, lot, now_ms))
        if record.noun == "make":
            whole = journal.whole(record.key)
            return KnownValues(record.called, make_facts(journal, whole, now_ms))
        if record.noun == "wheel":
            wheel = journal.wheels.get(record.key)
            return KnownValues(record.called, wheel_facts(journal, wheel, now_ms))
    except KeepingError:
        return None
    return None


# The sum that is needed at a stage of a running make, and at a lot.
_AT_STAGE = {
    "pasteurise": "pasteurise", "ripen": "acid-limits", "set": "rennet", "cut": "set",
    "heal": "set", "cook": "ramp", "drain": "acid-limits", "cheddar": "acid-limits",
    "mill": "salt", "salt": "salt", "mould": "moulds", "press": "press", "brine": "brining-time",
}  # fmt: skip
_AT_LOT = {kind: topic for topic, kind in reversed(DOSED.items())}


def sum_at(journal: Journal, record: CurrentRecord | None) -> str:
    """The sum that is likely wanted at a record: of a running make that of its stage, of the set
    the cutting time once the flecks were seen; "" where none is likelier than another."""
    if record is None:
        return ""
    try:
        if record.noun == "ingredient":
            lot = journal.ingredients.get(record.key)
            return "culture-units" if _packet(lot) else _AT_LOT.get(lot.kind, "")
        if record.noun == "make":
            if not journal.makes.get(record.key).running:
                return "yield"
            kind = journal.day.running(record.key).kind
            seen = journal.timers.where(make_id=record.key, name=FLOCCULATION)
            return "set" if kind == "set" and seen else _AT_STAGE.get(kind, "")
    except KeepingError:
        return ""
    return "loss" if record.noun == "wheel" else ""


def lot_facts(journal: Journal, lot: Ingredient, now_ms: int) -> dict[str, KnownFact]:
    """The strength as its packet says it; of a rennet that its own sets say has grown weaker, the
    time to the first flakes when it was fresh and now."""
    key = _LOTS.get(lot.kind)
    if key is None:
        return _packet(lot)
    facts: dict[str, KnownFact] = {}
    if lot.kind == "rennet" and lot.id is not None:
        kept = kept_by_sets(journal.stock.rennet_sets(lot.id), now_ms)
        if kept is not None and kept.weaker:
            facts["rennet.fresh_clotting"] = f"{kept.fresh_min:.4g} min"
            facts["rennet.clotting"] = f"{kept.fresh_min / kept.share:.4g} min"
    sold = next((word for word in STRENGTHS_SOLD if word in lot.strength.lower()), "")
    if sold and lot.kind == "rennet":
        return facts | {"rennet.sold": sold}
    return facts | ({key: lot.strength} if lot.strength else {})


def _packet(lot: Ingredient) -> dict[str, KnownFact]:
    return packet_facts(lot.strength) if lot.kind == "culture" else {}


def make_facts(journal: Journal, whole: WholeMake, now_ms: int) -> dict[str, KnownFact]:
    """Of a make: its plan's, over them what was measured."""
    facts = plan_facts(whole.plan, whole.make.milk) | milk_facts(whole.make.milk)
    for timer in whole.timers:
        if timer.name == FLOCCULATION and timer.took_min is not None:
            facts["flocculation"] = (timer.took_min, "duration")
    culture = [one.at_ms for one in whole.additions if one.kind == "culture"]
    if culture and whole.make.running:
        facts["acid-limits.hours"] = ((now_ms - min(culture)) / MINUTE_MS, "duration")
    ph = whole.trace("curd-ph").sound()
    if len(ph):
        facts |= dict.fromkeys(("acid-limits.ph", "growth-limits.ph"), (float(ph.value[-1]), "ph"))
    lots, used = journal.ingredients.all(), {one.ingredient_id for one in whole.additions}
    for lot in (*_to_come(whole, lots, now_ms), *(lot for lot in lots if lot.id in used)):
        facts |= lot_facts(journal, lot, now_ms)
    if str(facts.get("rennet.strength", "")).startswith("1:"):
        facts.pop("rennet.dose", None)  # it is dosed by the time to the first flakes
    salt_g = [one.amount for one in whole.additions if one.kind == "salt" and one.unit == "g"]
    if salt_g:
        facts["composition.salt"] = (sum(salt_g) / 1000, "mass")
    if (price := price_of(whole.make.milk, whole.milk_lots)) is not None:
        facts["cost.milk_price"] = f"{price:.4g} /L"
    weights = [w.green_weight_kg for w in whole.wheels if w.green_weight_kg is not None]
    if weights:
        total = (sum(weights), "mass")
        facts |= dict.fromkeys(("yield.actual", "cost.cheese", "green_weight", "salt.curd"), total)
        facts |= _sized(whole.plan.mould_mm, sum(weights) / len(weights))
    return facts


def _to_come(whole: WholeMake, lots: list[Ingredient], now_ms: int) -> Iterator[Ingredient]:
    """The lots that a running make's doses will come from."""
    doses = [dose for stage in whole.plan.stages for dose in stage.doses if dose.kind in _LOTS]
    for dose in doses if whole.make.running else ():
        yield from (part.lot for part in lots_for(lots, dose, whole.make, now_ms) if part.lot)


def wheel_facts(journal: Journal, wheel: Wheel, now_ms: int) -> dict[str, KnownFact]:
    """Of a wheel: its make's, over them its own size, weight, age and room."""
    whole = journal.whole(wheel.make_id)
    facts = make_facts(journal, whole, now_ms)
    if wheel.green_weight_kg is not None:
        facts |= _sized(wheel.diameter_mm or whole.plan.mould_mm, wheel.green_weight_kg)
        facts["green_weight"] = facts["loss.weight"] = (wheel.green_weight_kg, "mass")
    if wheel.height_mm is not None:
        facts |= dict.fromkeys(HEIGHTS, (wheel.height_mm, "length"))
    weighed = sorted(journal.weighings.where(wheel_id=wheel.id), key=lambda one: one.at_ms)
    if weighed:
        facts["weight_now"] = (weighed[-1].weight_kg, "mass")
        if wheel.green_weight_kg:
            lost = 100 * (1 - weighed[-1].weight_kg / wheel.green_weight_kg)
            facts["loss_pct"] = (max(0.0, lost), "percent")
    facts |= rind_fact(one.kind for one in whole.care if one.wheel_id == wheel.id)
    age = ((now_ms - whole.make.started_ms) / MINUTE_MS, "duration")
    facts |= {"loss.weeks": age, "ripening-days.days": f"{age[0] / 1440:.0f} d"}
    room = None if wheel.room_id is None else journal.rooms.get(wheel.room_id)
    if room is not None and room.target_c is not None:
        facts["loss.room"] = facts["eyes.temp"] = (room.target_c, "temperature")
        facts["ripening-days.rooms"] = temperature(room.target_c)
    return facts


def _sized(mould_mm: float | None, kg: float) -> dict[str, KnownFact]:
    facts: dict[str, KnownFact] = {"wheel_weight": (kg, "mass")}
    if mould_mm is not None:
        height = float(wheel_height_mm(kg, round_area_cm2(mould_mm)))
        facts |= {"diameter": (mould_mm, "length")}
        facts |= dict.fromkeys(HEIGHTS, (height, "length"))
    return facts
