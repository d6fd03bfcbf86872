"""What the pages of processing show, put together from a rig. HTTP stays in the views."""
