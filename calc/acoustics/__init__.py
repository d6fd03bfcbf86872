"""From the volts at each box to the direct sound at each listener."""
