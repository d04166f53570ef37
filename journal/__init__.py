"""Vatside: a desktop journal for people who make cheese at home.

Rooms, from the ground up: quantities and reckoning, records, curves, keeping and findings,
exchange and sample, and on top the desk (the window) and the command line. An import goes
down, never up; DEVELOPERS.md draws the house.
"""

__version__ = "0.1.0"
