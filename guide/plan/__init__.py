"""The class as it will happen: a timeline of cues, chimes and bells, made once and then only read."""
