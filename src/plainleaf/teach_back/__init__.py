"""The teach-back sheet comes back: read, judged, recorded and followed up."""
