"""How large is what a photo shows?"""
