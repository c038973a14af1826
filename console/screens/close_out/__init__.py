"""Tickets, closing the run, and what is read and asked after it."""
