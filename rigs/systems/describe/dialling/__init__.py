"""The bridge between the pages of processing and `calc`."""
