"""Where does a place, a line, a bolt or a scale of one photo lie in another?"""
