"""Dating evidence: what words, numbers and serials found on a part prove of the years it was made in."""
