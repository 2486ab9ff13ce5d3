"""Jarside: a pure core (``coach`` and below) with a thin shell round it."""
