"""Rules whose module ends the program while it is loaded, as if all were well."""

import sys

sys.exit(0)
