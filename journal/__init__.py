"""Vatside: a desktop journal for people who make cheese at home."""

__version__ = "0.1.0"

import os

# The sums here are many and small. Sharing each out over threads costs more than it saves, and
# far more on a machine that is busy otherwise (measured: 30 times). Whoever sets it keeps it.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
