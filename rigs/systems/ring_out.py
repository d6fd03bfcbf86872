"""The order of work of a ring-out, in words: one text for the page, the phone and the paper."""

CAUTIONS = (
    "Feedback comes up within a second and can harm hearing for good: one hand stays on the "
    "master. Nobody stands at a loudspeaker, whoever wears in-ear monitors takes them out, and "
    "everybody in the room has hearing protection at hand. Follow the local limits.",
)

ORDER = (
    "Microphones on their show places, in their stands, with what stands around them",
    "Boxes, crossovers, delays, limiters and the room's equalisation as they will be: notches last",
    "The master at its show position; every microphone's channel down",
    "Quiet in the room; say aloud that it may get loud now",
    "Open one microphone and raise it slowly, about 1 dB a second, to its show position and 6 dB "
    "beyond; stop at the first tone that stays",
    "Turn down 3 dB at once, place one notch, raise again; where a notch buys little, move the "
    "microphone or the box instead",
    "The next microphone; at the end all that are open together in the show",
    "Leave the notches in reserve free: they are for the show",
)

STOP_RULE = (
    "Stop a microphone when 6 dB above its show position are clear, when its third notch buys less "
    "than 1.5 dB, or when anybody finds it too loud (common practice, no source)."
)

WISHED_MARGIN_DB = 6.0
