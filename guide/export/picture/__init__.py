"""A class as a picture: what carries people, how strong it is, how they breathe, what is said, over one time axis."""
