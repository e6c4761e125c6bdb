"""Why no folder can be made."""


class Unbuildable(Exception):
    """The folder can't be made here. The message says why and what to do, for whoever runs the command."""


class OutOfReach(Unbuildable):
    """The registry of npm can't be reached."""
