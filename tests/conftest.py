"""Puts this folder on the path, so that every kind of test can use `builders`."""
