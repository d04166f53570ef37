"""Makes: every make, newest first, and beside the list the one that is stood on."""
