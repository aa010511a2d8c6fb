"""The words of a plan and the words of captions brought together, and when each step began by them."""
