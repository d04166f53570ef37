"""Blind sessions: set up, scored code by code, typed in from paper, and revealed."""
