"""A taught class known from the voice in its sound: where somebody spoke, not what was said."""
