"""The sentences of `curves` about what may harm who eats a cheese without a culture, or one that is
stretched, scalded, churned, smoked, sealed, ashed or laid in oil."""

from __future__ import annotations

from journal.wording.sentences import Messages

_CODE = " Your local code decides."

KINDS: Messages = {
    "curves.pasteurise-short": (
        "This pasteurises nothing: the milk must stand at {slow_c:temperature.1} for "
        "{slow_min:.0f} min or at {quick_c:temperature.1} for {quick_s:.0f} s without a break (US "
        "Pasteurized Milk Ordinance)." + _CODE
    ),
    "curves.sweet-kept-warm": (
        "A cheese without a culture would stand {days:day|days} at {warmest_c:temperature.1}: "
        "nothing sours it, so Listeria, staphylococci and Clostridium botulinum can grow. Cool it "
        "to 5 °C at once and keep it there." + _CODE
    ),
    "curves.sweet-kept-long": (
        "A cheese without a culture would be kept for {days:day|days}: Listeria grows on it even "
        "in the cold, from pH 4.4 up. Eat it within 5 days, as long as an Australian import rule "
        "lets pass, or keep it under a brine of 10 % salt or more." + _CODE
    ),
    "curves.sweet-rennet": (
        "Rennet sets this milk, and neither a culture nor heat follows: it is a fresh cheese on "
        "which Listeria grows, and the US FDA tells those who are pregnant, old or ill not to eat "
        "it. Add a culture, or scald the curd." + _CODE
    ),
    "curves.acid-in-the-cold": (
        "The acid goes into milk that was never above {hottest_c:temperature.0}: it sets no "
        "firm curd, and nothing was killed. Published: 70 to 95 °C." + _CODE
    ),
    "curves.cooled-slowly": (
        "From 57 to 21 °C it takes {minutes:duration}: spores that live through the heat grow on "
        "the way. At most 2 h, and 6 h down to 5 °C (FDA Food Code)." + _CODE
    ),
    "curves.sweet-left-warm": (
        "Curd without a culture would lie {minutes:duration} between hot and cold: nothing sours "
        "it, so staphylococci and spores grow. At most 4 h (FDA Food Code); cool it sooner." + _CODE
    ),
    "curves.soured-by-nothing": (
        "No culture is added for the {stage}: what sours such milk is whatever came in with it, "
        "staphylococci among it. Add a culture." + _CODE
    ),
    "curves.soured-little": (
        "The soured milk would be done at pH {high:.1f}: Listeria grows from pH 4.4 up, "
        "staphylococci make toxin from 4.5. Published are 4.6 for yoghurt, 4.4 to 4.9 for cream "
        "cheese." + _CODE
    ),
    "curves.stretch-temperature": (
        "Curd stretches in water of 60 to 90 °C, published 80 to 85: give the {stage} the "
        "temperature of its water. Above 90 °C it scalds through gloves."
    ),
    "curves.stretch-unread": (
        "Nothing asks for the curd's pH before the {stage}: it stretches at 5.0 to 5.2 with a "
        "culture, at 5.5 to 5.7 with acid alone. Curd that has not soured is not safe: the hot "
        "water is no pasteurising." + _CODE
    ),
    "curves.stretch-ph": (
        "Curd of pH {low:.2f} to {high:.2f} does not stretch: published are 5.0 to 5.2 with a "
        "culture, 5.5 to 5.7 with acid alone. Above them it tears, below it falls apart."
    ),
    "curves.scald-short": (
        "The {stage} keeps its whey above 80 °C for {minutes:duration}: published are at least 20 "
        "min at 80 to 90 °C. Heat is all that makes such a cheese keep." + _CODE
    ),
    "curves.churn-temperature": (
        "Cream churns at 12 to 18 °C (8 °C at the least): give the {stage} such a temperature. "
        "Warmer, the butter is greasy and keeps its buttermilk, and that turns it."
    ),
    "curves.smoke-warm": (
        "Smoke is cold below 30 °C; warmer, the {stage} melts the fat and keeps the cheese where "
        "Staphylococcus aureus grows, at 7 to 48 °C. Smoke keeps nothing safe by itself." + _CODE
    ),
    "curves.sealed-soft": (
        "A soft or sweet cheese sealed without air for {days:day|days}: Clostridium botulinum of "
        "the cold kinds grows from 3 °C. At most 10 days at 3 to 8 °C (UK Food Standards Agency); "
        "the US Food Code lets only firm cheese be sealed." + _CODE
    ),
    "curves.ash-on-sweet": (
        "Ash takes the acid from the rind, and nothing asks the curd to be below pH 5.0 first: "
        "Listeria grows from pH 4.4 up. Sour the curd to 4.4 to 4.6 before it is ashed." + _CODE
    ),
    "curves.herbs-in-oil": (
        "Herbs or garlic and cheese under oil: without air Clostridium botulinum grows above pH "
        "4.6 and below 10 % salt, and some kinds from 3.3 °C. People fell ill of garlic in oil of "
        "pH 5.7. Keep it dry of oil, or at 4 °C for a few days at most." + _CODE
    ),
    "curves.laid-in-oil": (
        "Cheese under oil has no air: Clostridium botulinum grows above pH 4.6 and below 10 % "
        "salt. Lay in only soured, salted cheese, keep it at 4 °C, and eat it within days." + _CODE
    ),
    "curves.weak-brine": (
        "A brine of {percent:.3g} % salt holds nothing back: the weakest tried for a white cheese "
        "has 6.5 %. Listeria lived 90 days at 13 %." + _CODE
    ),
}
