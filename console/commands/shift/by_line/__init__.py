"""A sitting at the desk in lines: each is answered in one sentence."""
