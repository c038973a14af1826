"""Commands of a shift: lines in, tally, handover, readings, check samples."""
