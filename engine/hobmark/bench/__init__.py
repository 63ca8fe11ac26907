"""What a technician needs at the bench: gas and jets, which gas a range is set for, faults, and setting up."""
