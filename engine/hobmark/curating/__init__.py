"""The curator's bench: checking a base, running its cases, finding what carries no weight."""
