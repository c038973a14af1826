"""What leaves the yard, on the screen."""
