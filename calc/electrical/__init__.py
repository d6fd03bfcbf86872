"""From the amplifier's data sheet to the volts at each box."""
