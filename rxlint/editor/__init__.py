"""What an editor asks of a document while it is written: pure functions of a snapshot and a place in it.

The language server only wraps them, and any other front end may use them as they are.
"""
