"""Feedback: which frequencies of a loop would ring, what tames them, and hearing it come."""
