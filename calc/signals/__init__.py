"""What a loudspeaker processor does to a signal, and what to enter in it."""
