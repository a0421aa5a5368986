"""What the words mean: frozen values, standard library only."""
