"""What is shown: one set of findings, as text and as JSON."""
