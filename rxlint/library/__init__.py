"""Many files: finding documents, reading them safely, screening them one after another.

What a single document says and what its rules find is decided below.
"""
