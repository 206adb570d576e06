"""What comes from outside, read strictly: every fault at once, each with its line."""
