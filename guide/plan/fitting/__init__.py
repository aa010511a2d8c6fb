"""Fitting a class to its slot: how much each hold, rest and pace gives."""
