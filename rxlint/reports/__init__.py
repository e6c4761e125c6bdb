"""Findings to text and JSON. One module a report, each one function from results to text; nothing is computed here."""
