"""Every limit of the packs at its very value, a step below and a step above it, in two units.

`sites` finds the comparisons that a number of a pack stands in, `find` a scope of the rule's own cases in which one
decides what the rule answers, with `solve` for the value at which the two sides meet; `trial` says what must be
answered and what is, `written` puts the value into the case's text. `by_code` asks what can be asked of a limit that
code reads. `check` and `study` put these together, and `page` tells what came of it.
"""
