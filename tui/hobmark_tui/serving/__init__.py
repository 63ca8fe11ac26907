"""The full screen in a browser: who is let in, a program for each tab, and where it is reached."""
