"""From a decision to a packet in words: slots filled, sentences worded, pictures drawn."""
