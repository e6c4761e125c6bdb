"""Findings to text, JSON and the formats of other programs. One module a report; nothing is computed here."""
