"""Worded pages become checked files: HTML, layout, PDF, and the PDF read back."""
