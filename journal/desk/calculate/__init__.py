"""Calculate: the trade's sums as forms that answer while they are typed."""
