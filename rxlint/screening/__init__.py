"""Facts and rules to findings and coverage: engine, walks that no expression can make, corrections, case harness.

How findings are shown is not decided here.
"""
