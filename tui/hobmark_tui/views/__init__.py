"""What the screen shows, worked out as frozen values; no screen is needed to test it."""
