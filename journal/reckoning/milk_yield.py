"""Yield: what a milk should give, how that compares with what it gave, and at one moisture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from journal.message import Message
from journal.reckoning.bounds import Numbers, above, at_least, outside, part, plain, require

FAT_RECOVERY = 0.93
CASEIN_LOST_PCT = 0.1
SOLIDS_FACTOR = 1.09
# Casein 2.6 of protein 3.3 kg/hL: University of Guelph, Cheese Making Technology.
USUAL_PROTEIN_PCT = 3.3
CASEIN_OF_PROTEIN = 2.6 / USUAL_PROTEIN_PCT
# More cheese than that no milk gives (quark gives some 25 kg from 100; common practice).
MOST_YIELD_PCT = 60.0
# Thom & Fisk 1918, table XII: cheddar of milk of 3 to 3.5 % fat.
MOST_FAT_LOST_PCT = 9.55
# Cow milk of unknown protein has 3.0 to 3.6 % (common practice): the sd of an even spread.
GUESSED_PROTEIN_SD_PCT = 0.6 / 12**0.5


def van_slyke_price(
    fat_pct: Numbers,
    casein_pct: Numbers,
    moisture_pct: Numbers,
    fat_recovery: float = FAT_RECOVERY,
    casein_lost_pct: float = CASEIN_LOST_PCT,
    solids_factor: float = SOLIDS_FACTOR,
) -> Numbers:
    """Cheese from milk after Van Slyke and Price, kg from 100 kg (not litres) of milk.

    Y = (0.93 F + C − 0.1) × 1.09 / (1 − M). Of the fat 93 % is kept, 0.1 of casein lost, and 9 %
    is other solids, the salt among them.

    Parameters
    ----------
    fat_pct, casein_pct
        Of the milk, % of its mass.
    moisture_pct
        Of the cheese, %.
    fat_recovery, casein_lost_pct, solids_factor
        The constants, for cheese of another kind.

    Notes
    -----
    Made for cheddar: published for milk of 3 to 5 % fat and cheese of 37 % moisture; moist cheeses
    give more. Source: University of Guelph, Cheese Making Technology; Mullan, dairyscience.info.

    Raises
    ------
    ReckoningError
        For a percentage outside 0 to 100, or a cheese of water alone.
    """
    part(fat_pct, "reckoning.fat-of-milk")
    part(casein_pct, "reckoning.casein-of-milk")
    _moisture(moisture_pct)
    kept = fat_recovery * fat_pct + casein_pct - casein_lost_pct
    require(kept > 0, "reckoning.milk-gives-no-cheese")
    return kept * solids_factor * 100 / (100 - moisture_pct)


def mullan_yield(fat_pct: Numbers, casein_pct: Numbers, moisture_pct: Numbers) -> Numbers:
    """The same with 96 % of the casein kept in place of C − 0.1, kg from 100 kg of milk.

    Y = (0.93 F + 0.96 C) × 1.09 / (1 − M). Source: Mullan, dairyscience.info. Range as
    `van_slyke_price`.
    """
    part(fat_pct, "reckoning.fat-of-milk")
    part(casein_pct, "reckoning.casein-of-milk")
    _moisture(moisture_pct)
    return (0.93 * fat_pct + 0.96 * casein_pct) * SOLIDS_FACTOR * 100 / (100 - moisture_pct)


def fat_balance_yield(
    milk_fat_pct: Numbers, whey_fat_pct: Numbers, cheese_fat_pct: Numbers
) -> Numbers:
    """Cheese by the fat that came in and the fat that left, kg from 100 kg of milk.

    Y = 100 (F − W) / (K − W) with F, W, K the fat of milk, whey and cheese, %: the balance of fat
    over milk = cheese + whey. Exact where nothing else leaves. Data to check it: Thom & Fisk, The
    Book of Cheese, 1918, tables VI to VIII.
    """
    part(whey_fat_pct, "reckoning.fat-of-whey")
    part(cheese_fat_pct, "reckoning.fat-of-cheese")
    require(cheese_fat_pct > whey_fat_pct, "reckoning.whey-fatter-than-cheese")
    require(milk_fat_pct >= whey_fat_pct, "reckoning.whey-fatter-than-milk")
    return 100 * (milk_fat_pct - whey_fat_pct) / (cheese_fat_pct - whey_fat_pct)


def casein_from_protein(protein_pct: Numbers) -> Numbers:
    """Casein of cow milk from its protein, %: 2.6 parts of 3.3 (University of Guelph)."""
    part(protein_pct, "reckoning.protein-of-milk")
    return protein_pct * CASEIN_OF_PROTEIN


def protein_from_fat(fat_pct: Numbers) -> Numbers:
    """A first guess at the protein of cow bulk milk from its fat, %: 0.45179 F + 1.5214.

    Restated from a Canadian source; to begin with only. For 3 to 5 % fat.
    """
    part(fat_pct, "reckoning.fat-of-milk")
    return 0.45179 * fat_pct + 1.5214


def guessed_protein_pct(fat_pct: Numbers) -> Numbers:
    """The protein of milk of which only the fat is known, %: 3.3, or more where the fat says so.

    Skimming takes fat away and leaves the protein, so a thin milk is taken as usual milk (3.3 %,
    University of Guelph) and a rich one by `protein_from_fat`.
    """
    return plain(np.maximum(USUAL_PROTEIN_PCT, protein_from_fat(fat_pct)))


def moisture_adjusted_yield(
    yield_pct: Numbers, moisture_pct: Numbers, moisture_std_pct: Numbers
) -> Numbers:
    """The yield as it would be at a standard moisture: Y (100 − M) / (100 − M of the standard).

    Source: University of Guelph, Cheese Making Technology, chapter 18. Exact.
    """
    at_least(yield_pct, 0, "reckoning.yield", "%")
    _moisture(moisture_pct)
    _moisture(moisture_std_pct)
    return yield_pct * (100 - moisture_pct) / (100 - moisture_std_pct)


def moisture_salt_adjusted_yield(
    yield_pct: Numbers,
    moisture_pct: Numbers,
    salt_pct: Numbers,
    moisture_std_pct: Numbers,
    salt_std_pct: Numbers,
) -> Numbers:
    """The yield at a standard moisture and salt, moisture and salt as two factors.

    Y (100 − M)(100 − S) / ((100 − Ms)(100 − Ss)): University of Guelph, chapter 18. The other
    published form is `moisture_and_salt_as_one`; the two differ, so say which.
    """
    part(salt_pct, "reckoning.salt-of-cheese")
    part(salt_std_pct, "reckoning.standard-salt")
    require(salt_std_pct < 100, "reckoning.standard-all-salt")
    moist = moisture_adjusted_yield(yield_pct, moisture_pct, moisture_std_pct)
    return moist * (100 - salt_pct) / (100 - salt_std_pct)


def moisture_and_salt_as_one(
    yield_pct: Numbers,
    moisture_pct: Numbers,
    salt_pct: Numbers,
    moisture_std_pct: Numbers,
    salt_std_pct: Numbers,
) -> Numbers:
    """The yield at a standard moisture and salt, both taken from 100 together.

    Y (100 − M − S) / (100 − Ms − Ss). The form of other texts, from memory.
    """
    at_least(yield_pct, 0, "reckoning.yield", "%")
    left = 100 - moisture_std_pct - salt_std_pct
    require(left > 0, "reckoning.standard-above-whole")
    require(moisture_pct + salt_pct < 100, "reckoning.moisture-and-salt-above-whole")
    return yield_pct * (100 - moisture_pct - salt_pct) / left


def yield_efficiency(actual_pct: Numbers, predicted_pct: Numbers) -> Numbers:
    """Actual over predicted yield, % (University of Guelph; Mullan). Exact."""
    at_least(actual_pct, 0, "reckoning.actual-yield", "%")
    above(predicted_pct, 0, "reckoning.predicted-yield", "%")
    return 100 * actual_pct / predicted_pct


def fat_lost_pct(yield_pct: Numbers, milk_fat_pct: Numbers, whey_fat_pct: Numbers) -> Numbers:
    """How much of the milk's fat went with the whey, %: (100 − Y) W / F.

    For milk = cheese + whey, all % of mass. Published: 9.6 % of it from milk of 3 to 3.5 % fat, 8.3
    from 3.5 to 4, 7.7 from 4 to 4.5, 5.9 from richer (Thom & Fisk 1918, table XII).
    """
    part(yield_pct, "reckoning.actual-yield")
    above(milk_fat_pct, 0, "reckoning.fat-of-milk", "%")
    part(whey_fat_pct, "reckoning.fat-of-whey")
    lost = (100 - yield_pct) * whey_fat_pct / milk_fat_pct
    require(lost <= 100, "reckoning.whey-fatter-than-milk")
    return lost


def fat_lost_warnings(lost_pct: float) -> tuple[Message, ...]:
    """Where the whey took more of the fat than the published most."""
    if lost_pct > MOST_FAT_LOST_PCT:
        return (Message("reckoning.fat-in-whey", pct=lost_pct),)
    return ()


@dataclass(frozen=True)
class Shortfall:
    """What a yield falls short by, kg from 100 kg of milk; below 0 where it is more than expected.

    `moisture` is what a drier cheese weighs less, `fat` what went with the whey beyond the usual
    7 %, None where the whey's fat is not known, `rest` curd dust, spills, casein and weighing.
    """

    whole: float
    moisture: float
    fat: float | None
    rest: float


def shortfall(
    actual_pct: float,
    fat_pct: float,
    casein_pct: float,
    moisture_pct: float,
    expected_moisture_pct: float,
    whey_fat_pct: float | None = None,
) -> Shortfall:
    """Why a yield falls short of Van Slyke and Price, in parts that sum to the whole.

    From the yield at the expected moisture to that at the cheese's own, from there to that with
    the fat really kept, from there to the actual one.
    """
    expected, own = (
        float(van_slyke_price(fat_pct, casein_pct, moisture))
        for moisture in (expected_moisture_pct, moisture_pct)
    )
    kept, fat = own, None
    if whey_fat_pct is not None:
        lost = float(fat_lost_pct(actual_pct, fat_pct, whey_fat_pct))
        kept = float(van_slyke_price(fat_pct, casein_pct, moisture_pct, 1 - lost / 100))
        fat = own - kept
    return Shortfall(expected - actual_pct, expected - own, fat, kept - actual_pct)


def efficiency_warnings(efficiency_pct: float) -> tuple[Message, ...]:
    """Where the cheese is so far from what the milk should give that a number is likely wrong."""
    if outside(efficiency_pct, 70, 140):
        return (Message("reckoning.yield-unlikely", pct=efficiency_pct),)
    return ()


def milk_warnings(fat_pct: Numbers, casein_pct: Numbers) -> tuple[Message, ...]:
    """Where the milk lies outside what the formula of Van Slyke and Price was published for."""
    if outside(fat_pct, 3.0, 5.0) or outside(casein_pct, 2.1, 3.0):
        return (Message("reckoning.yield-of-other-milk"),)
    return ()


def yield_warnings(
    fat_pct: Numbers, casein_pct: Numbers, moisture_pct: Numbers
) -> tuple[Message, ...]:
    """Where the formula of Van Slyke and Price is stretched beyond what it was made for."""
    warnings = list(milk_warnings(fat_pct, casein_pct))
    if outside(moisture_pct, 33, 41):
        warnings.append(Message("reckoning.yield-of-moist-cheese"))
    return tuple(warnings)


def _moisture(moisture_pct: Numbers) -> None:
    part(moisture_pct, "reckoning.moisture")
    require(moisture_pct < 100, "reckoning.yield-of-whey")
