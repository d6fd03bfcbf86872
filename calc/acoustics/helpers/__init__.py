"""Proposals that somebody may take or leave: nothing here changes a description by itself."""
