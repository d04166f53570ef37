"""Today: what to do now, in order, and what comes next."""
