"""Closed lists and plain values that every floor above shares."""
