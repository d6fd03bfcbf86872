"""What the room adds: decay, reverberation against direct sound, and how clear speech is.

All of it is an estimate for a room whose sound is evenly mixed. It is no proof for a system that
warns or evacuates people.
"""
