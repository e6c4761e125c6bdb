"""The commands, one module each: options, output and exit codes. What they do is done below."""
