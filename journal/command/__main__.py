"""Lets `python -m journal.command` run as `vatside`."""

from __future__ import annotations

import sys

from journal.command.entry import main

sys.exit(main())
