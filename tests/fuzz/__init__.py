"""Fuzzing: what reads text or bytes is given inputs that nobody thought of, and must answer in its own way.

``targets`` names the readers, each a function of bytes in an ``on_...`` module, ``corpora`` what inputs are made from;
``mutate`` changes them without any library, ``guided`` by atheris, which sees what code an input reaches. ``grammars``
makes texts from the grammars for hypothesis. See README.md.
"""
