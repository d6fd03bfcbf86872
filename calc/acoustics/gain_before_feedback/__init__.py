"""How far a microphone can be opened before the rig that it feeds makes it ring.

By the textbook from four distances, and for the rig as it stands: which boxes reach the
microphone, through its pattern, and in a room by way of the reverberation.
"""
