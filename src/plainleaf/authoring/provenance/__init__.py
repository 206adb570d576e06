"""Where a printed sentence comes from, and which settings stand behind it."""
