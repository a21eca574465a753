"""A dowel through a stack of plies: plastic limits and mechanisms, whatever the document."""
