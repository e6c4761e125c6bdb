"""Rules that can't be loaded: a module they need is not installed."""

import tarn_missing  # type: ignore[import-not-found]

PACK = tarn_missing.PACK
