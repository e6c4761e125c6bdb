"""Documents in other forms. `python -m tests.exchange --write` renews the exports that are kept of some examples."""
