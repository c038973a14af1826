"""The names of grades, squashed and sorted so that a typed one is found."""
