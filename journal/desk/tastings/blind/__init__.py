"""Blind sessions: laid out, scored code by code, typed in from paper, and lifted."""
