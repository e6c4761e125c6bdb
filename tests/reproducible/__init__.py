"""The same input gives the same output, byte for byte, wherever it is screened.

``python -m tests.reproducible [--python PATH ...]`` makes everything that the program makes of the examples under
several hash seeds, locales, time zones, orders of files and, where more interpreters are named, versions of Python
(each with rxlint's dependencies installed), compares it all with what this interpreter makes, and writes PAGE.md.
"""
