"""The practice guide: a class written once as text, led aloud and rendered as a track."""

__version__ = "0.1.0"
