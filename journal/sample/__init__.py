"""The Hollow Lane kitchen: a seeded simulator of a small invented place, its truths known.

Here: vessel, culture and assessors as models, and the twenty months they make. The tests use
the truths; the window never shows them. Not here: anything a real journal needs.
"""
