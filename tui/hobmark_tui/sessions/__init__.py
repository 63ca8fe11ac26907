"""What a person is at: one case, kept on disk and to oneself, and the library of all of them. No screen in here."""
