"""Side by side: the open make in the company of other makes of its plan.

Here: choosing the company, the moment all are aligned at, the band they fill, the difference to
one of them, and what was different this time. Not here: the sums behind them (curves).
"""
