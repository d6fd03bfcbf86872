"""The bridge to `calc`: what is played, and what is found in what was heard."""
