"""What every room stands on: cleaning, durable writing, mass, how a probability is written."""
