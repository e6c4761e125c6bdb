"""A rule-checking linter for ventilation prescriptions kept as plain text.

A screening aid, not a medical device: a clean result means only that the listed checks found nothing.
"""

__version__ = "0.1.0"
