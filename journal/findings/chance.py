"""What chance alone would show, and what so few makes could show at best."""

from __future__ import annotations

import math

LEVEL = 0.05


def best_of_chance(makes: int, variables: int, share: float = 0.5) -> float:
    """Return the correlation that the best of unrelated variables stays under in `share` of cases.

    For independent variables: each |r| has r² from a Beta(1/2, (makes − 2)/2), and the best of
    them all is below r with the product of their chances. With one variable and a share of 0.95
    it is the critical |r| at 5 %. NaN below three makes or without a variable.
    """
    from scipy.special import betaincinv

    if makes < 3 or variables < 1:
        return math.nan
    return math.sqrt(float(betaincinv(0.5, (makes - 2) / 2, share ** (1 / variables))))


def least_rank_p(makes: int) -> float:
    """Return the smallest two-sided p of a rank correlation of so many makes: 2 of n! orders."""
    return min(1.0, 2 / math.factorial(makes)) if makes < 20 else 0.0
