"""Which points of two photos are the same, and are both photos of one place?"""
