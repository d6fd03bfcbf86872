"""Signals: filters and their responses, delays between sounds, what adds up and what cancels."""
