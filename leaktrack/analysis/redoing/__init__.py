"""Which work is worth doing in one teardown, by which way in, and in which order?"""
