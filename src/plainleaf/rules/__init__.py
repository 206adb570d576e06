"""What the rules say of one patient: findings, and which statements hold."""
