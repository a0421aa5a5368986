"""How the window looks: theme, grades, and small parts of pages."""
