"""Side by side: the open make in the company of other makes of its plan."""
