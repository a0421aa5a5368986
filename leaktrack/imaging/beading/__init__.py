"""How wide is a bead of sealant along its path, and where is it broken?"""
