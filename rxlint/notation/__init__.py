"""The notation: lines to a lossless tree of statements with typed values, and one writer back to text.

Knows what a line says, not what it means for a patient.
"""
