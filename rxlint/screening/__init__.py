"""Facts and rules to findings and coverage: the engine, the walks that no expression can express, corrections, and the harness of cases.

How findings are shown is not decided here.
"""
