"""The pages of the program: what stands on them, their keys, and what a key does; nothing is worked out here."""
