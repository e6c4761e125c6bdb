"""A document as facts: periods and bands, free variables, formulas over them, derived terms, relations.

What a rule makes of the facts is decided in ``screening``.
"""
