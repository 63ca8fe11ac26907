"""Pieces of the screen; each shows one frozen value and decides nothing."""
