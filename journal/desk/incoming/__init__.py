"""What comes in from files, shown before it is kept: its columns, its picture, its account."""
