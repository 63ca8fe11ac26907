"""The hobmark program: its command line and its screens."""
