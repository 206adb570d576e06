"""For those who own the words: lint, proof, readability, translation, provenance."""
