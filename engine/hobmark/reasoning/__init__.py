"""From facts to conclusions: chaining, ranking, the next best look, and the reasons for each."""
