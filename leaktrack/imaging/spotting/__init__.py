"""Where is oil, and what became wet or dry since earlier photos?"""
