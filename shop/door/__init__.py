"""Who comes in, by what, for how long, and who says so."""
