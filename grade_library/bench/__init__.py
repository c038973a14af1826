"""What hand, eye, magnet and simple weighing say of a metal."""
