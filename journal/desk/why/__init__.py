"""Why a wheel or make is so: the trade's causes beside what was done, over any place."""
