"""The rules by subject: each module here holds a few, and each is found by itself."""
