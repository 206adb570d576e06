"""`packet.json`: what was decided and why, and which packet it replaces."""
