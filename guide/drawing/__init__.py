"""What draws without knowing classes: the width of text, and templates that are filled."""
