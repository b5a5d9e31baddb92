"""How things behave: formulas that know no job, no code book and no file."""
