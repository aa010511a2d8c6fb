"""A first class file from the captions of a class that was taught."""
