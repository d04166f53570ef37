"""The one sum that is needed where one stands at the vat, as a line of words."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from journal.curves.snapshot import MakeSnapshot
from journal.message import Message
from journal.reckoning.setting import CHEDDAR_MULTIPLIER, cut_minutes
from journal.records.instants import local
from journal.records.lot_strength import RennetSet, kept_by_sets, strength_share, usual_strength
from journal.records.makes import Ingredient, Make
from journal.records.plan_expected import expected
from journal.records.plans import Dose
from journal.records.stock import DoseFromLot, take
from journal.records.timers import FLOCCULATION
from journal.records.whole import WholeMake
from journal.wording import text_of, worded
from journal.wording.doses import amount_words

_SAME_PCT = 1.0  # a yield so near what was expected is as expected


def words_at(
    day: MakeSnapshot,
    stock: Callable[[], list[Ingredient]],
    sets_of: Callable[[int], list[RennetSet]],
) -> str:
    """What the sum of this moment says of a make; "" where the page says it already or nothing is
    known: the rennet by its lot, the time to cut where the plan has no factor, what came of the
    milk. `stock` gives the lots there are, `sets_of` the sets of one of rennet."""
    whole, stage, index = day.whole, day.page_state.stage, day.page_state.index
    if not day.running:
        return _yield_words(whole)
    if stage is None or stage.kind != "set":
        return ""
    seen = [t for t in whole.timers if t.name == FLOCCULATION and t.took_min is not None]
    if seen:
        if whole.plan.floc_multiplier is not None:
            return ""
        cut = float(cut_minutes(seen[-1].took_min or 0.0))
        return worded("wording.flecks-cut", times=CHEDDAR_MULTIPLIER, cut=cut)
    noted = {one.name for one in whole.additions if one.position == index}
    found = [_lot_words(whole.make, dose, stock(), sets_of, day.now_ms) for dose in stage.doses
             if dose.kind == "rennet" and dose.unit == "ml" and dose.name not in noted]  # fmt: skip
    return next((words for words in found if words), "")


def lots_for(stock: Iterable[Ingredient], dose: Dose, make: Make, now_ms: int) -> list[DoseFromLot]:
    """The lots in stock that a dose of a make will come from."""
    amount, today = dose.for_milk(make.milk.litres), local(now_ms, make.zone).date()
    return take(stock, (dose.kind, dose.name, dose.unit), amount, today, make.zone)


def _lot_words(
    make: Make,
    dose: Dose,
    stock: list[Ingredient],
    sets_of: Callable[[int], list[RennetSet]],
    now_ms: int,
) -> str:
    """The dose by the strength of the lot it comes from, and by what its own sets say it has lost
    since (no loss is published that would hold for every rennet). Of one past its date whose sets
    say nothing, that nobody can say how weak it is."""
    amount, lot = dose.for_milk(make.milk.litres), lots_for(stock, dose, make, now_ms)[0].lot
    if lot is None:
        return ""
    share = strength_share(lot)
    kept = None if lot.id is None else kept_by_sets(sets_of(lot.id), now_ms)
    today = local(now_ms, make.zone).date()
    past = lot.expires_ms is not None and local(lot.expires_ms, make.zone).date() < today
    left = kept.share if kept is not None and kept.weaker else 1.0
    take_now = amount_words(amount * (share or 1.0) / left, "ml", 2)
    rennet = Message("wording.rennet-now", take=take_now)
    if share is not None:
        usual, unit = usual_strength(lot.kind)
        plan = {"says": amount_words(amount, "ml", 2), "usual": usual, "unit": unit}
        rennet = Message("wording.rennet-of-lot", take=take_now, strength=lot.strength, **plan)
    if kept is not None and kept.weaker:
        ends = {"low": 100 * kept.low, "high": 100 * kept.high}
        held = 100 * left
        return worded("wording.rennet-kept", rennet=rennet, sets=kept.sets, kept=held, **ends)
    if not past:
        return "" if share is None else text_of(rennet)
    which = "wording.rennet-past-date" if share is None else "wording.rennet-may-be-weaker"
    return worded(which, take=take_now, rennet=rennet)


def _yield_words(whole: WholeMake) -> str:
    """What came of the milk against what the plan expects of it."""
    weights = [wheel.green_weight_kg for wheel in whole.wheels]
    got = sum(weight for weight in weights if weight is not None)
    if whole.make.failed or not got or None in weights:
        return ""
    should = expected(whole.plan, whole.make.milk.litres, whole.make.milk.fat_pct).cheese_kg
    off = 100 * (got / should - 1)
    if abs(off) < _SAME_PCT:
        return worded("wording.cheese-as-expected", got=got)
    which = "wording.cheese-less" if off < 0 else "wording.cheese-more"
    return worded(which, got=got, off=abs(off), expected=should)
