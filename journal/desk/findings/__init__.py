"""Findings: which make variables go with a score, how sure that is, and each one's picture."""
