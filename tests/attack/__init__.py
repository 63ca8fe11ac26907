"""The whole attack, run by `python -m tests.attack`."""
