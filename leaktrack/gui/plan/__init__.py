"""The plan of a teardown: what comes off, what is done, in which order, and why."""
