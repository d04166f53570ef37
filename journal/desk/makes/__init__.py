"""Makes: every make, newest first, and beside the list the selected one."""
