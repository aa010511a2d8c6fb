"""A comparison as one HTML page with a picture."""
